// Sets the map up, joins it to the panes, and keeps it right in print.
"use strict";
(() => {
  const STRIP_PX = 60;
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const map = L.map("map", {
    attributionControl: false,
    zoomControl: false,
    zoomAnimation: !calm,
    fadeAnimation: false,
    inertia: !calm,
    minZoom: 2,
    maxZoom: 20,
    zoomSnap: 0.25,
    zoomDelta: 1,
    renderer: L.svg({ padding: 0.5 }),
  });
  sitebook.map = map;

  // Room the open sheet takes from the map on a narrow window [px].
  const covered = () => {
    const sheet = document.querySelector(".sheet");
    return sitebook.isNarrow() && sheet.offsetParent ? sheet.offsetHeight : 0;
  };

  // However much a sheet covers, a strip of the map is left to show something in.
  const below = () => Math.max(0, Math.min(36 + covered(), map.getContainer().clientHeight - 36 - STRIP_PX));
  const margins = () => ({ paddingTopLeft: [36, 36], paddingBottomRight: [36, below()], maxZoom: 18, animate: !calm });

  sitebook.moveTo = (positions) => {
    isMoved = true;
    if (positions.length) map.fitBounds(L.latLngBounds(positions), margins());
  };

  const whole = () => {
    const edges = sitebook.sites.flatMap((site) => {
      const bounds = site.radius === null ? site.layer.getBounds() : L.latLng(site.at).toBounds(2 * site.radius);
      return [bounds.getNorthWest(), bounds.getSouthEast()];
    });
    if (edges.length) return edges;
    const spots = ["find", "tree"].flatMap((kind) =>
      Array.from({ length: sitebook.spotUnits[kind].length / 2 }, (_, i) => sitebook.latLngOfSpot(kind, i)),
    );
    if (spots.length) return spots;
    return sitebook.groundLayers.flatMap(({ shapes }) =>
      shapes.flatMap(({ box }) => [sitebook.latLngOf(box[0], box[1]), sitebook.latLngOf(box[2], box[3])]),
    );
  };

  // While she has not moved the map herself, it keeps all sites in the part that no sheet covers.
  let isMoved = false;
  for (const event of ["pointerdown", "wheel", "keydown"]) map.getContainer().addEventListener(event, () => (isMoved = true));
  sitebook.refit = () => {
    const edges = whole();
    if (!isMoved && edges.length) map.fitBounds(L.latLngBounds(edges), { ...margins(), maxZoom: 17, animate: false });
  };

  sitebook.unmark = () => {
    sitebook.markSite(null);
    sitebook.markBadge(null);
    sitebook.markSpot(null);
  };

  // Shows a record; with move it brings the place into the window as well.
  sitebook.choose = (kind, key, { move = false } = {}) => {
    sitebook.rememberOpener();
    sitebook.unmark();
    sitebook.showRecord(sitebook.recordOf(kind, key));
    if (kind === "site") {
      sitebook.markSite(key);
      sitebook.markBadge(key);
    } else sitebook.markSpot(kind, key);
    const site = kind === "site" ? sitebook.siteOf(key) : null;
    const at = site ? L.latLng(site.at) : sitebook.latLngOfSpot(kind, key);
    if (!at) return;
    isMoved = true;
    if (move) sitebook.moveTo(site ? [sitebook.boundsOf(site).getNorthWest(), sitebook.boundsOf(site).getSouthEast()] : [at]);
    else map.panInside(at, margins());
  };

  const tapped = (event) => {
    const isFinger = event.originalEvent.pointerType === "touch" || matchMedia("(pointer: coarse)").matches;
    const spots = sitebook.spotsNear(map, event.latlng, isFinger);
    if (spots.length === 1) return sitebook.choose(spots[0].kind, spots[0].i);
    const sites = sitebook.sitesAt(map, event.latlng).map((site) => ({ kind: "site", id: site.id }));
    const all = [...spots, ...sites];
    if (all.length === 1) return sitebook.choose("site", all[0].id);
    if (all.length) sitebook.showRecord(sitebook.recordOfMany(`${all.length} marks here`, all));
  };

  const corner = (position, className, fill) => {
    const control = L.control({ position });
    control.onAdd = () => {
      const made = sitebook.element("div", className);
      fill(made);
      return made;
    };
    control.addTo(map);
  };

  const furniture = () => {
    corner("topright", "north", (made) => {
      made.setAttribute("role", "img");
      made.setAttribute("aria-label", "North is up");
      made.append(sitebook.element("span", "", "N"));
    });
    L.control.zoom({ position: "bottomright" }).addTo(map);
    corner("bottomleft", "credit", (made) => made.append(sitebook.data.credit));
    L.control.scale({ position: "bottomleft", imperial: false, maxWidth: 120 }).addTo(map);
  };

  // Paper has one width: the map takes it before printing and gives it back after.
  let seenBefore = null;
  const forPaper = (isPrinting) => {
    if (isPrinting) seenBefore ??= { centre: map.getCenter(), zoom: map.getZoom() };
    document.documentElement.classList.toggle("on-paper", isPrinting);
    map.invalidateSize({ animate: false });
    if (isPrinting) map.fitBounds(L.latLngBounds(whole()), { padding: [30, 30], animate: false });
    else if (seenBefore) {
      map.setView(seenBefore.centre, seenBefore.zoom, { animate: false });
      seenBefore = null;
    }
  };

  map.setView([0, 0], 12);
  map.createPane("ground").style.zIndex = 250;
  sitebook.addSites(map);
  sitebook.refit();
  const ground = new sitebook.CanvasLayer("ground", sitebook.drawGround).addTo(map);
  sitebook.redrawGround = () => ground.redraw();
  sitebook.addBadges(map, (id) => sitebook.choose("site", id));
  map.createPane("names");
  new sitebook.CanvasLayer("names", sitebook.drawLabels).addTo(map);
  sitebook.addSpots(map);
  furniture();
  sitebook.startSeason();
  sitebook.startSide();
  map.on("click", tapped);
  document.getElementById("whole").addEventListener("click", () => {
    isMoved = false;
    sitebook.refit();
  });
  document.getElementById("print").addEventListener("click", () => window.print());
  addEventListener("beforeprint", () => forPaper(true));
  addEventListener("afterprint", () => forPaper(false));
  document.documentElement.dataset.ready = "yes";
})();
