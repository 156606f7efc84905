// Joins the panes of the sheet to the buttons at its foot.
"use strict";
(() => {
  const draws = {
    places: () => sitebook.drawPlaces(),
    visit: () => sitebook.drawVisit(),
    entries: () => (sitebook.forgetQuestion(), sitebook.drawEntries()),
    out: () => sitebook.drawOut(),
  };
  if (sitebook.drawMap) draws.map = () => sitebook.drawMap();
  for (const made of document.querySelectorAll(".dock button")) {
    made.addEventListener("click", () => {
      sitebook.say("");
      sitebook.open(made.dataset.show);
      draws[made.dataset.show]();
      sitebook.pane(made.dataset.show).querySelector("h2").focus({ preventScroll: true });
    });
  }
  sitebook.watch(() => sitebook.drawEntries());
  for (const draw of Object.values(draws)) draw();
  sitebook.open(sitebook.currentVisit() ? "visit" : "places");
  document.documentElement.dataset.ready = "yes";
})();
