// Sets a badge at each site and moves badges apart that would lie on one another.
"use strict";
(() => {
  const HEIGHT = 44;
  const LETTER_PX = 9;
  const LARGE_PX = 100;
  const RINGS = 4;
  const ANGLES = 12;
  let pane = null;
  let map = null;
  let badges = [];
  let rooms = [];

  const make = (site, choose) => {
    const leader = sitebook.element("span", "leader");
    const button = sitebook.element("button", "badge");
    button.type = "button";
    button.tabIndex = -1;
    button.append(sitebook.element("span", "tag", site.badge));
    button.addEventListener("click", () => choose(site.id));
    L.DomEvent.disableClickPropagation(button);
    pane.append(leader, button);
    return { site, leader, button, text: site.badge };
  };

  const widthOf = (badge) => Math.max(HEIGHT, badge.text.length * LETTER_PX + 20);

  const overlap = (a, b) =>
    Math.abs(a.x - b.x) < (a.wide + b.wide) / 2 && Math.abs(a.y - b.y) < HEIGHT - 8;

  // Places to try, from the site itself outward.
  const places = (at, wide) => {
    const tried = [{ x: at.x, y: at.y, wide }];
    for (let ring = 1; ring <= RINGS; ring += 1) {
      for (let i = 0; i < ANGLES; i += 1) {
        const angle = (2 * Math.PI * i) / ANGLES - Math.PI / 2;
        tried.push({ x: at.x + Math.cos(angle) * ring * 30, y: at.y + Math.sin(angle) * ring * 26, wide });
      }
    }
    return tried;
  };

  const stretch = (leader, from, to) => {
    const long = Math.hypot(to.x - from.x, to.y - from.y);
    leader.hidden = long < 16;
    leader.style.width = `${long}px`;
    leader.style.transform = `translate(${from.x}px,${from.y}px) rotate(${Math.atan2(to.y - from.y, to.x - from.x)}rad)`;
  };

  // In the middle of a small site; at the upper edge of one so large that a badge would hide its marks.
  const anchor = (site) => {
    const bounds = sitebook.boundsOf(site);
    const top = map.latLngToLayerPoint(bounds.getNorthWest());
    const bottom = map.latLngToLayerPoint(bounds.getSouthEast());
    const at = map.latLngToLayerPoint(site.at);
    return bottom.y - top.y > LARGE_PX ? L.point(at.x, top.y) : at;
  };

  const arrange = () => {
    const taken = [];
    for (const badge of badges) {
      const at = anchor(badge.site);
      const free = places(at, widthOf(badge)).find((place) => !taken.some((other) => overlap(place, other)));
      badge.button.hidden = !free;
      badge.leader.hidden = true;
      if (!free) continue;
      taken.push(free);
      badge.button.style.transform = `translate(${Math.round(free.x)}px,${Math.round(free.y)}px) translate(-50%,-50%)`;
      stretch(badge.leader, at, free);
    }
    rooms = taken;
    pane.classList.remove("moving");
  };

  sitebook.addBadges = (onMap, choose) => {
    map = onMap;
    pane = map.createPane("badges");
    badges = sitebook.sites.map((site) => make(site, choose));
    map.on("zoomstart", () => pane.classList.add("moving"));
    map.on("zoomend viewreset", arrange);
    arrange();
  };

  // Rooms that badges take on the map, in layer pixels, so that names keep clear of them.
  sitebook.badgeRooms = () => rooms;

  // What each badge says: words(site) gives {text, kind, said}.
  sitebook.tellBadges = (words) => {
    for (const badge of badges) {
      const { text, kind, said } = words(badge.site);
      badge.text = text;
      badge.button.firstChild.textContent = text;
      badge.button.firstChild.className = `tag ${kind}`;
      badge.button.setAttribute("aria-label", `${badge.site.name}: ${said}`);
    }
    arrange();
  };

  sitebook.markBadge = (id) => {
    for (const badge of badges) badge.button.classList.toggle("chosen", badge.site.id === id);
  };
})();
