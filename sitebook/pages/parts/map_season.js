// Lets badges, hatches and trees show the chance of a taxon, in a usual week or on the coming days, instead of the class of the place.
"use strict";
(() => {
  const { season, ahead, weeks } = sitebook.data;
  const taxon = document.getElementById("taxon");
  const when = document.getElementById("when");
  const week = document.getElementById("week");
  const whenRow = document.getElementById("when-row");
  const row = document.getElementById("week-row");
  const spoken = document.getElementById("week-said");
  const said = document.getElementById("season-said");
  const WIDTHS = [[60, 1], [40, 2], [20, 3], [0, 4]];

  const isOn = () => taxon.value !== "";
  const wanted = () => (taxon.value === "any" ? season : [season[Number(taxon.value)]]);

  // Chance of one taxon at one site or tree: {name, numbers, looks, found, more}; null where none was computed.
  const chanceOf = (one, kind, id) => {
    const here = when.value ? one.ahead[when.value]?.[kind][id] : one[kind][id];
    if (!here) return null;
    const at = here.at ? `at its likeliest tree, ${here.at}` : "";
    if (when.value) {
      const more = [`on ${here.on}, ${here.weather}`, at].filter(Boolean).join("; ");
      return { ...here, name: one.name, numbers: here.chance, more };
    }
    const numbers = here.weeks[here.weeks.length === 1 ? 0 : Number(week.value) - 1];
    return { ...here, name: one.name, numbers, more: at };
  };

  const likeliest = (kind, id) =>
    wanted().reduce((best, one) => {
      const here = chanceOf(one, kind, id);
      return here && (!best || here.numbers[0] > best.numbers[0]) ? here : best;
    }, null);

  const tellOf = (here) => {
    const [chance, low, high, fromBooks] = here.numbers;
    const looks = here.looks === 1 ? "1 look" : `${here.looks} looks`;
    const parts = [`${chance} % (${low} to ${high} %${fromBooks ? ", little known yet" : ""})`, here.more];
    parts.push(here.looks ? `${looks}, ${here.found} found it` : "no look for it here yet");
    return (taxon.value === "any" ? `${here.name}: ` : "") + parts.filter(Boolean).join("; ");
  };

  // What is said where there is no chance: why there is none, as far as the page knows.
  const nothing = () => {
    if (sitebook.data.rows_left_out) return "never looked for or found here, or not in this map";
    return taxon.value === "any" ? "no taxon was looked for by its name or found here" : "never looked for or found here";
  };

  const closed = (kind, id) => (when.value ? ahead.closed[when.value][kind][id] : undefined);

  const byRoad = (site) => ({ text: site.badge, kind: "", said: site.said, hatch: `road-${site.class}`, order: 0 });

  const byChance = (site) => {
    const reason = closed("sites", site.id);
    if (reason) return { text: "–", kind: "unknown", said: reason, hatch: "chance-unknown", order: -2 };
    const here = likeliest("sites", site.id);
    if (!here) return { text: "–", kind: "unknown", said: nothing(), hatch: "chance-unknown", order: -1 };
    const [chance, low, high, fromBooks] = here.numbers;
    const step = WIDTHS.find(([from]) => high - low >= from)[1];
    return {
      text: `${chance} %`,
      kind: fromBooks ? "books" : "season",
      said: tellOf(here),
      hatch: fromBooks ? "chance-books" : `chance-${step}`,
      order: chance,
    };
  };

  // What badge, hatch and list say of a site just now.
  sitebook.wordsOf = (site) => (isOn() ? byChance(site) : byRoad(site));

  // What stands below a tree just now: {chance, text, fromBooks}; null for nothing.
  sitebook.chanceOfTree = (id) => {
    const here = isOn() && !closed("trees", id) ? likeliest("trees", id) : null;
    return here && { chance: here.numbers[0], text: `${here.numbers[0]} %`, fromBooks: Boolean(here.numbers[3]) };
  };

  const heading = () => {
    const name = taxon.value === "any" ? "Likeliest taxon" : wanted()[0].name;
    return `${name}, ${when.value ? ahead.spans[when.value].join(", ") : `week ${week.value}`}`;
  };

  // What a record says of the chance: heading and words; "" while badges show classes.
  sitebook.seasonFact = (kind, id) => {
    if (!isOn()) return "";
    const here = likeliest(kind, id);
    const words = closed(kind, id) ?? (here ? tellOf(here) : nothing());
    const station = when.value && kind === "sites" ? ahead.stations[id] : "";
    return [`${heading()}: ${words}`, station].filter(Boolean).join("\n");
  };

  const explain = () => {
    if (!isOn()) return "";
    const chance = "Chance of at least one find in a look of 30 minutes, with an 80 % interval";
    return when.value
      ? `${chance}, on the best day of ${ahead.spans[when.value][1]}, with the weather so far.`
      : `${chance}, in a usual year.`;
  };

  const refresh = () => {
    whenRow.hidden = !isOn() || when.options.length < 2;
    row.hidden = !isOn() || when.value !== "";
    spoken.textContent = `Week ${week.value}: ${weeks[Number(week.value) - 1]}`;
    week.setAttribute("aria-valuetext", spoken.textContent);
    said.textContent = explain();
    for (const site of sitebook.sites) sitebook.hatch(site, sitebook.wordsOf(site).hatch);
    sitebook.tellBadges(sitebook.wordsOf);
    sitebook.listSites();
    sitebook.redrawSpots();
  };

  const step = (by) => {
    week.value = String(((Number(week.value) - 1 + by + weeks.length) % weeks.length) + 1);
    refresh();
  };

  sitebook.startSeason = () => {
    week.value = String(sitebook.data.week);
    taxon.value = "";
    when.value = "";
    for (const choice of [taxon, when]) choice.addEventListener("change", refresh);
    week.addEventListener("input", refresh);
    document.getElementById("week-less").addEventListener("click", () => step(-1));
    document.getElementById("week-more").addEventListener("click", () => step(1));
    refresh();
  };
})();
