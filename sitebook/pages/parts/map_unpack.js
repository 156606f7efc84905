// Reads the data of the page: unpacks positions and turns them into map units.
"use strict";
const sitebook = {};
document.documentElement.classList.add("scripted");
(() => {
  const TILE = 256;
  sitebook.data = JSON.parse(document.getElementById("page-data").textContent);
  const steps = sitebook.data.steps;

  // Spherical Mercator at zoom 0, so that one multiplication gives pixels at any zoom.
  sitebook.unitsOf = (lon, lat) => {
    const sine = Math.sin((lat * Math.PI) / 180);
    return [
      TILE * (lon / 360 + 0.5),
      TILE * (0.5 - Math.log((1 + sine) / (1 - sine)) / (4 * Math.PI)),
    ];
  };

  // Differences of positions in, running sums in map units out.
  const summed = (differences) => {
    const units = new Float64Array(differences.length);
    let lon = 0;
    let lat = 0;
    for (let i = 0; i < differences.length; i += 2) {
      lon += differences[i];
      lat += differences[i + 1];
      [units[i], units[i + 1]] = sitebook.unitsOf(lon / steps, lat / steps);
    }
    return units;
  };

  const boxOf = (units, from, to) => {
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = from; i < to; i += 2) {
      box[0] = Math.min(box[0], units[i]);
      box[1] = Math.min(box[1], units[i + 1]);
      box[2] = Math.max(box[2], units[i]);
      box[3] = Math.max(box[3], units[i + 1]);
    }
    return box;
  };

  // Gives {units, shapes: [{runs: [[from, to]], box}]}; from and to are places in units.
  sitebook.unpack = (layer) => {
    const units = summed(layer.xy);
    const shapes = [];
    let run = 0;
    let at = 0;
    for (const parts of layer.parts) {
      const start = at;
      const runs = [];
      for (let i = 0; i < parts; i += 1, run += 1) {
        const end = at + 2 * layer.counts[run];
        runs.push([at, end]);
        at = end;
      }
      shapes.push({ runs, box: boxOf(units, start, at) });
    }
    return { units, shapes };
  };

  sitebook.unpackPoints = (differences) => summed(differences);

  // Map units back to Leaflet's latitude and longitude.
  sitebook.latLngOf = (x, y) => {
    const lat = (Math.atan(Math.sinh(Math.PI * (1 - (2 * y) / TILE))) * 180) / Math.PI;
    return L.latLng(lat, (x / TILE - 0.5) * 360);
  };

  const seen = getComputedStyle(document.documentElement);
  sitebook.colour = (name) => seen.getPropertyValue(`--${name}`).trim();

  // An element with text; text is never read as HTML.
  sitebook.element = (tag, className, text) => {
    const made = document.createElement(tag);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  };
})();
