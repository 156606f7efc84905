// Joins the panes of the sheet to the buttons at its foot.
"use strict";
(() => {
  const draws = {
    places: () => sitebook.drawPlaces(),
    visit: () => sitebook.drawVisit(),
    entries: () => (sitebook.forgetQuestion(), sitebook.drawEntries()),
    out: () => sitebook.drawOut(),
  };
  for (const made of document.querySelectorAll(".dock button")) {
    made.addEventListener("click", () => {
      sitebook.say("");
      draws[made.dataset.show]();
      sitebook.open(made.dataset.show);
    });
  }
  sitebook.watch(() => sitebook.drawEntries());
  for (const draw of Object.values(draws)) draw();
  sitebook.open(sitebook.currentVisit() ? "visit" : "places");
  document.documentElement.dataset.ready = "yes";
})();
