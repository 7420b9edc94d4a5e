/* Draws one route on a Leaflet map: legs by colour and pattern on a white casing, and markers. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  const NEAR_ZOOM = 15; // from here on markers carry their word
  const SECOND_PASS_PX = 11;

  function sums(steps) {
    let value = 0;
    return steps.map(function (step) { return (value += step); });
  }

  // {lat, lon, at, parts} as packed in Python -> list of parts, each a list of [lat, lon, metres]
  function unpack(line) {
    const lat = sums(line.lat), lon = sums(line.lon), at = sums(line.at);
    const points = lat.map(function (_, i) { return [lat[i] / 1e6, lon[i] / 1e6, at[i] / 10]; });
    return line.parts.map(function (first, i) {
      return points.slice(first, line.parts[i + 1] || points.length);
    });
  }

  function between(a, b, metres) {
    const share = b[2] > a[2] ? (metres - a[2]) / (b[2] - a[2]) : 0;
    return [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, metres];
  }

  function placeAt(parts, metres) {
    for (const part of parts) {
      for (let i = 1; i < part.length; i++) {
        if (metres <= part[i][2]) return between(part[i - 1], part[i], Math.max(metres, part[0][2]));
      }
    }
    const last = parts[parts.length - 1];
    return last[last.length - 1];
  }

  // The pieces of the line between two chainages; none of them crosses a gap.
  function cut(parts, from, to) {
    const pieces = [];
    parts.forEach(function (part) {
      const piece = [];
      for (let i = 1; i < part.length; i++) {
        const a = part[i - 1], b = part[i];
        if (b[2] <= from || a[2] >= to) continue;
        if (!piece.length) piece.push(between(a, b, Math.max(a[2], from)));
        piece.push(b[2] > to ? between(a, b, to) : b);
      }
      if (piece.length) pieces.push(piece);
    });
    return pieces;
  }

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

  function shapeOf(map, parts, again, from, to) {
    const edges = [from, to];
    again.forEach(function (run) { edges.push(run[0] / 10, run[1] / 10); });
    const stops = edges.filter(function (e) { return e >= from && e <= to; })
      .sort(function (a, b) { return a - b; });
    const pieces = [];
    for (let i = 1; i < stops.length; i++) {
      if (stops[i] === stops[i - 1]) continue;
      const middle = (stops[i] + stops[i - 1]) * 5;
      const isAgain = again.some(function (run) { return run[0] <= middle && middle <= run[1]; });
      cut(parts, stops[i - 1], stops[i]).forEach(function (piece) {
        pieces.push(isAgain ? shifted(map, piece) : piece.map(function (p) { return [p[0], p[1]]; }));
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

  function route(element, canvas, data) {
    const isCalm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const parts = unpack(data.line);
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
    const edge = line({ color: "#000", weight: band + 2, opacity: 0.35 });
    const casing = line({ color: data.casing.colour, weight: band, className: "sp-casing" });
    if (data.back) {
      line({ color: "#000", weight: 1.5, className: "sp-back" })
        .setLatLngs(unpack(data.back).map(function (part) {
          return part.map(function (p) { return [p[0], p[1]]; });
        }));
    }
    const legs = data.legs.map(function (leg, index) {
      const look = data.looks[leg.look];
      const drawn = [line({
        color: look.colour, weight: look.width, lineCap: look.cap,
        dashArray: look.dash.length ? look.dash.join(" ") : null, dashOffset: String(look.offset),
        className: "sp-leg sp-look-" + leg.look,
      })];
      if (look.centre) drawn.push(line({ color: data.casing.colour, weight: look.centre }));
      const touch = line({
        color: "#000", opacity: 0, weight: 20, interactive: true, className: "sp-leg-touch",
      });
      touch.bindPopup(card(leg.name, [leg.kind, leg.level].filter(Boolean).join(" · ")), { maxWidth: 220 });
      touch.on("click", function () {
        element.dispatchEvent(new CustomEvent("sp-leg", { bubbles: true, detail: index }));
      });
      drawn.push(touch);
      return { from: leg.from / 10, to: leg.to / 10, drawn: drawn };
    });

    let litLeg = "";
    function draw() {
      const all = [];
      legs.forEach(function (leg) {
        leg.shape = shapeOf(map, parts, data.again, leg.from, leg.to);
        leg.drawn.forEach(function (each) { each.setLatLngs(leg.shape); });
        all.push.apply(all, leg.shape);
      });
      edge.setLatLngs(all);
      casing.setLatLngs(all);
      lit.setLatLngs(legs[litLeg] ? legs[litLeg].shape : []);
    }
    draw();

    function light(leg) {
      litLeg = leg;
      lit.setLatLngs(legs[leg] ? legs[leg].shape : []);
      if (legs[leg] && !map.getBounds().contains(lit.getBounds())) {
        map.fitBounds(lit.getBounds(), { maxZoom: map.getZoom(), animate: !isCalm });
      }
    }

    const markers = softpedal.parts.markers(map, data, function (metres) {
      return placeAt(parts, metres);
    }, card, isCalm);
    softpedal.parts.controls(map, data, whole);

    function scaled() {
      if (data.again.length) draw();
      canvas.classList.toggle("sp-near", map.getZoom() >= NEAR_ZOOM);
      markers.spread();
    }
    map.on("zoomend", scaled);
    scaled();

    return { map: map, data: data, parts: parts, light: light, whole: whole, element: element };
  }

  softpedal.parts.route = route;
})();
