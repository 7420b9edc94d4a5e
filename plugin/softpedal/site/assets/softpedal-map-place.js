/* Places along a line: from packed integers to points, from chainage to place and back. A line is a
   list of parts, a part a list of [latitude, longitude, metres]; nothing lies between two parts. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  const METRES_PER_DEGREE = 111200;

  function sums(steps) {
    let value = 0;
    return steps.map(function (step) { return (value += step); });
  }

  // {lat, lon, at, parts} as packed in Python
  function unpack(line) {
    const lat = sums(line.lat), lon = sums(line.lon), at = sums(line.at);
    const points = lat.map(function (_, i) { return [lat[i] / 1e6, lon[i] / 1e6, at[i] / 10]; });
    return line.parts.map(function (first, i) {
      return points.slice(first, line.parts[i + 1] || points.length);
    });
  }

  function lengthOf(parts) {
    const last = parts[parts.length - 1];
    return last[last.length - 1][2];
  }

  // The same line ridden from its finish.
  function turned(parts) {
    const length = lengthOf(parts);
    return parts.slice().reverse().map(function (part) {
      return part.slice().reverse().map(function (p) { return [p[0], p[1], length - p[2]]; });
    });
  }

  function between(a, b, metres) {
    const share = b[2] > a[2] ? (metres - a[2]) / (b[2] - a[2]) : 0;
    return [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, metres];
  }

  function at(parts, metres) {
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

  // The nearest place of every pass of the line, the nearest first: {off, lat, lon, at}. Passes are
  // `apart` metres of chainage from each other; all but the first lie within `reach` metres.
  function passes(parts, lat, lon, apart, reach) {
    const scale = Math.cos(lat * Math.PI / 180);
    const found = [];
    parts.forEach(function (part) {
      for (let i = 1; i < part.length; i++) {
        const a = part[i - 1], b = part[i];
        const ax = (a[1] - lon) * scale, ay = a[0] - lat;
        const dx = (b[1] - a[1]) * scale, dy = b[0] - a[0];
        const square = dx * dx + dy * dy;
        const share = square ? Math.min(1, Math.max(0, -(ax * dx + ay * dy) / square)) : 0;
        found.push({
          off: Math.hypot(ax + dx * share, ay + dy * share) * METRES_PER_DEGREE,
          lat: a[0] + (b[0] - a[0]) * share,
          lon: a[1] + (b[1] - a[1]) * share,
          at: a[2] + (b[2] - a[2]) * share,
        });
      }
    });
    found.sort(function (a, b) { return a.off - b.off; });
    const chosen = [];
    found.forEach(function (each) {
      const isNew = chosen.every(function (other) { return Math.abs(other.at - each.at) > apart; });
      if (isNew && (!chosen.length || each.off <= reach)) chosen.push(each);
    });
    return chosen;
  }

  softpedal.parts.place = {
    unpack: unpack, lengthOf: lengthOf, turned: turned, at: at, cut: cut, passes: passes,
  };
})();
