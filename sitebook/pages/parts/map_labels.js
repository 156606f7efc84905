// Writes names of roads and ground on the map where there is room.
"use strict";
(() => {
  const FROM_ZOOM = { main: 14, street: 15, lane: 16, path: 17.5 };
  const AREA_ZOOM = { water: 14, wood: 14, grass: 14.5, built: 15, "hazard-area": 15, "hazard-point": 17, "hazard-area-faint": 17.5 };
  const GAP = 6;
  const SAME_NAME_PX = 320;

  // The longest straight piece of a run inside the window: middle, angle, length [px].
  const straightest = (layer, shape, view) => {
    let best = null;
    for (const [from, to] of shape.runs) {
      for (let i = from; i + 3 < to; i += 2) {
        const x = layer.units[i] * view.scale - view.left;
        const y = layer.units[i + 1] * view.scale - view.top;
        const dx = layer.units[i + 2] * view.scale - view.left - x;
        const dy = layer.units[i + 3] * view.scale - view.top - y;
        const length = Math.hypot(dx, dy);
        if (best && length <= best.length) continue;
        best = { x: x + dx / 2, y: y + dy / 2, angle: Math.atan2(dy, dx), length };
      }
    }
    return best;
  };

  const inside = (at, view) => at.x > 0 && at.y > 0 && at.x < view.width && at.y < view.height;

  const upright = (angle) => (Math.abs(angle) > Math.PI / 2 ? angle + Math.PI : angle);

  // Room taken by a label, as small squares along its line.
  const squares = (at, wide, angle) => {
    const made = [];
    const steps = Math.max(1, Math.ceil(wide / 14));
    for (let i = 0; i <= steps; i += 1) {
      const along = (i / steps - 0.5) * wide;
      made.push([at.x + Math.cos(angle) * along, at.y + Math.sin(angle) * along]);
    }
    return made;
  };

  const isFree = (taken, wanted) =>
    wanted.every(([x, y]) => taken.every(([a, b]) => Math.abs(a - x) > 14 + GAP || Math.abs(b - y) > 14 + GAP));

  const write = (pen, name, at, angle) => {
    pen.save();
    pen.translate(at.x, at.y);
    pen.rotate(angle);
    pen.strokeText(name, 0, 0);
    pen.fillText(name, 0, 0);
    pen.restore();
  };

  const place = (pen, drawn, name, at, angle) => {
    const wanted = squares(at, pen.measureText(name).width, angle);
    const near = drawn.names.get(name) || [];
    if (near.some((other) => Math.hypot(other.x - at.x, other.y - at.y) < SAME_NAME_PX)) return false;
    if (!isFree(drawn.taken, wanted)) return false;
    drawn.taken.push(...wanted);
    drawn.names.set(name, [...near, at]);
    write(pen, name, at, angle);
    return true;
  };

  const ofWays = (pen, view, layer, drawn) => {
    layer.shapes.forEach((shape, i) => {
      if (!layer.names[i] || !sitebook.meets(shape.box, view.box)) return;
      const at = straightest(layer, shape, view);
      if (!at || !inside(at, view) || at.length * 1.5 < pen.measureText(layer.names[i]).width) return;
      place(pen, drawn, layer.names[i], at, upright(at.angle));
    });
  };

  const ofAreas = (pen, view, layer, drawn) => {
    layer.shapes.forEach((shape, i) => {
      if (!layer.names[i] || !sitebook.meets(shape.box, view.box)) return;
      const [left, top, right, bottom] = shape.box;
      const at = { x: ((left + right) / 2) * view.scale - view.left, y: ((top + bottom) / 2) * view.scale - view.top };
      const wide = (right - left) * view.scale;
      if (layer.style !== "hazard-point" && wide < 0.7 * pen.measureText(layer.names[i]).width) return;
      if (layer.style === "hazard-point") at.y += 14;
      for (const shift of [0, -20, 20, -40, 40]) {
        const spot = { x: at.x, y: at.y + shift };
        if (inside(spot, view) && place(pen, drawn, layer.names[i], spot, 0)) break;
      }
    });
  };

  const underBadges = (view) => {
    const origin = sitebook.map.getPixelOrigin();
    return sitebook.badgeRooms().flatMap(({ x, y, wide }) =>
      squares({ x: x + origin.x - view.left, y: y + origin.y - view.top }, wide - 10, 0),
    );
  };

  sitebook.drawLabels = (pen, view) => {
    pen.clearRect(0, 0, view.width, view.height);
    const drawn = { taken: underBadges(view), names: new Map() };
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.lineJoin = "round";
    pen.lineWidth = 3.5;
    pen.strokeStyle = sitebook.colour("map-road");
    pen.fillStyle = sitebook.colour("faded");
    for (const layer of [...sitebook.groundLayers].reverse()) {
      const isArea = layer.style in AREA_ZOOM;
      pen.font = `${isArea ? "italic " : ""}${view.zoom >= 17 ? 13 : 12}px system-ui, sans-serif`;
      if (view.zoom >= (AREA_ZOOM[layer.style] ?? Infinity)) ofAreas(pen, view, layer, drawn);
      if (view.zoom >= (FROM_ZOOM[layer.style] ?? Infinity)) ofWays(pen, view, layer, drawn);
    }
  };
})();
