/* Draws one route on a Leaflet map: legs by colour and pattern on a white casing, and markers. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  const NEAR_ZOOM = 15; // from here on markers carry their word
  const SECOND_PASS_PX = 11;
  const POINT_REACH_M = 15; // of two passes under a pointer, the one that is lit or lies first
  const PASS_APART_M = 40;
  const RING_PX = 17; // around a sign

  // Shifts a piece to the right of travel by pixels of the present scale.
  function shifted(map, piece) {
    const points = piece.map(function (p) { return map.project([p[0], p[1]]); });
    return points.map(function (point, i) {
      const a = points[Math.max(0, i - 1)], b = points[Math.min(points.length - 1, i + 1)];
      const along = b.subtract(a);
      const length = Math.hypot(along.x, along.y) || 1;
      const right = L.point(-along.y, along.x).multiplyBy(SECOND_PASS_PX / length);
      return map.unproject(point.add(right));
    });
  }

  function flat(piece) {
    return piece.map(function (p) { return [p[0], p[1]]; });
  }

  function shapeOf(map, way, from, to) {
    const edges = [from, to];
    way.again.forEach(function (run) { edges.push(run[0] / 10, run[1] / 10); });
    const stops = edges.filter(function (e) { return e >= from && e <= to; })
      .sort(function (a, b) { return a - b; });
    const pieces = [];
    for (let i = 1; i < stops.length; i++) {
      if (stops[i] === stops[i - 1]) continue;
      const middle = (stops[i] + stops[i - 1]) * 5;
      const isAgain = way.again.some(function (run) { return run[0] <= middle && middle <= run[1]; });
      softpedal.parts.place.cut(way.parts, stops[i - 1], stops[i]).forEach(function (piece) {
        pieces.push(isAgain ? shifted(map, piece) : flat(piece));
      });
    }
    return pieces;
  }

  function card(title, text) {
    const box = document.createElement("div");
    if (title) {
      const head = document.createElement("strong");
      head.textContent = title;
      box.appendChild(head);
    }
    if (text) {
      const line = document.createElement("p");
      line.textContent = text;
      box.appendChild(line);
    }
    return box;
  }

  // Both lines, and what stands along them in every direction and state.
  function contents(data) {
    const place = softpedal.parts.place;
    const out = place.unpack(data.line);
    const back = data.back ? place.unpack(data.back) : place.turned(out);
    const more = data.more || { legs: [], markers: [] };
    const legs = data.legs.concat(more.legs), markers = data.markers.concat(more.markers);
    const views = {};
    Object.keys(data.views || {}).forEach(function (key) {
      const view = data.views[key];
      views[key] = {
        way: view.way, shut: view.shut,
        legs: view.legs.map(function (i) { return legs[i]; }),
        markers: view.markers.map(function (i) { return markers[i]; }),
      };
    });
    return {
      ways: {
        "outbound": { parts: out, again: data.again },
        "return": { parts: back, again: data.backAgain || [] },
      },
      first: { way: "outbound", shut: false, legs: data.legs, markers: data.markers },
      views: views,
    };
  }

  function route(element, canvas, data) {
    const isCalm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const isCoarse = window.matchMedia("(pointer: coarse)").matches; // a finger needs room
    const all = contents(data);
    const map = L.map(canvas, {
      attributionControl: false, zoomControl: false, scrollWheelZoom: false,
      zoomAnimation: !isCalm, fadeAnimation: !isCalm, markerZoomAnimation: !isCalm,
      inertia: !isCalm, zoomSnap: 0.5, minZoom: 9, maxZoom: 18,
    });
    canvas.setAttribute("role", "group");
    canvas.setAttribute("aria-label", data.words.canvas);
    const whole = function () {
      // a box without a size fits nothing; it is fitted when it opens
      if (canvas.clientWidth > 60) map.fitBounds(data.bounds, { padding: [26, 26], animate: false });
      else map.setView(data.bounds[0], 14, { animate: false });
    };
    whole();
    map.getPane("overlayPane").setAttribute("aria-hidden", "true");
    const renderer = L.svg({ padding: 0.3 });
    const line = function (options) {
      return L.polyline([], Object.assign({
        renderer: renderer, opacity: 1, lineJoin: "round", interactive: false, smoothFactor: 0.5,
      }, options)).addTo(map);
    };
    const band = data.casing.width;
    const lit = line({ color: "#000", weight: band + 6, lineCap: "round", className: "sp-leg-lit" });
    const marked = line({ color: "#000", weight: band + 6, className: "sp-stretch-marked" });
    const edge = line({ color: "#000", weight: band + 2, opacity: 0.35 });
    const casing = line({ color: data.casing.colour, weight: band, className: "sp-casing" });
    const thin = data.back ? line({ color: "#000", weight: 1.5, className: "sp-back" }) : null;
    const point = L.circleMarker([0, 0], {
      renderer: renderer, radius: 8, color: "#000", weight: 3, fillColor: "#fff", fillOpacity: 1,
      interactive: false, className: "sp-point",
    });
    const ring = [{ color: "#fff", weight: 8 }, { color: "#000", weight: 3 }].map(function (look) {
      return L.circleMarker([0, 0], Object.assign({
        renderer: renderer, radius: RING_PX, fill: false, interactive: false, className: "sp-ring",
      }, look));
    });

    const handle = {
      map: map, data: data, element: element, whole: whole, isCalm: isCalm,
      outbound: all.ways.outbound.parts,
    };
    let view = null, legs = [], markers = null, litLeg = "";

    function drawnLeg(leg, index) {
      const look = data.looks[leg.look];
      const drawn = [line({
        color: look.colour, weight: look.width, lineCap: look.cap,
        dashArray: look.dash.length ? look.dash.join(" ") : null, dashOffset: String(look.offset),
        className: "sp-leg sp-look-" + leg.look,
      })];
      if (look.centre) drawn.push(line({ color: data.casing.colour, weight: look.centre }));
      const touch = line({
        color: "#000", opacity: 0, weight: isCoarse ? 30 : 20, interactive: true, className: "sp-leg-touch",
      });
      touch.bindPopup(
        card(leg.name, [leg.kind, leg.level].filter(Boolean).join(" · ")), { maxWidth: 220 }
      );
      touch.on("click", function (event) {
        tellPoint(event.latlng, leg);
        element.dispatchEvent(new CustomEvent("sp-leg", { bubbles: true, detail: index }));
      });
      touch.on("mousemove", function (event) { tellPoint(event.latlng, leg); });
      drawn.push(touch);
      return { from: leg.from / 10, to: leg.to / 10, drawn: drawn };
    }

    function tellPoint(latlng, leg) {
      const found = softpedal.parts.place.passes(
        handle.parts, latlng.lat, latlng.lng, PASS_APART_M, POINT_REACH_M
      );
      const on = found.find(function (p) { return p.at >= leg.from / 10 && p.at <= leg.to / 10; });
      const at = Math.min(leg.to / 10, Math.max(leg.from / 10, (on || found[0]).at));
      element.dispatchEvent(new CustomEvent("sp-point", {
        bubbles: true, detail: { at: at, by: "map" },
      }));
    }

    function draw() {
      const pieces = [];
      legs.forEach(function (leg) {
        leg.shape = shapeOf(map, handle.way, leg.from, leg.to);
        leg.drawn.forEach(function (each) { each.setLatLngs(leg.shape); });
        pieces.push.apply(pieces, leg.shape);
      });
      edge.setLatLngs(pieces);
      casing.setLatLngs(pieces);
      lit.setLatLngs(legs[litLeg] ? legs[litLeg].shape : []);
    }

    function clear() {
      map.closePopup();
      legs.forEach(function (leg) { leg.drawn.forEach(function (each) { each.remove(); }); });
      if (markers) markers.remove();
      litLeg = "";
      handle.point(null);
      handle.mark(null);
    }

    function scaled() {
      if (handle.way.again.length) draw();
      canvas.classList.toggle("sp-near", map.getZoom() >= NEAR_ZOOM);
      markers.spread();
    }

    handle.show = function (key) {
      const next = all.views[key] || all.first;
      if (next === view) return;
      clear();
      view = next;
      handle.view = view;
      handle.way = all.ways[view.way];
      handle.parts = handle.way.parts;
      handle.length = softpedal.parts.place.lengthOf(handle.parts);
      if (thin) thin.setLatLngs(all.ways[view.way === "return" ? "outbound" : "return"].parts.map(flat));
      element.classList.toggle("sp-map-shut", view.shut);
      legs = view.legs.map(drawnLeg);
      draw();
      markers = softpedal.parts.markers(map, view.markers, function (metres) {
        return softpedal.parts.place.at(handle.parts, metres);
      }, card, isCalm);
      scaled();
    };

    handle.light = function (leg) {
      litLeg = leg;
      lit.setLatLngs(legs[leg] ? legs[leg].shape : []);
      if (legs[leg] && !map.getBounds().contains(lit.getBounds())) {
        map.fitBounds(lit.getBounds(), { maxZoom: map.getZoom(), animate: !isCalm });
      }
    };

    // A point that strip or profile point at; null takes it away.
    handle.point = function (metres) {
      if (metres === null) {
        point.remove();
        return;
      }
      const place = softpedal.parts.place.at(handle.parts, metres);
      point.setLatLng([place[0], place[1]]).addTo(map).bringToFront();
      map.panInside(point.getLatLng(), { padding: [30, 30], animate: false });
    };

    // Marks what a row of the table tells: a stretch, [from, to]; a ring around a point, [at], or
    // around a stretch that a sign would hide.
    handle.mark = function (ends) {
      const isStretch = ends && ends.length > 1;
      marked.setLatLngs(isStretch ? shapeOf(map, handle.way, ends[0], ends[1]) : []);
      ring.forEach(function (each) { each.remove(); });
      if (!ends) return;
      const px = ends.map(function (at) {
        return map.latLngToContainerPoint(softpedal.parts.place.at(handle.parts, at).slice(0, 2));
      });
      const middle = softpedal.parts.place.at(handle.parts, (ends[0] + ends[ends.length - 1]) / 2);
      const place = L.latLng(middle[0], middle[1]);
      if (px[0].distanceTo(px[px.length - 1]) < 2 * RING_PX) {
        ring.forEach(function (each) { each.setLatLng(place).addTo(map); });
      } else if (map.getBounds().intersects(marked.getBounds())) return;
      map.panInside(place, { padding: [30, 30], animate: false });
    };

    handle.show("");
    softpedal.parts.controls(map, data, whole);
    map.on("zoomend", scaled);
    return handle;
  }

  softpedal.parts.route = route;
})();
