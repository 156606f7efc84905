// Lets badges and hatches show the chance of one taxon in one week instead of the class of the place.
"use strict";
(() => {
  const { season, weeks } = sitebook.data;
  const taxon = document.getElementById("taxon");
  const week = document.getElementById("week");
  const row = document.getElementById("week-row");
  const spoken = document.getElementById("week-said");
  const said = document.getElementById("season-said");
  const STEPS = [[60, 4], [30, 3], [10, 2], [0, 1]];

  const chosen = () => (taxon.value === "" ? null : season[Number(taxon.value)]);
  const percent = (site) => chosen().sites[site.id]?.weeks[Number(week.value) - 1] ?? null;

  const looksOf = (site) => {
    const here = chosen().sites[site.id];
    return here ? `found on ${here.found} of ${here.looks} looks` : "no looks for it here";
  };

  const byRoad = (site) => ({ text: site.badge, kind: "", said: site.said, hatch: `road-${site.class}`, order: 0 });

  const byChance = (site) => {
    const known = percent(site);
    if (!known) return { text: "?", kind: "unknown", said: `not enough known; ${looksOf(site)}`, hatch: "chance-unknown", order: -1 };
    const [chance, low, high] = known;
    const step = STEPS.find(([from]) => chance >= from)[1];
    const words = `${chance} % (${low} to ${high} %); ${looksOf(site)}`;
    return { text: `${chance} %`, kind: "season", said: words, hatch: `chance-${step}`, order: chance };
  };

  // What badge, hatch and list say of a site just now.
  sitebook.wordsOf = (site) => (chosen() ? byChance(site) : byRoad(site));

  sitebook.seasonFact = (id) =>
    chosen() ? `${chosen().name}, week ${week.value}: ${byChance(sitebook.siteOf(id)).said}` : "";

  const refresh = () => {
    const on = chosen();
    row.hidden = !on;
    spoken.textContent = `Week ${week.value}: ${weeks[Number(week.value) - 1]}`;
    week.setAttribute("aria-valuetext", spoken.textContent);
    said.textContent = on
      ? "Chance of at least one find in a look of 30 minutes, with an 80 % interval."
      : "";
    for (const site of sitebook.sites) sitebook.hatch(site, sitebook.wordsOf(site).hatch);
    sitebook.tellBadges(sitebook.wordsOf);
    sitebook.listSites();
  };

  const step = (by) => {
    week.value = String(((Number(week.value) - 1 + by + weeks.length) % weeks.length) + 1);
    refresh();
  };

  sitebook.startSeason = () => {
    week.value = String(sitebook.data.week);
    taxon.value = "";
    taxon.addEventListener("change", refresh);
    week.addEventListener("input", refresh);
    document.getElementById("week-less").addEventListener("click", () => step(-1));
    document.getElementById("week-more").addEventListener("click", () => step(1));
    refresh();
  };
})();
