// Takes where a find was: from the phone if it tells, else by a tap on the map, else later from a photo.
"use strict";
(() => {
  const { element, button } = sitebook;
  const WAIT_MS = 20000;
  const FRESH_MS = 10000;
  let refused = false;

  sitebook.askPhone = (got, failed) => {
    if (refused || !("geolocation" in navigator)) return failed();
    const lost = (why) => {
      refused = refused || Boolean(why && why.code === 1);
      failed();
    };
    try {
      return navigator.geolocation.getCurrentPosition(
        ({ coords }) => got({ lon: coords.longitude, lat: coords.latitude, error: Math.max(1, Math.round(coords.accuracy)) }),
        lost,
        { enableHighAccuracy: true, timeout: WAIT_MS, maximumAge: FRESH_MS },
      );
    } catch (why) {
      return lost(why);
    }
  };

  const words = {
    phone: (error) => `Position from the phone, good to ${error} m.`,
    map: (error) => `Position tapped on the map, good to ${error} m.`,
    typed: () => "Position typed.",
  };
  const NONE = "No position: a photo may tell it later, until then the site's stands in.";

  sitebook.positionField = (said, fresh) => {
    const lon = sitebook.field("Longitude", { mode: "text", value: said.lon, hint: "as -19.41234" });
    const lat = sitebook.field("Latitude", { mode: "text", value: said.lat, hint: "as 48.61234" });
    const box = element("div", "pair");
    const front = element("div", "field where");
    const answer = element("p", "");
    const row = element("div", "chips");
    let from = { source: said.position_source || "typed", error: said.uncertainty_m };
    let keptAs = null;
    let keptSince = 0;
    answer.setAttribute("aria-live", "polite");

    const show = (asking) => {
      const known = lon.get() || lat.get();
      answer.textContent = known ? (words[from.source] || words.typed)(from.error) : asking ? "Asking the phone for the position …" : NONE;
    };
    const set = (at, source) => {
      lon.set(typeof at.lon === "number" ? at.lon.toFixed(6) : at.lon);
      lat.set(typeof at.lat === "number" ? at.lat.toFixed(6) : at.lat);
      from = { source, error: at.error };
      show(false);
    };
    // An answer that comes after the find was kept still goes to it, a metre less exact for each second.
    const addLater = (at) => {
      const find = sitebook.entries.get(keptAs);
      if (!find || find.withdrawn || find.lon !== undefined) return;
      const late = Math.ceil((Date.now() - keptSince) / 1000);
      sitebook.note("find", keptAs, { ...sitebook.said(find), lon: at.lon.toFixed(6), lat: at.lat.toFixed(6), position_source: "phone", uncertainty_m: at.error + late });
    };
    const ask = (always) => {
      show(true);
      sitebook.askPhone(
        (at) => {
          if (keptAs) addLater(at);
          else if (always || !(lon.get() || lat.get())) set(at, "phone");
        },
        () => show(false),
      );
    };
    for (const field of [lon, lat]) {
      field.input.addEventListener("input", () => {
        from = { source: "typed", error: null };
        show(false);
      });
    }
    const onMap = () => {
      const visit = sitebook.currentVisit();
      sitebook.pickOnMap(visit && sitebook.siteOf(visit), (at) => {
        set(at, "map");
        sitebook.open("find");
        front.scrollIntoView({ block: "center" });
      });
    };
    row.append(button("From the phone", "chip", () => ask(true)), button("On the map", "chip", onMap));
    front.append(answer, row);
    box.append(lon.box, lat.box);
    show(false);
    if (fresh && !lon.get()) ask(false);
    const kept = (uuid) => {
      keptAs = uuid;
      keptSince = Date.now();
    };
    return { box, front, lon, lat, from: () => from, kept };
  };
})();
