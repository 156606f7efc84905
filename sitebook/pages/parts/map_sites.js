// Draws the outlines of the sites, hatched by class or by chance, and knows which one holds a position.
"use strict";
(() => {
  const shapes = sitebook.unpack(sitebook.data.shapes);
  const sites = sitebook.data.sites.map((site, i) => ({ ...site, shape: shapes.shapes[i] }));
  sitebook.sites = sites;
  sitebook.siteOf = (id) => sites.find((site) => site.id === id);

  const rings = (site) =>
    site.shape.runs.map(([from, to]) => {
      const ring = [];
      for (let i = from; i < to; i += 2) ring.push(sitebook.latLngOf(shapes.units[i], shapes.units[i + 1]));
      return ring;
    });

  // Rings of several areas and of holes are drawn together: an even number of rings round a spot is outside.
  const layerOf = (site) => {
    const drawn = { className: `area area-road-${site.class}`, interactive: false, fillRule: "evenodd" };
    if (site.radius !== null) return L.circle(site.at, { ...drawn, radius: site.radius });
    return L.polygon(rings(site), drawn);
  };

  sitebook.addSites = (map) => {
    for (const site of sites) site.layer = layerOf(site).addTo(map);
  };

  sitebook.boundsOf = (site) => site.layer.getBounds();

  // Hatch of one site: a name such as road-2 or chance-unknown.
  sitebook.hatch = (site, name) => {
    const drawn = site.layer.getElement();
    if (!drawn) return;
    const kept = [...drawn.classList].filter((word) => !word.startsWith("area-"));
    drawn.setAttribute("class", [...kept, `area-${name}`].join(" "));
  };

  sitebook.markSite = (id) => {
    for (const site of sites) site.layer.getElement()?.classList.toggle("chosen", site.id === id);
  };

  const holds = (site, x, y) => {
    let isInside = false;
    for (const [from, to] of site.shape.runs) {
      for (let i = from, j = to - 2; i < to; j = i, i += 2) {
        const [ax, ay, bx, by] = [shapes.units[i], shapes.units[i + 1], shapes.units[j], shapes.units[j + 1]];
        if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) isInside = !isInside;
      }
    }
    return isInside;
  };

  sitebook.sitesAt = (map, latLng) => {
    const [x, y] = sitebook.unitsOf(latLng.lng, latLng.lat);
    return sites.filter((site) =>
      site.radius === null ? holds(site, x, y) : map.distance(site.at, latLng) <= site.radius,
    );
  };
})();
