/* Draws the pale background of a map: water, green, buildings, streets and their names. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  // Near-grey throughout, so that the legs are the only colour. Drawn in this order.
  const FILLS = [
    ["green", "#e6eadf"], ["water", "#d5dfe4"], ["paved", "#efece4"], ["building", "#e4e0d8"],
  ];
  const LINES = [ // layer, colour, width in pixels at scale 14 and at scale 17, dash
    ["stream", "#d5dfe4", 1, 3, null],
    ["river", "#d5dfe4", 3, 12, null],
    ["rail", "#b9b5ad", 1.2, 2, "6 3"],
    ["path", "#bdb8ac", 0.9, 1.6, "3 2.5"],
    ["street", "#cfcbc2", 2.2, 12, null],
    ["main_road", "#bcb7ac", 4.4, 18, null],
    ["street", "#ffffff", 1.2, 10, null],
    ["main_road", "#ffffff", 3.2, 16, null],
  ];
  const NAMED = ["main_road", "street", "path", "water", "river", "green"];
  const PAPER = "247, 245, 240";
  const FADE_PX = 40;
  const NAME_COLOUR = "#5b5852";
  const NAME_FROM_ZOOM = 14.5;

  // Packed integers -> {layer: [{rings: [[[lat, lon], ...]], name}]}
  function unpack(ground) {
    const shapes = {};
    Object.keys(ground.layers).forEach(function (layer) {
      const packed = ground.layers[layer];
      let lat = 0, lon = 0, next = 0;
      const list = [];
      packed.n.forEach(function (count) {
        const ring = [];
        for (let i = 0; i < Math.abs(count); i++) {
          lat += packed.d[next++];
          lon += packed.d[next++];
          ring.push([ground.at[0] + lat / ground.scale, ground.at[1] + lon / ground.scale]);
        }
        if (count < 0) list[list.length - 1].rings.push(ring);
        else list.push({ rings: [ring], name: (packed.names || {})[list.length] || "" });
      });
      shapes[layer] = list;
    });
    return shapes;
  }

  function widthAt(zoom, narrow, wide) {
    const share = Math.min(1.4, Math.max(-0.6, (zoom - 14) / 3));
    return Math.max(0.5, narrow * Math.pow(wide / narrow, share));
  }

  // The longest stretch of a line that is straight enough to write on, in pixels.
  function straight(points) {
    let best = null;
    let first = 0;
    for (let i = 1; i < points.length; i++) {
      const run = points[i].subtract(points[first]);
      const step = points[i].subtract(points[i - 1]);
      const turn = Math.abs(Math.atan2(run.x * step.y - run.y * step.x, run.x * step.x + run.y * step.y));
      if (turn > 0.25) first = i - 1;
      const length = points[i].distanceTo(points[first]);
      if (!best || length > best.length) best = { a: points[first], b: points[i], length: length };
    }
    return best;
  }

  // The background ends at a box; it fades into the paper there instead of being cut off.
  function fade(map, pen, packed) {
    const low = packed.at, size = packed.size;
    const a = map.latLngToContainerPoint(low);
    const b = map.latLngToContainerPoint([low[0] + size[0] / packed.scale, low[1] + size[1] / packed.scale]);
    const left = a.x, right = b.x, top = b.y, bottom = a.y;
    [[left, 0, 1, 0], [right, 0, -1, 0], [0, top, 0, 1], [0, bottom, 0, -1]].forEach(function (edge) {
      const x = edge[0], y = edge[1], dx = edge[2] * FADE_PX, dy = edge[3] * FADE_PX;
      const shade = pen.createLinearGradient(x, y, x + dx, y + dy);
      shade.addColorStop(0, "rgba(" + PAPER + ", 1)");
      shade.addColorStop(1, "rgba(" + PAPER + ", 0)");
      pen.fillStyle = shade;
      // twelve pixels more, for lines that end at the edge with a round cap
      if (dx) pen.fillRect(dx > 0 ? x - 12 : x + dx, top - 12, Math.abs(dx) + 12, bottom - top + 24);
      else pen.fillRect(left - 12, dy > 0 ? y - 12 : y + dy, right - left + 24, Math.abs(dy) + 12);
    });
  }

  // What of a stretch can be seen; names of long streets stand where the reader looks.
  function inView(run, size) {
    const seen = L.LineUtil.clipSegment(run.a, run.b, L.bounds([0, 0], [size.x, size.y]));
    return seen && { a: seen[0], b: seen[1], length: seen[0].distanceTo(seen[1]) };
  }

  function writeNames(map, shapes, packed) {
    const pane = map.createPane("sp-names");
    pane.style.zIndex = 260;
    pane.style.pointerEvents = "none";
    pane.setAttribute("aria-hidden", "true");
    const canvas = L.DomUtil.create("canvas", "", pane);
    const named = [];
    NAMED.forEach(function (layer) {
      (shapes[layer] || []).forEach(function (shape) {
        if (shape.name) named.push({ text: shape.name, line: shape.rings[0], layer: layer });
      });
    });

    function draw() {
      const size = map.getSize(), ratio = window.devicePixelRatio || 1;
      canvas.width = size.x * ratio;
      canvas.height = size.y * ratio;
      canvas.style.width = size.x + "px";
      canvas.style.height = size.y + "px";
      canvas.style.display = "";
      L.DomUtil.setPosition(canvas, map.containerPointToLayerPoint([0, 0]));
      const pen = canvas.getContext("2d");
      pen.setTransform(ratio, 0, 0, ratio, 0, 0);
      fade(map, pen, packed);
      if (map.getZoom() < NAME_FROM_ZOOM) return;
      pen.font = "11px " + getComputedStyle(map.getContainer()).fontFamily;
      pen.textAlign = "center";
      pen.textBaseline = "middle";
      pen.lineJoin = "round";
      const taken = [];
      named.forEach(function (each) { write(pen, each, taken, size); });
    }

    function write(pen, each, taken, size) {
      const points = each.line.map(function (p) { return map.latLngToContainerPoint(p); });
      const isArea = each.layer === "water" || each.layer === "green";
      const run = isArea ? null : inView(straight(points), size);
      if (!isArea && !run) return;
      const wide = pen.measureText(each.text).width;
      const middle = isArea ? L.bounds(points).getCenter() : run.a.add(run.b).divideBy(2);
      const room = isArea ? L.bounds(points).getSize().x : run.length;
      if (room < wide + 8 || middle.x < 0 || middle.y < 0 || middle.x > size.x || middle.y > size.y) return;
      const clashes = taken.some(function (other) {
        const gap = middle.distanceTo(other.middle);
        return gap < (wide + other.wide) / 2 + 6 || (other.text === each.text && gap < 280);
      });
      if (clashes) return;
      taken.push({ middle: middle, wide: wide, text: each.text });
      let angle = run ? Math.atan2(run.b.y - run.a.y, run.b.x - run.a.x) : 0;
      if (Math.abs(angle) > Math.PI / 2) angle += Math.PI;
      pen.save();
      pen.translate(middle.x, middle.y);
      pen.rotate(angle);
      pen.strokeStyle = "rgba(255,255,255,.9)";
      pen.lineWidth = 3;
      pen.strokeText(each.text, 0, 0);
      pen.fillStyle = NAME_COLOUR;
      pen.fillText(each.text, 0, 0);
      pen.restore();
    }

    map.on("moveend zoomend resize", draw);
    map.on("zoomstart", function () { canvas.style.display = "none"; });
    map.whenReady(draw); // a map of a library gets its view later
  }

  function ground(map, packed) {
    const shapes = unpack(packed);
    const pane = map.createPane("sp-ground");
    pane.style.zIndex = 250;
    pane.setAttribute("aria-hidden", "true");
    const renderer = L.canvas({ pane: "sp-ground", padding: 0.3 });
    const base = { renderer: renderer, pane: "sp-ground", interactive: false };
    FILLS.forEach(function (fill) {
      const areas = (shapes[fill[0]] || []).map(function (shape) { return shape.rings; });
      if (!areas.length) return;
      L.polygon(areas, Object.assign({
        stroke: false, fillColor: fill[1], fillOpacity: 1, smoothFactor: 0,
      }, base)).addTo(map);
    });
    const drawn = [];
    LINES.forEach(function (line) {
      const ways = (shapes[line[0]] || []).map(function (shape) { return shape.rings[0]; });
      if (!ways.length) return;
      drawn.push({ narrow: line[2], wide: line[3], layer: L.polyline(ways, Object.assign({
        color: line[1], opacity: 1, dashArray: line[4], lineCap: line[4] ? "butt" : "round",
      }, base)).addTo(map) });
    });
    function scale() {
      drawn.forEach(function (each) {
        each.layer.setStyle({ weight: widthAt(map.getZoom(), each.narrow, each.wide) });
      });
    }
    map.on("zoomend", scale);
    scale();
    writeNames(map, shapes, packed);
  }

  // Pictures of a service that the owner of the site has chosen: the only call to another host.
  function tiles(map, service) {
    L.tileLayer(service.url, { maxNativeZoom: service.maxZoom, maxZoom: 22 }).addTo(map);
  }

  softpedal.parts.ground = ground;
  softpedal.parts.tiles = tiles;
})();
