/* The map of all routes: one ink line for each, drawn on a canvas. */
(function () {
  "use strict";

  const parts = window.softpedal.parts;
  const INK = "#1f1f1f";
  const PLAIN = { color: INK, weight: 2.5, opacity: 0.85, smoothFactor: 0, noClip: true };

  // A row's strip, title and facts, as it stands in the list.
  function card(row) {
    const box = document.createElement("div");
    box.className = "sp-library-card";
    [".sp-row-title", ".sp-strip-small", ".sp-row-facts"].forEach(function (part) {
      const found = row.querySelector(part);
      if (found) box.append(found.cloneNode(true));
    });
    return box;
  }

  function overview(canvas, data, routes, told) {
    const isCalm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const map = L.map(canvas, {
      attributionControl: false, zoomControl: false, scrollWheelZoom: false,
      zoomAnimation: !isCalm, fadeAnimation: !isCalm, inertia: !isCalm,
      zoomSnap: 0.5, minZoom: 7, maxZoom: 17,
    });
    canvas.setAttribute("role", "group");
    canvas.setAttribute("aria-label", data.words.canvas);
    let shown = [], isFitted = false, held = ""; // held: the route whose pop-up is open

    function whole() {
      const all = L.latLngBounds([]);
      (shown.length ? shown : routes).forEach(function (route) {
        all.extend(route.box[0]);
        all.extend(route.box[1]);
      });
      isFitted = canvas.clientWidth > 60;
      if (isFitted) map.fitBounds(all, { padding: [24, 24], maxZoom: 16, animate: false });
      else map.setView(all.getCenter(), 13, { animate: false });
    }
    if (told.view) map.setView(told.view.at, told.view.zoom, { animate: false });
    map.getPane("overlayPane").setAttribute("aria-hidden", "true");

    const renderer = L.canvas({ padding: 0.3, tolerance: 8 });
    const layers = new Map(); // id -> polyline
    routes.forEach(function (route) {
      layers.set(route.id, L.polyline(route.line, Object.assign({ renderer: renderer, route: route }, PLAIN)));
    });
    const group = L.featureGroup();
    group.on("mouseover", function (event) { told.light(event.layer.options.route.id); });
    group.on("mouseout", function () { told.light(""); });
    group.on("click", function (event) {
      const route = event.layer.options.route;
      L.DomEvent.stopPropagation(event);
      L.popup({ maxWidth: 260, minWidth: 240, autoPan: true })
        .setLatLng(event.latlng).setContent(card(route.row)).openOn(map);
      held = route.id;
      told.light(held);
    });
    map.on("popupclose", function () {
      held = "";
      told.light("");
    });
    // The line that is looked at lies over all others, on a white casing.
    const over = map.createPane("sp-over");
    over.style.zIndex = 410;
    over.style.pointerEvents = "none";
    over.setAttribute("aria-hidden", "true");
    const drawing = L.svg({ pane: "sp-over", padding: 0.3 });
    const casing = L.polyline([], { renderer: drawing, pane: "sp-over", color: "#fff", weight: 11, opacity: 1, interactive: false });
    const ink = L.polyline([], { renderer: drawing, pane: "sp-over", color: INK, weight: 6, opacity: 1, interactive: false, className: "sp-line-lit" });
    casing.addTo(map);
    ink.addTo(map);

    function light(id) {
      const layer = layers.get(id);
      const line = layer && group.hasLayer(layer) ? layer.getLatLngs() : [];
      casing.setLatLngs(line);
      ink.setLatLngs(line);
    }

    function show(now, isToFit) {
      shown = now;
      const kept = new Set(now.map(function (route) { return route.id; }));
      layers.forEach(function (layer, id) {
        if (!kept.has(id)) group.removeLayer(layer);
        else if (!group.hasLayer(layer)) group.addLayer(layer);
      });
      if (held && !kept.has(held)) map.closePopup();
      light(held);
      if (isToFit) whole();
      if (!map.hasLayer(group)) group.addTo(map);
    }

    // Whether any stretch of a route lies in the map's view.
    function sees(route) {
      const view = map.getBounds();
      if (!view.intersects(route.box)) return false;
      const box = L.bounds([view.getWest(), view.getSouth()], [view.getEast(), view.getNorth()]);
      return route.line.some(function (part) {
        return part.some(function (point, i) {
          const before = part[Math.max(0, i - 1)];
          return L.LineUtil.clipSegment(L.point(before[1], before[0]), L.point(point[1], point[0]), box);
        });
      });
    }

    parts.controls(map, data, whole);
    const observer = new ResizeObserver(function () {
      if (!canvas.clientWidth) return;
      map.invalidateSize({ animate: false });
      if (!isFitted && !told.view) whole();
    });
    observer.observe(canvas);
    map.on("moveend", told.moved);

    return {
      map: map, show: show, light: light, sees: sees, held: function () { return held; },
      view: function () {
        const centre = map.getCenter();
        return [centre.lat.toFixed(4), centre.lng.toFixed(4), map.getZoom()].join(",");
      },
      stop: function () {
        observer.disconnect();
        map.remove();
      },
    };
  }

  parts.overview = overview;
})();
