// Draws host trees and finds on one canvas, and finds those near a tap.
"use strict";
(() => {
  const CLOSE_ZOOM = 16;
  const LETTER_ZOOM = 17;
  const SHAPE_ZOOM = 14.5;
  const CROWDED = 2500;
  const MOUSE_REACH_PX = 13;
  const FINGER_REACH_PX = 22;
  const { trees, finds } = sitebook.data;
  const kinds = [
    { kind: "tree", columns: trees, units: sitebook.unpackPoints(trees.xy), letter: (i) => trees.name[i] },
    { kind: "find", columns: finds, units: sitebook.unpackPoints(finds.xy), letter: (i) => finds.words[finds.name[i]] },
  ];
  sitebook.spotUnits = Object.fromEntries(kinds.map(({ kind, units }) => [kind, units]));
  let chosen = null;
  let layer = null;

  const eachSeen = (view, { units }, use) => {
    const [left, top, right, bottom] = view.box;
    for (let i = 0; i < units.length; i += 2) {
      if (units[i] < left || units[i] > right || units[i + 1] < top || units[i + 1] > bottom) continue;
      use(i / 2, units[i] * view.scale - view.left, units[i + 1] * view.scale - view.top);
    }
  };

  // A find is a cap on a stem, a tree is a lozenge; size is half the height [px].
  const PATHS = {
    find(pen, x, y, size) {
      pen.moveTo(x - size, y + size * 0.2);
      pen.arc(x, y + size * 0.2, size, Math.PI, 0);
      pen.closePath();
      pen.rect(x - size * 0.28, y + size * 0.2, size * 0.56, size * 0.8);
    },
    tree(pen, x, y, size) {
      pen.moveTo(x, y - size * 1.15);
      pen.lineTo(x + size, y);
      pen.lineTo(x, y + size * 1.15);
      pen.lineTo(x - size, y);
      pen.closePath();
    },
  };

  const paint = (pen, kind, count) => {
    pen.fillStyle = sitebook.colour(kind === "find" ? "plum" : "card");
    pen.strokeStyle = sitebook.colour(kind === "find" ? "card" : "ink");
    pen.lineWidth = kind === "find" ? 1.5 : 1.8;
    if (count > CROWDED) pen.fillStyle = sitebook.colour(kind === "find" ? "plum" : "ink");
  };

  const letters = (pen, view, spots) => {
    pen.font = "700 11px system-ui, sans-serif";
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillStyle = sitebook.colour(spots.kind === "find" ? "night-text" : "ink");
    eachSeen(view, spots, (i, x, y) => {
      const letter = (spots.letter(i) || "?").charAt(0).toUpperCase();
      pen.fillText(letter, x, spots.kind === "find" ? y - 2.5 : y + 0.5);
    });
  };

  const sizeAt = (zoom) => (zoom >= LETTER_ZOOM ? 11 : zoom >= CLOSE_ZOOM ? 7.5 : 5);

  // From afar, finds are dots and trees are left to their sites.
  const afar = (pen, view, spots) => {
    if (spots.kind === "tree") return;
    eachSeen(view, spots, (i, x, y) => {
      pen.beginPath();
      pen.arc(x, y, 2.5, 0, 2 * Math.PI);
      pen.fill();
    });
  };

  const drawKind = (pen, view, spots) => {
    let count = 0;
    eachSeen(view, spots, () => (count += 1));
    paint(pen, spots.kind, count);
    if (view.zoom < SHAPE_ZOOM && count <= CROWDED) return afar(pen, view, spots);
    if (count > CROWDED) return eachSeen(view, spots, (i, x, y) => pen.fillRect(x - 1.5, y - 1.5, 3, 3));
    eachSeen(view, spots, (i, x, y) => {
      pen.beginPath();
      PATHS[spots.kind](pen, x, y, sizeAt(view.zoom));
      pen.stroke();
      pen.fill();
    });
    if (view.zoom >= LETTER_ZOOM) letters(pen, view, spots);
  };

  // Chances below the trees, the highest first where there is room for one only.
  const chances = (pen, view) => {
    if (view.zoom < CLOSE_ZOOM) return;
    const told = [];
    eachSeen(view, kinds[0], (i, x, y) => {
      const here = sitebook.chanceOfTree(trees.id[i]);
      if (here) told.push({ ...here, x, y: y + sizeAt(view.zoom) * 1.15 + 8 });
    });
    told.sort((a, b) => b.chance - a.chance);
    const taken = [];
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.lineJoin = "round";
    for (const { x, y, text, fromBooks } of told) {
      if (taken.some((other) => Math.abs(other.x - x) < 38 && Math.abs(other.y - y) < 15)) continue;
      taken.push({ x, y });
      pen.font = `${fromBooks ? "italic 400" : "700"} 13px system-ui, sans-serif`;
      pen.lineWidth = 4;
      pen.strokeStyle = sitebook.colour("card");
      pen.fillStyle = sitebook.colour("plum");
      pen.strokeText(text, x, y);
      pen.fillText(text, x, y);
    }
  };

  const ring = (pen, view) => {
    const units = sitebook.spotUnits[chosen.kind];
    if (2 * chosen.i >= units.length) return;
    const x = units[2 * chosen.i] * view.scale - view.left;
    const y = units[2 * chosen.i + 1] * view.scale - view.top;
    for (const [width, name] of [[6, "card"], [3, "ink"]]) {
      pen.beginPath();
      pen.arc(x, y, sizeAt(view.zoom) + 8, 0, 2 * Math.PI);
      pen.lineWidth = width;
      pen.strokeStyle = sitebook.colour(name);
      pen.stroke();
    }
  };

  const draw = (pen, view) => {
    pen.clearRect(0, 0, view.width, view.height);
    for (const spots of kinds) drawKind(pen, view, spots);
    chances(pen, view);
    if (chosen) ring(pen, view);
  };

  sitebook.addSpots = (map) => {
    map.createPane("spots");
    layer = new sitebook.CanvasLayer("spots", draw).addTo(map);
  };

  sitebook.markSpot = (kind, i) => {
    chosen = kind ? { kind, i } : null;
    layer.redraw();
  };

  sitebook.redrawSpots = () => layer?.redraw();

  sitebook.latLngOfSpot = (kind, i) => {
    const units = sitebook.spotUnits[kind];
    return 2 * i < units.length ? sitebook.latLngOf(units[2 * i], units[2 * i + 1]) : null;
  };

  // Spots within reach of a tap, nearest first.
  sitebook.spotsNear = (map, latLng, isFinger) => {
    const [x, y] = sitebook.unitsOf(latLng.lng, latLng.lat);
    const scale = 2 ** map.getZoom();
    const reach = (isFinger ? FINGER_REACH_PX : MOUSE_REACH_PX) / scale;
    const near = [];
    for (const { kind, units } of kinds) {
      for (let i = 0; i < units.length; i += 2) {
        const away = Math.hypot(units[i] - x, units[i + 1] - y);
        if (away <= reach) near.push({ kind, i: i / 2, away });
      }
    }
    return near.sort((a, b) => a.away - b.away);
  };
})();
