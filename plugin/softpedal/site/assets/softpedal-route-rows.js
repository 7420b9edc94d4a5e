/* A row of the timetable shows its place on map and strip: under the pointer, or with the keyboard
   in it. The table is one stop of the Tab key; the arrow keys go from row to row. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.rows) return;

  const ROW = ".sp-cues tr[data-sp-at]";
  const SVG = "http://www.w3.org/2000/svg";
  const TOP = 35, BOTTOM = 63, MIDDLE = 49, RING_PX = 14; // around the band of the strip
  const LEAST_SHARE = 0.04;
  let hovered = null, focused = null, held = null, shown = null, drawn = [];

  function rowOf(event) {
    return event.target.closest ? event.target.closest(ROW) : null;
  }

  function endsOf(row) {
    return row.dataset.spAt.split(" ").map(Number);
  }

  function rowsOf(row) {
    return [...row.parentElement.children].filter(function (each) { return each.matches(ROW); });
  }

  function visible(selector) {
    return [...document.querySelectorAll(selector)].find(function (each) {
      return each.getClientRects().length > 0;
    });
  }

  function shape(svg, name, className, values) {
    const made = document.createElementNS(SVG, name);
    made.setAttribute("class", className);
    Object.keys(values).forEach(function (key) { made.setAttribute(key, values[key]); });
    svg.appendChild(made);
    drawn.push(made);
  }

  function drawOnStrip(ends) {
    const strip = visible(".sp-strip-box .sp-strip"), table = visible(".sp-cues");
    if (!strip || !table) return;
    const rows = [...table.querySelectorAll("tr[data-leg]")];
    const length = endsOf(rows[rows.length - 1])[1]; // the last leg goes to the end
    const shares = [ends[0] / length, ends[ends.length - 1] / length];
    const isShort = shares[1] - shares[0] < LEAST_SHARE; // a frame would fill it
    const middle = softpedal.along.across((shares[0] + shares[1]) / 2);
    const x = shares.map(softpedal.along.across);
    ["sp-mark-under", "sp-mark"].forEach(function (className) {
      if (isShort) shape(strip, "circle", className, { cx: middle, cy: MIDDLE, r: RING_PX });
      else {
        shape(strip, "rect", className, {
          x: x[0], y: TOP, width: parseFloat(x[1]) - parseFloat(x[0]) + "%", height: BOTTOM - TOP,
        });
      }
    });
  }

  function update() {
    const row = hovered || focused;
    const ends = row ? endsOf(row) : held;
    if (shown) shown.classList.remove("sp-shown");
    drawn.forEach(function (each) { each.remove(); });
    drawn = [];
    shown = row;
    if (shown) shown.classList.add("sp-shown");
    if (ends) drawOnStrip(ends);
    softpedal.running.forEach(function (handle) {
      if (handle && handle.mark) handle.mark(ends);
    });
  }

  document.addEventListener("pointerover", function (event) {
    const row = event.pointerType === "touch" ? null : rowOf(event);
    if (row === hovered) return;
    hovered = row;
    update();
  });
  document.documentElement.addEventListener("pointerleave", function () {
    hovered = null;
    update();
  });

  // A finger's tap puts the focus on a row, too; a mouse has shown it already.
  let byMouse = false;
  document.addEventListener("pointerdown", function (event) {
    byMouse = event.pointerType === "mouse";
  });
  document.addEventListener("focusin", function (event) {
    const row = rowOf(event);
    focused = row && (!byMouse || event.target.matches(":focus-visible")) ? row : null;
    if (row) {
      rowsOf(row).forEach(function (each) { each.tabIndex = each === row ? 0 : -1; });
    }
    update();
  });
  document.addEventListener("focusout", function (event) {
    if (!focused || (event.relatedTarget && focused.contains(event.relatedTarget))) return;
    focused = null;
    update();
  });

  document.addEventListener("keydown", function (event) {
    byMouse = false;
    if (!event.target.matches || !event.target.matches(ROW)) return;
    const rows = rowsOf(event.target), here = rows.indexOf(event.target);
    const next = { ArrowDown: here + 1, ArrowUp: here - 1, Home: 0, End: rows.length - 1 }[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey || !rows[next]) return;
    event.preventDefault();
    rows[next].focus();
  });

  // Of every table one row is a stop of the Tab key.
  function settle() {
    hovered = focused = held = null;
    update();
    document.querySelectorAll(".sp-cues tbody").forEach(function (body) {
      if (body.querySelector('[data-sp-at][tabindex="0"]')) return;
      body.querySelectorAll("[data-sp-at]").forEach(function (row, i) { row.tabIndex = i ? -1 : 0; });
    });
  }

  softpedal.rows = {
    // Marks a place, [at] or [from, to], while no row does; null takes it away.
    hold: function (ends) {
      held = ends;
      update();
    },
  };
  document.addEventListener("sp-view", settle);
  settle();
})();
