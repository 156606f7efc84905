// Lets the map of the day be enlarged, moved and tapped; a tap gives a position.
"use strict";
(() => {
  const { data, element, button } = sitebook;
  const own = data.map;
  const [WIDE, HIGH] = own.size;
  const DRAWN_FOR_PX = 360;
  const LEAST_WRITING = 0.96;
  const FINEST_M_A_PX = 0.15;
  const THUMB_PX = 22;
  const LEAST_ERROR_M = 5;
  const STILL_PX = 8;
  const figure = document.querySelector(".map-figure");
  const svg = figure.querySelector(".pack-map");
  const pick = svg.querySelector(".pick");
  const scale = element("div", "map-scale");
  const view = { x: 0, y: 0, w: WIDE };
  let spot = null;
  let phone = null;
  let asked = null;
  let told = "";

  // Two polynomials, as the page was drawn, turn places of the drawing into positions and back.
  const sum = (fit, a, b) => {
    let at = 0;
    let total = 0;
    for (let degree = 0; at < fit.length; degree += 1) for (let i = 0; i <= degree; i += 1) total += fit[at++] * a ** i * b ** (degree - i);
    return total;
  };
  sitebook.degreesAt = (x, y) => own.to_degrees.map((fit, i) => own.middle[i] + own.half[i] * sum(fit, (2 * x) / WIDE - 1, (2 * y) / HIGH - 1));
  sitebook.placeOf = (lon, lat) => {
    const east = (((lon - own.middle[0] + 540) % 360) - 180) / own.half[0];
    const north = (lat - own.middle[1]) / own.half[1];
    return own.to_places.map((fit, i) => ((sum(fit, east, north) + 1) * own.size[i]) / 2);
  };

  const between = (value, low, high) => Math.min(Math.max(value, low), high);
  const unit = () => view.w / (svg.clientWidth || DRAWN_FOR_PX);
  const round = (number) => Math.round(number * 10) / 10;

  const cross = (x, y, u) => {
    const d = `M${round(x - 16 * u)} ${round(y)}h${round(11 * u)}m${round(10 * u)} 0h${round(11 * u)}M${round(x)} ${round(y - 16 * u)}v${round(11 * u)}m0 ${round(10 * u)}v${round(11 * u)}`;
    return ["halo", ""].map((name) => `<path class="${name}" vector-effect="non-scaling-stroke" d="${d}"/>`).join("");
  };
  const drawPick = () => {
    const u = unit();
    const around = phone ? `<circle class="about-me" cx="${round(phone.x)}" cy="${round(phone.y)}" r="${round(phone.error * own.units_per_m)}"/><circle cx="${round(phone.x)}" cy="${round(phone.y)}" r="${round(7 * u)}"/>` : "";
    pick.innerHTML = around + (spot ? cross(spot.x, spot.y, u) : "");
  };
  const drawScale = () => {
    const most = 110 * unit() / own.units_per_m;
    const power = 10 ** Math.floor(Math.log10(most));
    const long = [5, 2, 1].map((step) => step * power).find((metres) => metres <= most);
    scale.textContent = long < 1000 ? `${round(long)} m` : `${long / 1000} km`;
    scale.style.width = `${Math.round((long * own.units_per_m) / unit())}px`;
  };
  const show = () => {
    view.w = between(view.w, Math.min(WIDE, (svg.clientWidth || DRAWN_FOR_PX) * FINEST_M_A_PX * own.units_per_m), WIDE);
    const high = (view.w * HIGH) / WIDE;
    view.x = between(view.x, 0, WIDE - view.w);
    view.y = between(view.y, 0, HIGH - high);
    svg.setAttribute("viewBox", `${round(view.x)} ${round(view.y)} ${round(view.w)} ${round(high)}`);
    const fits = own.levels.filter((level) => WIDE / DRAWN_FOR_PX / level / unit() >= LEAST_WRITING);
    svg.dataset.level = Math.max(0, fits.length - 1);
    drawPick();
    drawScale();
  };
  const enlarge = (by, x, y) => {
    const before = view.w;
    view.w = between(view.w / by, 1e-6, WIDE);
    view.x = x - ((x - view.x) * view.w) / before;
    view.y = y - ((y - view.y) * view.w) / before;
    show();
  };
  const middle = () => (spot ? [spot.x, spot.y] : [view.x + view.w / 2, view.y + (view.w * HIGH) / WIDE / 2]);
  const lookAt = (x, y, w) => {
    view.w = w;
    view.x = x - w / 2;
    view.y = y - (w * HIGH) / WIDE / 2;
    show();
  };

  // One finger moves, two enlarge, a touch that stays is a tap.
  const fingers = new Map();
  let held = null;
  const placeAt = (event) => {
    const frame = svg.getBoundingClientRect();
    return [view.x + ((event.clientX - frame.left - svg.clientLeft) / svg.clientWidth) * view.w, view.y + ((event.clientY - frame.top - svg.clientTop) / svg.clientWidth) * view.w];
  };
  const spread = () => {
    const [one, other] = [...fingers.values()];
    return Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY) || 1;
  };
  const hold = () => {
    held = fingers.size ? { ...view, spread: fingers.size > 1 ? spread() : 0, from: [...fingers.values()].map(({ clientX, clientY }) => ({ clientX, clientY })), still: held ? held.still : true } : null;
  };
  svg.addEventListener("pointerdown", (event) => {
    if (!fingers.size) held = null;
    fingers.set(event.pointerId, event);
    try {
      svg.setPointerCapture(event.pointerId);
    } catch {
      // A finger that was lifted already cannot be held.
    }
    hold();
    if (fingers.size > 1) held.still = false;
  });
  svg.addEventListener("pointermove", (event) => {
    if (!held || !fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, event);
    const [now] = fingers.values();
    const east = now.clientX - held.from[0].clientX;
    const south = now.clientY - held.from[0].clientY;
    if (fingers.size === 1 && held.still && Math.hypot(east, south) < STILL_PX) return;
    held.still = false;
    const u = held.w / (svg.clientWidth || DRAWN_FOR_PX);
    view.w = fingers.size > 1 ? (held.w * held.spread) / spread() : held.w;
    const frame = svg.getBoundingClientRect();
    const share = [(held.from[0].clientX - frame.left) * u, (held.from[0].clientY - frame.top) * u];
    const again = view.w / held.w;
    view.x = held.x + share[0] * (1 - again) - east * u * again;
    view.y = held.y + share[1] * (1 - again) - south * u * again;
    show();
  });
  const lift = (event) => {
    if (!fingers.delete(event.pointerId)) return;
    const tapped = held && held.still && event.type === "pointerup" && !fingers.size;
    hold();
    if (tapped) take(...placeAt(event));
  };
  svg.addEventListener("pointerup", lift);
  svg.addEventListener("pointercancel", lift);
  svg.addEventListener("wheel", (event) => {
    event.preventDefault();
    enlarge(event.deltaY < 0 ? 1.3 : 1 / 1.3, ...placeAt(event));
  }, { passive: false });

  const take = (x, y) => {
    const [lon, lat] = sitebook.degreesAt(x, y);
    const error = Math.max(LEAST_ERROR_M, Math.ceil((THUMB_PX * unit()) / own.units_per_m));
    spot = { x, y, lon: lon.toFixed(6), lat: lat.toFixed(6), error, source: "map" };
    told = `Latitude ${spot.lat}, longitude ${spot.lon}, good to about ${error} m. ${sitebook.nearWords(lon, lat)}`;
    draw();
  };

  // Site nearest to a position, and how far off it is.
  sitebook.nearest = (lon, lat) => {
    const metres = (site) => 111195 * Math.hypot((((site.lon - lon + 540) % 360) - 180) * Math.cos((lat * Math.PI) / 180), site.lat - lat);
    const [best] = [...data.sites].sort((one, other) => metres(one) - metres(other));
    return best ? { site: best, metres: metres(best) } : null;
  };
  sitebook.nearWords = (lon, lat) => {
    const near = sitebook.nearest(lon, lat);
    if (!near) return "";
    const far = near.metres < 1000 ? `${Math.round(near.metres / 10) * 10} m` : `${(near.metres / 1000).toFixed(1)} km`;
    return `${far} from the middle of ${near.site.name}.`;
  };

  const whereAmI = () => {
    told = "Asking the phone …";
    draw();
    sitebook.askPhone(
      ({ lon, lat, error }) => {
        const [x, y] = sitebook.placeOf(lon, lat);
        const inside = x >= 0 && y >= 0 && x <= WIDE && y <= HIGH;
        phone = inside ? { x, y, error } : null;
        told = `${inside ? "The dot is you" : "You are off this map"}, good to ${error} m. ${sitebook.nearWords(lon, lat)}`;
        if (inside) lookAt(x, y, Math.min(view.w, WIDE / 4));
        draw();
      },
      () => {
        told = "The phone gives no position. Tap where you are.";
        draw();
      },
    );
  };

  const actions = () => {
    if (asked) {
      const use = spot ? [button("Take this spot", "main", () => asked.take(spot))] : [];
      return [...use, button("Back to the find", "wide", () => sitebook.open("find"))];
    }
    const visit = sitebook.currentVisit();
    if (!visit || !spot) return [];
    return [button(`+ Find here, at ${visit.site}`, "main", () => sitebook.startFind(visit, { said: { lon: spot.lon, lat: spot.lat, position_source: "map", uncertainty_m: spot.error } }))];
  };
  const tools = element("div", "map-tools");
  const whole = () => lookAt(WIDE / 2, HIGH / 2, WIDE);
  for (const [text, label, tapped] of [
    ["−", "smaller", () => enlarge(0.5, ...middle())],
    ["+", "larger", () => enlarge(2, ...middle())],
    ["Whole day", "", whole],
    ["Where am I", "", whereAmI],
  ]) {
    const made = button(text, label ? "big" : "", tapped);
    if (label) made.setAttribute("aria-label", label);
    tools.append(made);
  }

  const draw = () => {
    const here = element("p", "map-here", told || (asked ? "Tap where the find is." : "Tap the map for a position; two fingers enlarge."));
    here.setAttribute("aria-live", "polite");
    sitebook.pane("map").replaceChildren(sitebook.head(asked ? "Where is the find?" : "Map of the day"), here, ...actions(), tools, figure);
    figure.querySelector(".map-words").before(scale);
    show();
  };
  sitebook.drawMap = () => {
    asked = null;
    told = "";
    draw();
  };
  // Asks for a tap, near a site where one is named; the answer comes when the spot is taken.
  sitebook.pickOnMap = (near, taken) => {
    spot = null;
    told = "";
    asked = { take: (found) => ((asked = null), taken(found)) };
    sitebook.open("map");
    draw();
    if (near) lookAt(...sitebook.placeOf(near.lon, near.lat), Math.min(WIDE, 600 * own.units_per_m));
  };
  addEventListener("resize", show);
})();
