// Lists what was entered, each entry to be changed, taken back, or put back.
"use strict";
(() => {
  const { element, button } = sitebook;
  let asked = null;

  const words = {
    visit: (entry) => [`${entry.site}, ${entry.local_date}${entry.started_at ? ` ${entry.started_at.slice(11, 16)}` : ""}`,
      [entry.reason, `${entry.searchers} searched`, entry.search_minutes === undefined ? "" : `${entry.search_minutes} min`, entry.looked_for_all ? "looked for everything" : "looked for some", entry.companions ? `with ${entry.companions}` : "", entry.remarks || ""]],
    look: (entry) => [`Look: ${[entry.host_tree, entry.taxon].filter(Boolean).join(", ") || "the whole place"}`, [entry.outcome]],
    find: (entry) => [`${entry.collection_number ? `${entry.collector} ${entry.collection_number}` : "Find without a number"}: ${[entry.name || "not named", entry.qualifier].filter(Boolean).join(" ")}`,
      [entry.individual_count ? `${entry.individual_count} ${entry.count_of}` : "", entry.growth_stage, entry.host_tree ? `tree ${entry.host_tree}` : "", entry.substrate, entry.fresh_mass_g ? `${entry.fresh_mass_g} g` : "", entry.photos ? `photos ${entry.photos}` : "", entry.base_dug === undefined ? "" : `base dug up: ${entry.base_dug ? "yes" : "no"}`, entry.smell ? `smell: ${entry.smell}` : "", entry.lon === undefined ? "" : `${entry.lon}, ${entry.lat}`, entry.note]],
  };

  const hangingOn = (visit) => [...sitebook.entries.values()].filter((entry) => entry.visit === visit.uuid && !entry.withdrawn);

  const takeBack = (entry) => {
    if (asked !== entry.uuid) {
      asked = entry.uuid;
      return draw();
    }
    asked = null;
    if (entry.kind === "visit") for (const one of hangingOn(entry)) sitebook.takeBack(one.uuid);
    sitebook.takeBack(entry.uuid);
    afterwards(entry);
    return draw();
  };

  const putBack = (entry) => {
    const visit = entry.visit && sitebook.entries.get(entry.visit);
    if (visit && visit.withdrawn) sitebook.note("visit", visit.uuid, sitebook.said(visit));
    sitebook.note(entry.kind, entry.uuid, sitebook.said(entry));
    afterwards(entry);
    draw();
  };

  // A tree's look follows the finds on it.
  const afterwards = (entry) => {
    const visit = entry.kind === "find" && sitebook.entries.get(entry.visit);
    const tree = visit && sitebook.siteOf(visit).trees.find((one) => one.uuid === entry.host_tree_uuid);
    if (tree && !visit.withdrawn) sitebook.treeHasFind(visit, tree);
    sitebook.drawVisit();
  };

  const change = (entry) => {
    if (entry.kind === "visit") sitebook.changeVisit(entry.uuid);
    else if (entry.kind === "find") sitebook.changeFind(entry.uuid);
    else sitebook.goToVisit(entry.visit);
  };

  const rowOf = (entry) => {
    const row = element("li", `entry ${entry.kind}${entry.withdrawn ? " withdrawn" : ""}`);
    const [head, parts] = words[entry.kind](entry);
    const text = element("div", "entry-words");
    text.append(element("strong", "", entry.withdrawn ? `Taken back: ${head}` : head));
    const rest = parts.filter(Boolean).join(" · ");
    if (rest) text.append(element("span", "", rest));
    const buttons = element("div", "entry-buttons no-print");
    if (entry.withdrawn) buttons.append(button("Put back", "", () => putBack(entry)));
    else {
      const hanging = entry.kind === "visit" ? hangingOn(entry).length : 0;
      const sure = hanging ? `Really, with its ${hanging} entries` : "Really take back";
      buttons.append(button("Change", "", () => change(entry)));
      buttons.append(button(asked === entry.uuid ? sure : "Take back", asked === entry.uuid ? "sure" : "", () => takeBack(entry)));
    }
    for (const made of buttons.children) made.setAttribute("aria-label", `${made.textContent}: ${head}`);
    row.append(text, buttons);
    return row;
  };

  const draw = () => {
    const every = [...sitebook.entries.values()];
    const list = element("ul", "rows entries");
    for (const visit of every.filter((entry) => entry.kind === "visit")) {
      list.append(rowOf(visit), ...every.filter((entry) => entry.visit === visit.uuid).map(rowOf));
    }
    const pane = sitebook.pane("entries");
    const none = element("p", "", "Nothing was entered yet.");
    pane.replaceChildren(sitebook.head("Entered so far"), list.children.length ? list : none);
    const count = every.filter((entry) => entry.kind !== "end" && !entry.withdrawn).length;
    document.querySelector("[data-show=entries] .count").textContent = count || "";
    document.querySelector("[data-show=out] .count").textContent = sitebook.unsaved() || "";
  };
  sitebook.drawEntries = draw;
  sitebook.forgetQuestion = () => (asked = null);
})();
