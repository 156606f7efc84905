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
    const about = element("div", "about-name");
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
      const here = sitebook.namesOf(sitebook.siteOf(visit));
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
      about.replaceChildren(...(sitebook.aboutName && chosen ? sitebook.aboutName(chosen.name) : []));
    };
    search.addEventListener("input", draw);
    box.append(element("legend", "", "Name"), row, search, about);
    draw();
    return { box, get: () => chosen };
  };

  // Photo numbers, the next after those noted last at a tap.
  const photosField = (said) => {
    const field = sitebook.field("Photo numbers", { mode: "text", value: said.photos, hint: "as 412 413" });
    const after = (text) => (/(\d+)\D*$/.exec(text || "") || [])[1];
    const noted = sitebook.standing("find").map((one) => after(one.photos)).filter(Boolean);
    const more = button("", "chip", () => {
      field.set(`${field.get()} ${next()}`.trim());
      show();
    });
    const next = () => {
      const before = after(field.get()) || noted[noted.length - 1];
      return before ? String(Number(before) + 1).padStart(before.length, "0") : null;
    };
    const show = () => {
      more.hidden = !next();
      more.textContent = `+ ${next()}`;
      more.setAttribute("aria-label", `photo ${next()} too`);
    };
    const row = element("div", "beside");
    row.append(field.input, more);
    field.box.append(row);
    field.input.addEventListener("input", show);
    show();
    return field;
  };

  // A smell tapped, or typed.
  const smellField = (said) => {
    const field = sitebook.field("Smell", { value: said.smell, hint: "or as it smells to you" });
    const row = element("div", "chips");
    const show = () => {
      for (const chip of row.children) chip.setAttribute("aria-pressed", String(chip.dataset.value === field.get()));
    };
    for (const word of data.smells) {
      const chip = button(word, "chip", () => {
        field.set(field.get() === word ? "" : word);
        show();
      });
      chip.dataset.value = word;
      row.append(chip);
    }
    field.input.addEventListener("input", show);
    field.input.before(row);
    show();
    return field;
  };

  // Who found the last one: most likely who finds the next.
  const lastFinder = () => {
    const finds = sitebook.standing("find");
    return finds.length ? finds[finds.length - 1].collector_uuid : data.collector.uuid;
  };
  const numberFor = (uuid) => (uuid === data.collector.uuid ? sitebook.nextNumber() : null);

  const drawForm = (visit, find, preset) => {
    const said = find || preset.said || {};
    const who = said.collector_uuid || (find ? data.collector.uuid : lastFinder());
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
        value: find ? said.collection_number : numberFor(who),
        hint: "none",
      }),
      grams: sitebook.field("Fresh mass taken, in grams", { mode: "decimal", value: said.fresh_mass_g, hint: "not weighed" }),
      photos: photosField(said),
      qualifier: sitebook.chips("How certain is the name", data.words.qualifier, { value: said.qualifier || null }),
      substrate: sitebook.chips("Grew on", data.words.substrate, { value: said.substrate || null }),
      role: sitebook.chips("The tree is", data.words.host_role, { value: said.host_role || null }),
      dug: sitebook.chips("Base dug up", [["yes", "yes"], ["no", "no"]], { value: { true: "yes", false: "no" }[said.base_dug] || null }),
      smell: smellField(said),
      who: sitebook.chips("Found by", data.people.map((person) => [person.uuid, person.initials, person.name]), {
        value: who,
        optional: false,
        changed: (uuid) => fields.number.set(numberFor(uuid)),
      }),
      position: sitebook.positionField(said, !find),
      note: sitebook.field("Note", { wide: true, value: said.note }),
    };
    const counts = element("div", "part");
    counts.append(fields.count.box, fields.countOf.box);
    const trees = site.trees.length ? [fields.tree.box] : [];
    const role = site.trees.length ? [fields.role.box] : [];
    const finders = data.people.length > 1 ? [fields.who.box] : [];
    const { name, stage, number, photos, grams, substrate, qualifier, dug, smell, position, note } = fields;
    const more = element("details", "more");
    more.open = Boolean(find);
    more.append(element("summary", "", data.afield ? "More: how certain, what it grew on, numbers of the position …" : "More: photos, grams, what it grew on, position …"));
    const front = data.afield ? [position.front, photos.box, dug.box, smell.box, grams.box, ...finders, number.box] : [number.box];
    if (!data.afield) more.append(photos.box, grams.box);
    more.append(qualifier.box, substrate.box, ...role);
    if (!data.afield) more.append(dug.box, smell.box, ...finders);
    more.append(position.box, note.box);
    const keep = button(find ? "Keep these changes" : "Keep this find", "main keep", () => keepFind(visit, find, fields));
    const back = button("Back without keeping", "", () => sitebook.goToVisit(visit.uuid));
    const shown = [name.box, ...trees, counts, stage.box, ...front, more, back, keep];
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
    const kept = sitebook.note("find", find ? find.uuid : null, {
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
    fields.position.kept(kept);
    for (const one of new Set([tree, before])) if (one) sitebook.treeHasFind(visit, one);
    sitebook.goToVisit(visit.uuid);
    const label = values.number === null ? "without a number" : `${who.initials} ${values.number}`;
    return sitebook.say(`Kept: ${name ? name.name : "not named"}, ${label}.`);
  };
})();
