// Takes a find: a name or none, a count, a tree, and whatever else there is time for.
"use strict";
(() => {
  const { data, element, button } = sitebook;
  const SHOWN = 12;
  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

  // The name: tapped from those of the place, searched for, or as typed.
  const nameField = (visit, said) => {
    const box = element("fieldset", "field");
    const search = element("input");
    const row = element("div", "chips");
    let chosen = said.name ? { uuid: said.taxon_uuid || null, name: said.name } : null;
    search.type = "search";
    search.placeholder = "search, or type a name";
    search.autocomplete = "off";
    search.setAttribute("aria-label", "search names");
    const choose = (taxon) => {
      chosen = taxon;
      draw();
    };
    const chip = (shown, taxon, className) => {
      const made = button(shown, className, () => choose(taxon));
      const pressed = taxon === null ? chosen === null : chosen !== null && chosen.name === taxon.name;
      made.setAttribute("aria-pressed", String(pressed));
      return made;
    };
    const draw = () => {
      const wanted = plain(search.value.trim());
      const here = data.taxa.filter((taxon) => taxon.sites.includes(visit.site_uuid));
      const known = here.length ? here : data.taxa;
      const fitting = wanted ? data.taxa.filter((taxon) => plain(`${taxon.name} ${taxon.vernacular}`).includes(wanted)) : known;
      const rows = fitting.slice(0, SHOWN).map((taxon) => {
        const made = chip(taxon.name, { uuid: taxon.uuid, name: taxon.name }, "chip name");
        if (wanted && taxon.vernacular) made.append(element("span", "quiet", ` ${taxon.vernacular}`));
        return made;
      });
      const typed = search.value.trim();
      if (typed && !fitting.some((taxon) => plain(taxon.name) === wanted)) rows.push(chip(`as typed: ${typed}`, { uuid: null, name: typed }, "chip"));
      const shown = chosen && !typed && !fitting.slice(0, SHOWN).some((taxon) => taxon.name === chosen.name);
      if (shown) rows.unshift(chip(chosen.name, chosen, "chip name"));
      row.replaceChildren(chip("Not named", null, "chip"), ...rows);
    };
    search.addEventListener("input", draw);
    box.append(element("legend", "", "Name"), row, search);
    draw();
    return { box, get: () => chosen };
  };

  const positionField = (said) => {
    const lon = sitebook.field("Longitude", { mode: "text", value: said.lon, hint: "as -19.41234" });
    const lat = sitebook.field("Latitude", { mode: "text", value: said.lat, hint: "as 48.61234" });
    const box = element("div", "field");
    const pair = element("div", "pair");
    const answer = element("p", "quiet");
    let from = { source: said.position_source || "typed", error: said.uncertainty_m };
    for (const field of [lon, lat]) field.input.addEventListener("input", () => (from = { source: "typed", error: null }));
    pair.append(lon.box, lat.box);
    box.append(pair);
    if ("geolocation" in navigator) {
      const ask = button("Take the telephone's position", "", () => {
        answer.textContent = "Asking the telephone …";
        try {
          navigator.geolocation.getCurrentPosition(
            ({ coords }) => {
              lon.set(coords.longitude.toFixed(6));
              lat.set(coords.latitude.toFixed(6));
              from = { source: "phone", error: Math.round(coords.accuracy) };
              answer.textContent = `Taken, with an error of ${from.error} m.`;
            },
            () => (answer.textContent = "The telephone gives no position. Leave it empty, or type it."),
            { enableHighAccuracy: true, timeout: 20000, maximumAge: 0 },
          );
        } catch {
          answer.textContent = "The telephone gives no position. Leave it empty, or type it.";
        }
      });
      box.append(ask, answer);
    }
    return { box, lon, lat, from: () => from };
  };

  const drawForm = (visit, find, preset) => {
    const said = find || {};
    const site = sitebook.siteOf(visit);
    const tree = preset.tree || site.trees.find((one) => one.uuid === said.host_tree_uuid) || null;
    const fields = {
      name: nameField(visit, said),
      count: sitebook.stepper("How many", { value: said.individual_count }),
      countOf: sitebook.chips("What was counted", data.words.count_of, { value: said.count_of || "bodies", optional: false }),
      stage: sitebook.chips("Growth stage", data.words.growth_stage, { value: said.growth_stage || null }),
      tree: sitebook.chips("Host tree", site.trees.map((one) => [one.uuid, one.tag, one.kind]), { value: tree && tree.uuid }),
      number: sitebook.field(`Collection number of ${data.collector.initials}`, {
        mode: "numeric",
        value: find ? said.collection_number : sitebook.nextNumber(),
        hint: "none",
      }),
      grams: sitebook.field("Fresh mass taken, in grams", { mode: "decimal", value: said.fresh_mass_g, hint: "not weighed" }),
      photos: sitebook.field("Photo numbers", { value: said.photos, hint: "as 412 413" }),
      qualifier: sitebook.chips("How certain is the name", data.words.qualifier, { value: said.qualifier || null }),
      substrate: sitebook.chips("Grew on", data.words.substrate, { value: said.substrate || null }),
      role: sitebook.chips("The tree is", data.words.host_role, { value: said.host_role || null }),
      dug: sitebook.chips("Base dug up", [["yes", "yes"], ["no", "no"]], { value: { true: "yes", false: "no" }[said.base_dug] || null }),
      smell: sitebook.field("Smell", { value: said.smell }),
      who: sitebook.chips("Found by", data.people.map((person) => [person.uuid, person.initials, person.name]), {
        value: said.collector_uuid || data.collector.uuid,
        optional: false,
        changed: (uuid) => fields.number.set(uuid === data.collector.uuid ? sitebook.nextNumber() : ""),
      }),
      position: positionField(said),
      note: sitebook.field("Note", { wide: true, value: said.note }),
    };
    const more = element("details", "more");
    more.open = Boolean(find);
    more.append(element("summary", "", "More: photos, grams, what it grew on, position …"));
    const { photos, grams, substrate, role, qualifier, dug, smell, who, position, note } = fields;
    more.append(photos.box, grams.box, qualifier.box, substrate.box);
    if (site.trees.length) more.append(role.box);
    more.append(dug.box, smell.box);
    if (data.people.length > 1) more.append(who.box);
    more.append(position.box, note.box);
    const counts = element("div", "part");
    counts.append(fields.count.box, fields.countOf.box);
    const keep = button(find ? "Keep these changes" : "Keep this find", "main keep", () => keepFind(visit, find, fields));
    const back = button("Back without keeping", "", () => sitebook.goToVisit(visit.uuid));
    const shown = [fields.name.box, ...(site.trees.length ? [fields.tree.box] : []), counts, fields.stage.box, fields.number.box, more, back, keep];
    sitebook.pane("find").replaceChildren(sitebook.head(find ? "Change a find" : `A find at ${visit.site}`), ...shown);
    sitebook.say("");
    sitebook.open("find");
  };
  sitebook.startFind = (visit, preset) => drawForm(visit, null, preset);
  sitebook.changeFind = (uuid) => {
    const find = sitebook.entries.get(uuid);
    drawForm(sitebook.entries.get(find.visit), find, {});
  };

  // What she filled in, or the sentence that says what cannot be.
  const read = (fields) => {
    const count = sitebook.number(fields.count.get(), 1, 1e6, true);
    const grams = sitebook.number(fields.grams.get(), 0, 1e6, false);
    const number = sitebook.number(fields.number.get(), 1, 1e9, true);
    const lon = sitebook.number(fields.position.lon.get(), -180, 180, false);
    const lat = sitebook.number(fields.position.lat.get(), -90, 90, false);
    if (count === undefined) return "How many is a whole number from 1 up.";
    if (grams === undefined) return "Grams are a number from 0 up.";
    if (number === undefined) return "A collection number is a whole number from 1 up.";
    if (lon === undefined || lat === undefined) return "Longitude is -180 to 180, latitude -90 to 90, both in degrees.";
    if ((lon === null) !== (lat === null)) return "Longitude and latitude go together: fill both, or neither.";
    if (lon === 0 && lat === 0) return "0/0 lies in the open sea: leave the position empty.";
    return { count, grams, number, lon, lat };
  };

  const taken = (number, who, find) =>
    sitebook.standing("find").some((one) => one.collection_number === number && one.collector_uuid === who && (!find || one.uuid !== find.uuid));

  const keepFind = (visit, find, fields) => {
    const values = read(fields);
    if (typeof values === "string") return sitebook.say(values);
    const who = data.people.find((person) => person.uuid === fields.who.get()) || data.collector;
    if (values.number !== null && taken(values.number, who.uuid, find)) return sitebook.say(`Number ${values.number} stands on another find.`);
    const site = sitebook.siteOf(visit);
    const tree = site.trees.find((one) => one.uuid === fields.tree.get());
    const before = find && site.trees.find((one) => one.uuid === find.host_tree_uuid);
    const name = fields.name.get();
    const now = new Date();
    const isNow = !find && visit.local_date === sitebook.day(now);
    const from = fields.position.from();
    sitebook.note("find", find ? find.uuid : null, {
      ...sitebook.partOfVisit(visit),
      found_at: isNow ? sitebook.stamp(sitebook.day(now), sitebook.hour(now)) : find && find.found_at,
      collector: who.initials,
      collector_uuid: who.uuid,
      collection_number: values.number,
      name: name && name.name,
      taxon_uuid: name && name.uuid,
      qualifier: name && fields.qualifier.get(),
      individual_count: values.count,
      count_of: fields.countOf.get(),
      fresh_mass_g: values.grams,
      growth_stage: fields.stage.get(),
      substrate: fields.substrate.get(),
      host_tree: tree && tree.tag,
      host_tree_uuid: tree && tree.uuid,
      host_role: tree && fields.role.get(),
      photos: fields.photos.get(),
      base_dug: { yes: true, no: false }[fields.dug.get()],
      smell: fields.smell.get(),
      lon: values.lon,
      lat: values.lat,
      position_source: values.lon === null ? null : from.source,
      uncertainty_m: values.lon === null ? null : from.error,
      note: fields.note.get(),
    });
    for (const one of new Set([tree, before])) if (one) sitebook.treeHasFind(visit, one);
    sitebook.goToVisit(visit.uuid);
    const label = values.number === null ? "without a number" : `${who.initials} ${values.number}`;
    return sitebook.say(`Kept: ${name ? name.name : "not named"}, ${label}.`);
  };
})();
