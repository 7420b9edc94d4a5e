/* Draws the other lines of a map, variants and the direct road: thin, each with its own words. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  function variants(map, list) {
    const pane = map.createPane("sp-variants"); // under the route, over the names of streets
    pane.style.zIndex = 350;
    pane.setAttribute("aria-hidden", "true");
    const renderer = L.svg({ padding: 0.3, pane: "sp-variants" });
    list.forEach(function (each) {
      const parts = softpedal.parts.place.unpack(each.line).map(function (part) {
        return part.map(function (p) { return [p[0], p[1]]; });
      });
      const options = { renderer: renderer, pane: "sp-variants", interactive: false, smoothFactor: 0.5, lineCap: "butt" };
      L.polyline(parts, Object.assign({ color: "#fff", weight: 5 }, options)).addTo(map);
      const look = each.direct
        ? { color: "#6b6b6b", weight: 1.8, dashArray: "5 5", className: "sp-direct" }
        : { color: "#1f1f1f", weight: 1.8, dashArray: "10 3 2 3", className: "sp-variant" };
      L.polyline(parts, Object.assign(look, options)).addTo(map);
      const at = beside(parts);
      L.tooltip({
        permanent: true, direction: at.side, offset: at.offset, className: "sp-variant-name", opacity: 1,
      }).setLatLng(at.place).setContent(words(each.label)).addTo(map);
    });
  }

  // The words stand where the line is farthest from the straight way, on the outer side.
  function beside(parts) {
    const points = [].concat.apply([], parts).map(function (p) { return L.CRS.EPSG3857.project(L.latLng(p)); });
    const a = points[0], b = points[points.length - 1];
    let best = { far: -1 };
    points.forEach(function (point) {
      const nearest = L.LineUtil.closestPointOnSegment(point, a, b);
      const far = point.distanceTo(nearest);
      if (far > best.far) best = { far: far, point: point, out: point.subtract(nearest) };
    });
    const isBeside = Math.abs(best.out.x) > Math.abs(best.out.y);
    const side = isBeside ? (best.out.x < 0 ? "left" : "right") : (best.out.y < 0 ? "bottom" : "top");
    const shift = { left: [-6, 0], right: [6, 0], top: [0, -6], bottom: [0, 6] }[side];
    return { place: L.CRS.EPSG3857.unproject(best.point), side: side, offset: shift };
  }

  // A name is text, never HTML.
  function words(text) {
    const box = document.createElement("span");
    box.textContent = text;
    return box;
  }

  softpedal.parts.variants = variants;
})();
