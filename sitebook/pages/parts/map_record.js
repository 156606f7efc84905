// Builds the record of a site, a tree or a find from the data of the page.
"use strict";
(() => {
  const { trees, finds } = sitebook.data;
  const make = sitebook.element;
  const placeOf = {
    tree: new Map(trees.id.map((id, i) => [id, i])),
    find: new Map(finds.id.map((id, i) => [id, i])),
  };
  const words = (column, i) => finds.words[finds[column][i]];

  sitebook.titleOf = (kind, i) =>
    kind === "tree"
      ? `${trees.label[i]}: ${trees.name[i] || "kind not named"}`
      : `${finds.label[i]}: ${words("named", i)}`;

  const opener = (text, open) => {
    const button = make("button", "row", text);
    button.type = "button";
    button.addEventListener("click", open);
    return button;
  };

  // A list of buttons, each opening one record.
  const rowsOf = (items, label) => {
    const list = make("ul", "rows");
    for (const { kind, id, i } of items) {
      const row = make("li");
      const text = kind === "site" ? sitebook.siteOf(id).name : sitebook.titleOf(kind, i);
      row.append(opener(label ? `${label(kind)} ${text}` : text, () => sitebook.choose(kind, kind === "site" ? id : i)));
      list.append(row);
    }
    return list;
  };

  const facts = (pairs) => {
    const list = make("dl", "facts");
    for (const [name, value] of pairs) {
      if (value === "" || value === null || value === undefined) continue;
      list.append(make("dt", "", name));
      const said = make("dd");
      said.append(value);
      list.append(said);
    }
    return list;
  };

  const siteButton = (id) => {
    const site = id === null ? null : sitebook.siteOf(id);
    return site ? opener(site.name, () => sitebook.choose("site", id)) : "outside every site";
  };

  // A position as text, with a button that copies it where the browser lets it, else selects it.
  const position = (kind, i) => {
    const at = sitebook.latLngOfSpot(kind, i);
    if (!at) return "not noted";
    const box = make("span", "position");
    const text = make("span", "", `${at.lat.toFixed(6)}, ${at.lng.toFixed(6)}`);
    const button = opener("Copy", async () => {
      try {
        await navigator.clipboard.writeText(text.textContent);
        button.textContent = "Copied";
      } catch {
        getSelection().selectAllChildren(text);
        button.textContent = "Selected";
      }
    });
    box.append(text, button);
    return box;
  };

  const site = (id) => {
    const record = document.querySelector(`#site-${id} .record`).cloneNode(true);
    for (const kind of ["tree", "find"]) {
      for (const span of record.querySelectorAll(`[data-${kind}]`)) {
        const i = placeOf[kind].get(Number(span.dataset[kind]));
        span.replaceWith(opener(span.textContent, () => sitebook.choose(kind, i)));
      }
    }
    const season = sitebook.seasonFact("sites", id);
    if (season) record.querySelector("h3").after(make("p", "verdict lines", season));
    return record;
  };

  const tree = (i) => {
    const record = make("article", "record");
    record.append(
      make("h3", "", trees.label[i]),
      facts([
        ["Host tree", trees.name[i] || "kind not named"],
        ["Chance", sitebook.seasonFact("trees", trees.id[i])],
        ["Site", siteButton(trees.site[i])],
        ["Finds with it", String(trees.finds[i])],
        ["Looks at it", trees.looks[i] ? `${trees.looks[i]}, the last on ${trees.last[i] || "a day not noted"}` : "none yet"],
        ["Note", trees.note[i]],
        ["Latitude, longitude", position("tree", i)],
      ]),
    );
    return record;
  };

  // The small pictures of a find, and how many this page is without.
  const photosOf = (i) => {
    const box = make("div", "photos");
    for (const number of finds.photos[i]) {
      const { src, w, h, said } = sitebook.data.photos[number];
      const figure = make("figure");
      const image = make("img");
      Object.assign(image, { src, width: w, height: h, alt: `Photo ${said}` });
      figure.append(image, make("figcaption", "", said));
      box.append(figure);
    }
    const missing = finds.missing[i];
    if (missing) box.append(make("p", "quiet", `${missing} ${missing === 1 ? "photo is" : "photos are"} not in this page`));
    return box;
  };

  const find = (i) => {
    const record = make("article", "record");
    const error = finds.error[i];
    record.append(
      make("h3", "", finds.label[i]),
      facts([
        ["Name", words("named", i)],
        ["Found", words("date", i)],
        ["Site", siteButton(finds.site[i])],
        ["How many", words("many", i) || "not counted"],
        ["Hosts", words("hosts", i) || "none noted"],
        ["Note", words("note", i)],
        ["Latitude, longitude", position("find", i)],
        ["Error of position", error === null ? "not noted" : `${Math.round(error)} m`],
      ]),
    );
    if (finds.photos[i].length || finds.missing[i]) record.append(photosOf(i));
    return record;
  };

  sitebook.recordOf = (kind, key) => ({ site, tree, find })[kind](key);

  // Several marks lie under one tap: a list to choose from.
  sitebook.recordOfMany = (title, items) => {
    const record = make("article", "record");
    const named = { site: "Site", tree: "Tree", find: "Find" };
    record.append(make("h3", "", title), rowsOf(items.slice(0, 60), (kind) => named[kind]));
    if (items.length > 60) record.append(make("p", "quiet", `and ${items.length - 60} more: zoom in or search`));
    return record;
  };
})();
