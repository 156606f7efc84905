// Shows the stops of the day in their order, each with one button that begins there.
"use strict";
(() => {
  const { data, element, button } = sitebook;
  const stops = [...document.querySelectorAll(".day .stop")];
  const siteOf = (stop) => data.sites.find((site) => site.uuid === stop.dataset.site);

  const folded = (title, ...nodes) => {
    const box = element("details", "folded");
    box.append(element("summary", "", title), ...nodes);
    return box;
  };
  const found = (name) => [...document.querySelectorAll(`.day > ${name}`)];

  // The stops as they stand in the page, each given its button; what is read less often is folded.
  const starts = new Map();
  for (const stop of stops) {
    const site = siteOf(stop);
    if (site) {
      const start = button("", "site", () => sitebook.goToSite(site));
      stop.querySelector(".times").after(start);
      starts.set(stop, start);
    }
    const more = stop.querySelector(".stop-more");
    const box = element("details", "more");
    more.before(box);
    box.append(element("summary", "", "Trees, permission, cautions in full"), more);
  }
  const otherDay = element("p", "other-day");
  const pane = sitebook.pane("places");
  const alikes = found(".alikes").map((node) => folded("Look-alikes of what is expected", node));
  pane.replaceChildren(
    sitebook.head("Where are you?"),
    otherDay,
    ...found(".changed"),
    ...stops,
    ...found(".home"),
    ...found(".day-lines"),
    ...found(".such-looks"),
    ...alikes,
    ...found(".about-ways").map((node) => folded("How ways and times were reckoned", node)),
  );
  for (const link of pane.querySelectorAll("a[href^='#alike']")) link.addEventListener("click", () => alikes.forEach((box) => (box.open = true)));
  for (const title of pane.querySelectorAll(".alikes > h3,.about-ways > h3")) title.remove();

  const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;
  const stateOf = (site, visit) => {
    const finds = sitebook.standing("find").filter((find) => find.visit === visit.uuid).length;
    const left = visit.search_minutes === undefined ? "" : `, ${visit.search_minutes} min searched`;
    return `Go on at ${site.name}: ${count(finds, "find", "finds")}${left}`;
  };
  const nextStop = () => [...starts.keys()].find((stop) => !sitebook.openVisit(siteOf(stop)));
  sitebook.drawPlaces = () => {
    const today = sitebook.day(new Date());
    otherDay.hidden = today === data.day;
    otherDay.textContent = `This pack is for ${data.day}; the phone says it is ${today}. What you note bears the phone's date.`;
    const visits = new Map([...starts.keys()].map((stop) => [stop, sitebook.openVisit(siteOf(stop))]));
    const next = nextStop();
    for (const [stop, start] of starts) {
      const visit = visits.get(stop);
      start.textContent = visit ? stateOf(siteOf(stop), visit) : `I am at ${siteOf(stop).name}`;
      start.classList.toggle("next", stop === next);
      stop.classList.toggle("left-behind", Boolean(visit && visit.search_minutes !== undefined));
    }
  };

  // Once something was noted, the day opens at the stop that comes next.
  const open = sitebook.open;
  sitebook.open = (name) => {
    open(name);
    const next = name === "places" && sitebook.entries.size ? nextStop() : null;
    if (next) next.scrollIntoView();
  };

  // What a name may be mistaken for, said where the name is chosen.
  sitebook.aboutName = (name) => {
    const others = data.alikes[name];
    if (!others) return [element("p", "heed", "Not expected on this day: neither its look-alikes nor a poisoning class are in this pack, which says nothing of what it does to whoever eats it.")];
    const noted = data.poisoning[name] || "No poisoning class is noted for this name, which says nothing of what it does to whoever eats it.";
    const nodes = [element("p", "heed", noted)];
    if (!others.length) return [...nodes, element("p", "heed", "No look-alike is noted for this name. That does not mean that there is none.")];
    const box = element("div", "heed");
    const list = element("ul");
    for (const [other, danger, character] of others) {
      const row = element("li");
      row.append(element("i", "", other), danger ? ` (${danger})` : " (what it can do is not noted)", `: ${character || "what tells them apart is not noted"}`);
      list.append(row);
    }
    box.append(element("b", "", "May be mistaken for, among others:"), list, element("p", "", "A character that fits excludes the name beside it and no other; it settles no name."));
    return [...nodes, box];
  };

  // On paper nothing can be unfolded, so all of it is.
  const unfolded = [];
  addEventListener("beforeprint", () => {
    for (const box of pane.querySelectorAll("details:not([open])")) {
      box.open = true;
      unfolded.push(box);
    }
  });
  addEventListener("afterprint", () => unfolded.splice(0).forEach((box) => (box.open = false)));

  const note = () => document.body.classList.toggle("nothing-noted", !sitebook.entries.size);
  sitebook.watch(note);
  sitebook.watch(() => sitebook.drawPlaces());
  note();
})();
