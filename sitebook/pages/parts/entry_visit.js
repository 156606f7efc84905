// Begins a visit at a site, and takes one tap for each look that found nothing.
"use strict";
(() => {
  const { data, element, button } = sitebook;
  const MOST_LIKELY = 4;
  let current = null;
  // A visit kept by this browser may be of a site that a later copy of the sheet does not hold.
  const siteOf = (visit) =>
    data.sites.find((site) => site.uuid === visit.site_uuid) || { uuid: visit.site_uuid, name: visit.site, heed: [], trees: [] };
  sitebook.siteOf = siteOf;

  // Names likeliest at a site: those expected there first, then those found there before.
  sitebook.namesOf = (site) => {
    const first = site.expected || [];
    const place = (taxon) => (first.includes(taxon.uuid) ? first.indexOf(taxon.uuid) : first.length);
    const here = data.taxa.filter((taxon) => taxon.sites.includes(site.uuid) || first.includes(taxon.uuid));
    return here.sort((one, other) => place(one) - place(other));
  };
  sitebook.currentVisit = () => {
    const visit = current && sitebook.entries.get(current);
    return visit && !visit.withdrawn ? visit : null;
  };

  const visitsToday = (site) =>
    sitebook.standing("visit").filter((visit) => visit.site_uuid === site.uuid && visit.local_date === sitebook.day(new Date()));

  const drawPlaces = () => {
    const rows = data.sites.map((site) => {
      const open = visitsToday(site);
      const row = button("", "site", () => (open.length ? go(open[open.length - 1].uuid) : begin(site, null)));
      row.append(element("strong", "", site.name));
      if (open.length) row.append(element("span", "", "visit noted today: tap to go on"));
      else if (site.heed.length) row.append(element("span", "", site.heed.join(" ")));
      return row;
    });
    sitebook.pane("places").replaceChildren(sitebook.head("Where are you?"), ...rows);
  };

  sitebook.openVisit = (site) => {
    const open = visitsToday(site);
    return open.length ? open[open.length - 1] : null;
  };
  sitebook.goToSite = (site) => {
    const open = sitebook.openVisit(site);
    if (open) go(open.uuid);
    else beginAtOnce(site);
  };

  // The few questions of a visit, each answered beforehand with what is likeliest.
  const begin = (site, visit) => {
    const now = new Date();
    const said = visit || {};
    const hour = visit ? (said.started_at || "").slice(11, 16) : sitebook.hour(now);
    const day = sitebook.field("Date", { type: "date", value: said.local_date || sitebook.day(now) });
    const time = sitebook.field("Began at", { type: "time", value: hour });
    const reason = sitebook.chips("Why", data.words.reason, { value: said.reason || "planned", optional: false });
    const searchers = sitebook.stepper("How many searched", { value: said.searchers || 1, empty: false });
    const others = data.people.filter((person) => person.uuid !== data.collector.uuid);
    const who = sitebook.marks("Who came along", others.map((person) => [person.uuid, person.initials]), (said.companion_uuids || "").split(" "));
    const all = sitebook.chips("Looked for", [["yes", "everything I know"], ["no", "only some"]], {
      value: said.looked_for_all === false ? "no" : "yes",
      optional: false,
    });
    const minutes = sitebook.stepper("Minutes spent searching", { value: said.search_minutes, lowest: 0 });
    const remarks = sitebook.field("Remarks", { wide: true, value: said.remarks });
    const keep = () => {
      const companions = others.filter((person) => who.get().includes(person.uuid));
      const count = sitebook.number(searchers.get(), 1, 1000, true);
      const spent = sitebook.number(minutes.get(), 0, 1440, false);
      if (!day.get()) return sitebook.say("Fill in the date.");
      if (!count) return sitebook.say("How many searched is a whole number from 1 up.");
      if (spent === undefined) return sitebook.say("Minutes are a number from 0 to 1440.");
      const key = sitebook.note("visit", visit ? visit.uuid : null, {
        site: site.name,
        site_uuid: site.uuid,
        local_date: day.get(),
        started_at: time.get() ? sitebook.stamp(day.get(), time.get()) : null,
        reason: reason.get(),
        searchers: count,
        search_minutes: spent,
        looked_for_all: all.get() === "yes",
        companions: companions.map((person) => person.initials).join(" "),
        companion_uuids: companions.map((person) => person.uuid).join(" "),
        remarks: remarks.get(),
      });
      sitebook.say("");
      return go(key);
    };
    const when = element("div", "pair");
    when.append(day.box, time.box);
    const parts = [when, reason.box, searchers.box];
    if (others.length) parts.push(who.box);
    parts.push(all.box);
    if (visit) parts.push(minutes.box, remarks.box);
    const heed = site.heed.map((sentence) => element("p", "heed", sentence));
    const done = button(visit ? "Keep these changes" : "Begin here", "main keep", keep);
    const back = button("Back", "", () => (visit ? go(visit.uuid) : sitebook.open("places")));
    sitebook.pane("begin").replaceChildren(sitebook.head(site.name), ...heed, ...parts, back, done);
    sitebook.say("");
    sitebook.open("begin");
  };

  // Begins with one tap: today, now, with whom and how the last visit was; all of it can be changed later.
  const beginAtOnce = (site) => {
    const now = new Date();
    const before = sitebook.standing("visit").pop() || {};
    const key = sitebook.note("visit", null, {
      site: site.name,
      site_uuid: site.uuid,
      local_date: sitebook.day(now),
      started_at: sitebook.stamp(sitebook.day(now), sitebook.hour(now)),
      reason: "planned",
      searchers: before.searchers || data.searchers || 1,
      looked_for_all: before.looked_for_all !== false,
      companions: before.companions,
      companion_uuids: before.companion_uuids,
    });
    go(key);
  };
  sitebook.changeVisit = (uuid) => begin(siteOf(sitebook.entries.get(uuid)), sitebook.entries.get(uuid));

  const go = (uuid) => {
    current = uuid;
    drawVisit();
    sitebook.open("visit");
  };
  sitebook.goToVisit = go;

  sitebook.partOfVisit = (visit) => ({
    visit: visit.uuid,
    site: visit.site,
    site_uuid: visit.site_uuid,
    local_date: visit.local_date,
    started_at: visit.started_at,
    reason: visit.reason,
  });
  const looksOf = (visit) => sitebook.standing("look").filter((look) => look.visit === visit.uuid);
  const lookAt = (visit, tree, taxon) =>
    looksOf(visit).find((look) => (look.host_tree_uuid || null) === tree && (look.taxon_uuid || null) === taxon);

  const noteLook = (visit, about, outcome) => {
    const there = lookAt(visit, about.host_tree_uuid || null, about.taxon_uuid || null);
    if (there && there.outcome === outcome) sitebook.takeBack(there.uuid);
    else sitebook.note("look", there ? there.uuid : null, { ...sitebook.partOfVisit(visit), ...about, outcome });
    drawVisit();
  };

  // A find on a tree says that the tree was looked at and that something was there.
  sitebook.treeHasFind = (visit, tree) => {
    const finds = sitebook.standing("find").filter((find) => find.visit === visit.uuid && find.host_tree_uuid === tree.uuid);
    const there = lookAt(visit, tree.uuid, null);
    const about = { host_tree: tree.tag, host_tree_uuid: tree.uuid };
    if (finds.length) sitebook.note("look", there ? there.uuid : null, { ...sitebook.partOfVisit(visit), ...about, outcome: "found" });
    else if (there && there.outcome === "found") sitebook.takeBack(there.uuid);
  };

  const outcomes = (visit, about, label, more) => {
    const row = element("div", "outcomes");
    const there = lookAt(visit, about.host_tree_uuid || null, about.taxon_uuid || null);
    for (const [outcome, shown] of [["not seen", "nothing"], ["only remains", "remains"]]) {
      const made = button(shown, "chip", () => noteLook(visit, about, outcome));
      made.setAttribute("aria-pressed", String(Boolean(there && there.outcome === outcome)));
      made.setAttribute("aria-label", `${label}: ${shown}`);
      row.append(made);
    }
    if (more) row.append(more);
    return row;
  };

  const treeRow = (visit, tree) => {
    const row = element("li", "tree");
    const finds = sitebook.standing("find").filter((find) => find.visit === visit.uuid && find.host_tree_uuid === tree.uuid).length;
    const find = button(finds ? `+ find (${finds})` : "+ find", "chip", () => sitebook.startFind(visit, { tree }));
    find.setAttribute("aria-label", `${tree.tag}: a find`);
    row.append(element("p", "called", tree.kind ? `${tree.tag} · ${tree.kind}` : tree.tag));
    row.append(outcomes(visit, { host_tree: tree.tag, host_tree_uuid: tree.uuid }, tree.tag, find));
    return row;
  };

  const taxaPart = (visit, site) => {
    const box = element("section", "part");
    box.append(element("h3", "", "Names looked for, one by one"));
    if (visit.looked_for_all !== false) {
      box.append(element("p", "", "You look for everything you know, so every name without a find counts as looked for."));
      box.append(button("I look only for some names", "", () => {
        sitebook.note("visit", visit.uuid, { ...sitebook.said(visit), looked_for_all: false });
        drawVisit();
      }));
      return box;
    }
    const list = element("ul", "rows");
    const here = sitebook.namesOf(site);
    const known = here.length ? here : data.taxa.slice(0, 12);
    const looked = looksOf(visit).map((look) => look.taxon_uuid);
    const others = data.taxa.filter((taxon) => looked.includes(taxon.uuid) && !known.includes(taxon));
    for (const taxon of [...known, ...others]) {
      const row = element("li", "tree");
      row.append(element("p", "called name", taxon.name));
      row.append(outcomes(visit, { taxon: taxon.name, taxon_uuid: taxon.uuid }, taxon.name));
      list.append(row);
    }
    box.append(list);
    return box;
  };

  const ending = (visit) => {
    const box = element("section", "part");
    const spent = visit.started_at ? Math.max(1, Math.round((Date.now() - Date.parse(visit.started_at)) / 60000)) : null;
    box.append(element("h3", "", "When you leave"));
    if (visit.search_minutes !== undefined) box.append(element("p", "", `${visit.search_minutes} minutes noted.`));
    if (spent !== null && spent <= 720) {
      box.append(button(`I searched for ${spent} min`, "", () => {
        sitebook.note("visit", visit.uuid, { ...sitebook.said(visit), search_minutes: spent });
        if (!data.afield) return drawVisit();
        sitebook.drawPlaces();
        return sitebook.open("places");
      }));
    }
    box.append(button("Change date, minutes, people, remarks", "", () => sitebook.changeVisit(visit.uuid)));
    return box;
  };

  // A find of a name that is expected here, with one tap less.
  const likely = (visit, site) => {
    const names = data.taxa.filter((taxon) => (site.expected || []).slice(0, MOST_LIKELY).includes(taxon.uuid));
    if (!names.length) return [];
    const row = element("div", "chips likely");
    for (const taxon of names) {
      row.append(button(`+ ${taxon.name}`, "chip", () => sitebook.startFind(visit, { said: { name: taxon.name, taxon_uuid: taxon.uuid } })));
    }
    return [row];
  };

  const drawVisit = () => {
    const visit = sitebook.currentVisit();
    const pane = sitebook.pane("visit");
    if (!visit) {
      pane.replaceChildren(sitebook.head("No visit yet"), element("p", "", "Tap a place first."), button("Choose a place", "main", () => sitebook.open("places")));
      return;
    }
    const site = siteOf(visit);
    const hour = (visit.started_at || "").slice(11, 16);
    const none = button("Looked, nothing found", "wide", () => noteLook(visit, {}, "not seen"));
    none.setAttribute("aria-pressed", String(Boolean(lookAt(visit, null, null))));
    const trees = element("ul", "rows");
    trees.append(...site.trees.map((tree) => treeRow(visit, tree)));
    const treePart = element("section", "part");
    treePart.append(element("h3", "", "Trees"), trees);
    pane.replaceChildren(
      sitebook.head(visit.site),
      element("p", "quiet", `${visit.local_date}${hour ? ` from ${hour}` : ""}, ${visit.reason}`),
      ...site.heed.map((sentence) => element("p", "heed", sentence)),
      button("+ Find", "main", () => sitebook.startFind(visit, {})),
      ...likely(visit, site),
      none,
      ...(site.trees.length ? [treePart] : []),
      taxaPart(visit, site),
      ending(visit),
    );
  };
  sitebook.drawVisit = drawVisit;
  sitebook.drawPlaces = drawPlaces;
  const known = sitebook.standing("visit");
  if (known.length) current = known[known.length - 1].uuid;
})();
