// Sorts the table of sites by a column, with mouse, finger or keyboard, and opens the review an address names.
"use strict";
(() => {
  const table = document.getElementById("sites");
  const open = () => {
    const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const around = target && target.closest("details");
    if (!around) return;
    around.open = true;
    target.scrollIntoView();
  };
  addEventListener("hashchange", open);
  // A link to the review that the address names already changes no address.
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    if (link && link.getAttribute("href") === location.hash) open();
  });
  open();
  if (!table) return;

  const said = document.getElementById("sorted");
  const heads = [...table.tHead.rows[0].cells];
  const names = heads.map((head) => head.textContent.trim());
  const body = table.tBodies[0];
  const letters = new Intl.Collator("en", { numeric: true, sensitivity: "base" });

  const compare = (at, kind) => (a, b) => {
    const [one, other] = [a.cells[at], b.cells[at]];
    return kind === "words"
      ? letters.compare(one.textContent.trim(), other.textContent.trim())
      : Number(one.dataset.rank) - Number(other.dataset.rank);
  };

  const number = compare(0, "number");

  // Rows that a column does not tell apart keep the order of their numbers, the worst first.
  const sort = (at, downward) => {
    const { kind } = heads[at].dataset;
    const own = compare(at, kind);
    const rows = [...body.rows].sort((a, b) => (downward ? -own(a, b) : own(a, b)) || number(a, b));
    body.append(...rows);
    heads.forEach((head) => head.removeAttribute("aria-sort"));
    heads[at].setAttribute("aria-sort", downward ? "descending" : "ascending");
    const way = kind === "words" ? (downward ? "Z to A" : "A to Z") : downward ? "highest first" : "lowest first";
    said.textContent = `Sorted by ${names[at]}, ${way}.`;
    choice.value = `${at}`;
  };

  const turn = (at) => {
    const now = heads[at].getAttribute("aria-sort");
    sort(at, now ? now === "ascending" : heads[at].dataset.first === "down");
  };

  // On a telephone the heads are out of sight, so a list takes their place.
  const choice = document.createElement("select");
  const field = document.createElement("label");
  field.className = "sort-phone no-print";
  field.append("Sort by ", choice);
  names.forEach((name, at) => choice.append(new Option(name, `${at}`)));
  choice.addEventListener("change", () => {
    const at = Number(choice.value);
    sort(at, heads[at].dataset.first === "down");
  });
  table.before(field);

  heads.forEach((head, at) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    button.textContent = names[at];
    button.addEventListener("click", () => turn(at));
    // A head that returns on each printed page shows no button, so its words stand beside it for paper.
    const words = document.createElement("span");
    words.className = "on-paper";
    words.textContent = names[at];
    head.replaceChildren(button, words);
  });
  heads[0].setAttribute("aria-sort", "ascending");
})();
