// A Leaflet layer that hands one canvas to a drawing function whenever the map has moved.
"use strict";
(() => {
  const PAD = 0.3;

  sitebook.CanvasLayer = L.Layer.extend({
    initialize(pane, draw) {
      this.pane = pane;
      this.draw = draw;
    },

    onAdd(map) {
      this.canvas = L.DomUtil.create("canvas", "leaflet-zoom-animated", map.getPane(this.pane));
      this.canvas.setAttribute("aria-hidden", "true");
      this.redraw();
    },

    onRemove() {
      this.canvas.remove();
    },

    getEvents() {
      return { moveend: this.redraw, resize: this.redraw, zoom: this.follow, zoomanim: this.animate };
    },

    // Lays the canvas over the window and a margin round it, and draws.
    redraw() {
      const map = this._map;
      const size = map.getSize();
      const corner = map.containerPointToLayerPoint(size.multiplyBy(-PAD)).round();
      const width = Math.round(size.x * (1 + 2 * PAD));
      const height = Math.round(size.y * (1 + 2 * PAD));
      const dots = Math.min(window.devicePixelRatio || 1, 2);
      this.zoom = map.getZoom();
      this.corner = map.layerPointToLatLng(corner);
      this.canvas.width = width * dots;
      this.canvas.height = height * dots;
      this.canvas.style.width = `${width}px`;
      this.canvas.style.height = `${height}px`;
      L.DomUtil.setPosition(this.canvas, corner);
      const pen = this.canvas.getContext("2d");
      pen.setTransform(dots, 0, 0, dots, 0, 0);
      this.draw(pen, this.window(corner, width, height));
    },

    // What a drawing function needs: px = units * scale - left, and the box in map units.
    window(corner, width, height) {
      const origin = this._map.getPixelOrigin().add(corner);
      const scale = 2 ** this.zoom;
      const box = [origin.x, origin.y, origin.x + width, origin.y + height].map((v) => v / scale);
      return { left: origin.x, top: origin.y, scale, zoom: this.zoom, width, height, box };
    },

    follow() {
      const scale = this._map.getZoomScale(this._map.getZoom(), this.zoom);
      L.DomUtil.setTransform(this.canvas, this._map.latLngToLayerPoint(this.corner), scale);
    },

    animate(event) {
      const scale = this._map.getZoomScale(event.zoom, this.zoom);
      const at = this._map._latLngToNewLayerPoint(this.corner, event.zoom, event.center);
      L.DomUtil.setTransform(this.canvas, at, scale);
    },
  });

  sitebook.meets = (box, other) =>
    box[0] <= other[2] && box[2] >= other[0] && box[1] <= other[3] && box[3] >= other[1];
})();
