// Draws the ground: land, water, roads, and the sources of pollution that are known.
"use strict";
(() => {
  const colour = sitebook.colour;
  const layers = sitebook.data.ground.map((layer) => ({ ...layer, ...sitebook.unpack(layer) }));
  sitebook.groundLayers = layers;

  const FAINT_ZOOM = 15;
  const FAINT_POINT_ZOOM = 17;

  // Width of a way [px] at zoom 13, 15, 17 and 19; below the first it is not drawn.
  const WIDTHS = { path: [0, 0.7, 1.3, 2], lane: [0.6, 2, 5.5, 12], street: [1.6, 4, 8.5, 17], main: [2.4, 5, 11, 21] };
  const widthAt = (style, zoom) => {
    const place = Math.max(0, Math.min(3, (zoom - 13) / 2));
    const low = Math.floor(place);
    const [a, b] = [WIDTHS[style][low], WIDTHS[style][Math.min(3, low + 1)]];
    return a + (b - a) * (place - low);
  };

  // Adds a shape to the path; points less than a pixel from the last one are skipped.
  const trace = (pen, layer, shape, view) => {
    for (const [from, to] of shape.runs) {
      let px = NaN;
      let py = NaN;
      for (let i = from; i < to; i += 2) {
        const x = layer.units[i] * view.scale - view.left;
        const y = layer.units[i + 1] * view.scale - view.top;
        if (i === from) pen.moveTo(x, y);
        else if (i + 2 >= to || Math.abs(x - px) + Math.abs(y - py) > 1) pen.lineTo(x, y);
        else continue;
        px = x;
        py = y;
      }
    }
  };

  sitebook.trace = trace;

  const visible = (layer, view) => layer.shapes.filter((shape) => sitebook.meets(shape.box, view.box));

  const eachArea = (pen, layer, view, paint) => {
    for (const shape of visible(layer, view)) {
      pen.beginPath();
      trace(pen, layer, shape, view);
      paint();
    }
  };

  const lines = (pen, layer, view, width, stroke, dash = []) => {
    pen.beginPath();
    for (const shape of visible(layer, view)) trace(pen, layer, shape, view);
    pen.setLineDash(dash);
    pen.lineWidth = width;
    pen.strokeStyle = stroke;
    pen.stroke();
    pen.setLineDash([]);
  };

  const hatchOf = (pen) => {
    const tile = document.createElement("canvas");
    tile.width = 9;
    tile.height = 9;
    const inner = tile.getContext("2d");
    inner.strokeStyle = colour("map-hazard");
    inner.lineWidth = 1.2;
    inner.beginPath();
    for (const shift of [-9, 0, 9]) {
      inner.moveTo(shift, 9);
      inner.lineTo(shift + 9, 0);
    }
    inner.stroke();
    return pen.createPattern(tile, "repeat");
  };

  const area = (pen, layer, view, fill) => {
    pen.fillStyle = fill;
    eachArea(pen, layer, view, () => pen.fill("evenodd"));
  };

  // Rivers may be mapped as lines: they have no inside, so a stroke shows them.
  const land = (name) => (pen, layer, view) => {
    area(pen, layer, view, colour(`map-${name}`));
    if (name === "water") lines(pen, layer, view, view.zoom > 15 ? 1.6 : 0.8, colour("map-shore"));
  };

  const PAINT = {
    covered(pen, layer, view) {
      area(pen, layer, view, colour("map-ground"));
      lines(pen, layer, view, 1.5, colour("faded"), [7, 5]);
    },
    land(pen, layer, view) {
      area(pen, layer, view, colour("map-ground"));
      lines(pen, layer, view, 1.2, colour("map-shore"));
    },
    built: land("built"),
    grass: land("grass"),
    wood: land("wood"),
    water: land("water"),
    "hazard-area"(pen, layer, view) {
      area(pen, layer, view, hatchOf(pen));
      eachArea(pen, layer, view, () => {
        pen.lineWidth = 1;
        pen.strokeStyle = colour("map-hazard");
        pen.stroke();
      });
    },
    "hazard-area-faint"(pen, layer, view) {
      if (view.zoom < FAINT_ZOOM) return;
      lines(pen, layer, view, 1, colour("map-hazard"), [2, 4]);
    },
    "hazard-line-faint"(pen, layer, view) {
      PAINT["hazard-area-faint"](pen, layer, view);
    },
    "hazard-point-faint"(pen, layer, view) {
      if (view.zoom >= FAINT_POINT_ZOOM) PAINT["hazard-point"](pen, layer, view);
    },
    "hazard-line"(pen, layer, view) {
      lines(pen, layer, view, 1.6, colour("map-rail"));
      lines(pen, layer, view, 7, colour("map-rail"), [1.4, 11]);
    },
    "hazard-point"(pen, layer, view) {
      if (view.zoom < FAINT_ZOOM) return;
      pen.strokeStyle = colour("map-hazard");
      pen.lineWidth = 1.6;
      for (const shape of visible(layer, view)) {
        const x = layer.units[shape.runs[0][0]] * view.scale - view.left;
        const y = layer.units[shape.runs[0][0] + 1] * view.scale - view.top;
        pen.beginPath();
        pen.rect(x - 5, y - 5, 10, 10);
        pen.moveTo(x - 5, y + 5);
        pen.lineTo(x + 5, y - 5);
        pen.stroke();
      }
    },
  };

  const ways = (pen, view) => {
    pen.lineCap = "round";
    pen.lineJoin = "round";
    const drawn = layers.filter((layer) => layer.style in WIDTHS && widthAt(layer.style, view.zoom) > 0.5);
    for (const layer of drawn) {
      const width = widthAt(layer.style, view.zoom);
      if (layer.style === "path") lines(pen, layer, view, width, colour("map-path"), [4, 3]);
      else lines(pen, layer, view, width > 2 ? width + (width > 4 ? 2 : 1.2) : width, colour("map-casing"));
    }
    for (const layer of drawn) {
      const width = widthAt(layer.style, view.zoom);
      if (layer.style !== "path" && width > 2) lines(pen, layer, view, width, colour("map-road"));
    }
    pen.lineCap = "butt";
  };

  sitebook.drawGround = (pen, view) => {
    pen.clearRect(0, 0, view.width, view.height);
    for (const layer of layers) if (layer.style in PAINT && !layer.style.startsWith("hazard")) PAINT[layer.style](pen, layer, view);
    ways(pen, view);
    sitebook.drawSurface(pen, view);
    for (const layer of layers) if (layer.style.startsWith("hazard")) PAINT[layer.style](pen, layer, view);
  };
})();
