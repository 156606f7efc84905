// Searches names of sites, trees, finds and taxa while she types.
"use strict";
(() => {
  const SHOWN = 30;
  const box = document.getElementById("search");
  const hits = document.getElementById("hits");
  const said = document.getElementById("hit-count");
  const { trees, finds } = sitebook.data;
  let entries = null;
  let found = [];
  let at = -1;

  const folded = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

  const taxa = () => {
    const counts = new Map();
    for (const word of finds.name) counts.set(word, (counts.get(word) || 0) + 1);
    return [...counts]
      .filter(([word]) => finds.words[word])
      .map(([word, count]) => ({ kind: "taxon", key: word, text: finds.words[word], more: `${count} ${count === 1 ? "find" : "finds"}` }));
  };

  // Everything that can be found, in the order it is shown: taxa, sites, trees, finds.
  const all = () => {
    const made = [
      ...taxa(),
      ...sitebook.sites.map((site) => ({ kind: "site", key: site.id, text: site.name, more: site.said })),
      ...trees.id.map((id, i) => ({ kind: "tree", key: i, text: sitebook.titleOf("tree", i), more: "host tree" })),
      ...finds.id.map((id, i) => ({ kind: "find", key: i, text: sitebook.titleOf("find", i), more: finds.words[finds.date[i]] })),
    ];
    for (const entry of made) entry.plain = folded(entry.text);
    return made;
  };

  const light = (place) => {
    at = place;
    [...hits.children].forEach((row, i) => row.setAttribute("aria-selected", String(i === at)));
    if (at < 0) return box.removeAttribute("aria-activedescendant");
    box.setAttribute("aria-activedescendant", `hit-${at}`);
    hits.children[at].scrollIntoView({ block: "nearest" });
  };

  const show = () => {
    hits.replaceChildren(
      ...found.slice(0, SHOWN).map((entry, i) => {
        const row = sitebook.element("li", "hit");
        row.id = `hit-${i}`;
        row.setAttribute("role", "option");
        row.append(sitebook.element("span", "", entry.text), sitebook.element("span", "quiet", entry.more));
        row.addEventListener("mousedown", (event) => event.preventDefault());
        row.addEventListener("click", () => take(entry));
        return row;
      }),
    );
    box.setAttribute("aria-expanded", String(found.length > 0));
    light(found.length ? 0 : -1);
  };

  const close = () => {
    found = [];
    show();
    said.textContent = "";
  };

  const search = () => {
    const wanted = folded(box.value.trim()).split(/\s+/).filter(Boolean);
    if (!wanted.length) return close();
    entries ??= all();
    found = entries.filter((entry) => wanted.every((word) => entry.plain.includes(word)));
    show();
    const more = found.length > SHOWN ? `, the first ${SHOWN} shown` : "";
    said.textContent = found.length ? `${found.length} found${more}` : "Nothing of that name in this book.";
  };

  const ofTaxon = (word) => {
    const items = [];
    finds.name.forEach((name, i) => name === word && items.push({ kind: "find", i }));
    return items;
  };

  const take = (entry) => {
    close();
    box.value = "";
    if (entry.kind !== "taxon") return sitebook.choose(entry.kind, entry.key, { move: true });
    const items = ofTaxon(entry.key);
    sitebook.showRecord(sitebook.recordOfMany(`${entry.text}: ${entry.more}`, items));
    sitebook.moveTo(items.map(({ i }) => sitebook.latLngOfSpot("find", i)).filter(Boolean));
  };

  box.addEventListener("input", search);
  box.addEventListener("keydown", (event) => {
    const count = hits.children.length;
    if (event.key === "ArrowDown" && count) light((at + 1) % count);
    else if (event.key === "ArrowUp" && count) light((at + count - 1) % count);
    else if (event.key === "Enter" && at >= 0) take(found[at]);
    else if (event.key === "Escape" && box.value) {
      box.value = "";
      close();
      event.stopPropagation();
    } else return;
    event.preventDefault();
  });
})();
