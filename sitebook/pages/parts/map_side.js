// Opens and closes the panes beside the map, or below it on a narrow window.
"use strict";
(() => {
  const side = document.getElementById("side");
  const record = document.getElementById("record");
  const list = document.getElementById("site-list");
  const narrow = matchMedia("(max-width: 60rem)");
  let opener = null;

  sitebook.isNarrow = () => narrow.matches;

  sitebook.show = (pane) => {
    side.dataset.open = pane;
    for (const button of side.querySelectorAll("[data-show]")) {
      button.setAttribute("aria-expanded", String(button.dataset.show === pane));
    }
    side.querySelector(".sheet").scrollTop = 0;
    if (pane !== "record") sitebook.refit?.();
  };

  const home = () => (narrow.matches ? "" : "sites");

  sitebook.showRecord = (content) => {
    record.replaceChildren(content);
    sitebook.show("record");
    side.querySelector('[data-pane="record"]').scrollTop = 0;
    record.focus({ preventScroll: true });
  };

  sitebook.rememberOpener = () => {
    opener = record.contains(document.activeElement) ? opener : document.activeElement;
  };

  const leave = (pane) => {
    sitebook.unmark();
    sitebook.show(pane);
    const site = opener?.dataset?.site;
    const target = site ? list.querySelector(`[data-site="${site}"]`) : opener;
    if (target?.isConnected && target.offsetParent) target.focus();
    opener = null;
  };

  const rowOf = (site) => {
    const words = sitebook.wordsOf(site);
    const row = sitebook.element("li");
    const button = sitebook.element("button", "site-row");
    button.type = "button";
    button.dataset.site = site.id;
    const text = sitebook.element("span", "site-words");
    text.append(sitebook.element("span", "site-name", site.name), sitebook.element("span", "quiet", words.said));
    button.append(sitebook.element("span", `tag ${words.kind}`, words.text), text);
    button.addEventListener("click", () => sitebook.choose("site", site.id, { move: true }));
    row.append(button);
    return row;
  };

  // The list follows the season: best chance first; else the order of the book.
  sitebook.listSites = () => {
    const order = [...sitebook.sites].sort((a, b) => sitebook.wordsOf(b).order - sitebook.wordsOf(a).order);
    list.replaceChildren(...order.map(rowOf));
    if (!order.length) list.append(sitebook.element("li", "quiet", "No site in this book yet."));
  };

  // The tool takes what the heading leaves of the window.
  const fit = () => {
    const tool = document.getElementById("tool");
    tool.style.setProperty("--above", `${tool.getBoundingClientRect().top + scrollY}px`);
  };
  fit();
  addEventListener("resize", fit);

  sitebook.startSide = () => {
    for (const button of side.querySelectorAll("[data-show]")) {
      button.addEventListener("click", () => {
        const isOpen = side.dataset.open === button.dataset.show;
        sitebook.show(isOpen ? home() : button.dataset.show);
        if (!isOpen && button.dataset.show === "search") document.getElementById("search").focus();
      });
    }
    document.getElementById("close").addEventListener("click", () => leave(""));
    document.getElementById("back").addEventListener("click", () => leave("sites"));
    document.getElementById("tool").addEventListener("keydown", (event) => {
      if (event.key === "Escape" && side.dataset.open !== home()) leave(home());
    });
    narrow.addEventListener("change", () => sitebook.show(home()));
    sitebook.show(home());
  };
})();
