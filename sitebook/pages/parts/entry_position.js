// Takes where a find was: typed, or as the telephone gives it.
"use strict";
(() => {
  const { element, button } = sitebook;
  sitebook.positionField = (said) => {
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
    return { box, lon, lat, from: () => from, kept: () => {} };
  };
})();
