/* Strip, profile and map point at each other. A slider under the strip is the way for keys; a
   pointer on strip, profile or map moves it too. It says the chainage and what is there. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.along) return;

  const STEP_M = 10;
  const MARGIN = 0.02; // the band starts and ends this share of the drawing from its edges
  const SAY_AFTER_MS = 700;
  const NOTE_WITHIN_M = 15;
  const SVG = "http://www.w3.org/2000/svg";

  function written(metres, unit, places, decimal) {
    return (metres / unit[0]).toFixed(places).replace(".", decimal) + " " + unit[1];
  }

  // "1.24 km", as in the table.
  function chainage(data, metres) {
    return written(metres, data.figures.long, 2, data.figures.decimal);
  }

  // "80 m" to ten, or "1.2 km".
  function far(data, metres) {
    const unit = data.figures.short, count = metres / unit[0];
    if (count >= 995) return written(metres, data.figures.long, 1, data.figures.decimal);
    const round = count < 10 ? Math.max(1, Math.round(count)) : Math.round(count / 10) * 10;
    return round + " " + unit[1];
  }

  function filled(text, values) {
    return text.replace(/\{(\w+)\}/g, function (_, name) { return values[name]; });
  }

  // What is at a chainage: the street, and what stands there.
  function whatIsAt(handle, metres) {
    const leg = handle.view.legs.find(function (l) { return metres * 10 <= l.to; }) ||
      handle.view.legs[handle.view.legs.length - 1];
    const near = handle.view.markers.filter(function (m) {
      return m.note && Math.abs(m.at / 10 - metres) <= NOTE_WITHIN_M;
    })[0];
    const parts = [leg.name, leg.kind];
    if (near) parts.push(near.note);
    return parts.join(", ");
  }

  function visible(selector) {
    return [...document.querySelectorAll(selector)].find(function (e) {
      return e.getClientRects().length > 0;
    });
  }

  function mark(svg, top, bottom) {
    svg.querySelectorAll(".sp-along-line").forEach(function (old) { old.remove(); });
    const line = document.createElementNS(SVG, "line");
    line.setAttribute("class", "sp-along-line");
    line.setAttribute("y1", top);
    line.setAttribute("y2", bottom);
    svg.appendChild(line);
    return line;
  }

  // A share of the way as an x of strip and profile, and the reverse.
  function across(share) {
    return (MARGIN + (1 - 2 * MARGIN) * share) * 100 + "%";
  }

  function shareAt(svg, clientX) {
    const frame = svg.getBoundingClientRect();
    const share = ((clientX - frame.left) / frame.width - MARGIN) / (1 - 2 * MARGIN);
    return Math.min(1, Math.max(0, share));
  }

  function attach(handle) {
    const words = handle.data.words;
    const box = document.createElement("div");
    box.className = "sp-along";
    const slider = document.createElement("input");
    slider.type = "range";
    slider.min = 0;
    slider.step = STEP_M;
    slider.setAttribute("aria-label", words.along);
    const told = document.createElement("p");
    told.className = "sp-along-told";
    told.setAttribute("aria-hidden", "true");
    const spoken = document.createElement("p");
    spoken.className = "sp-spoken";
    spoken.setAttribute("role", "status");
    box.append(slider, told, spoken);
    let lines = [], timer = 0, watched = [];

    function say(text) {
      clearTimeout(timer);
      timer = setTimeout(function () { spoken.textContent = text; }, SAY_AFTER_MS);
    }

    function show(metres, by) {
      const at = Math.min(handle.length, Math.max(0, metres));
      const text = filled(words.place, { at: chainage(handle.data, at), what: whatIsAt(handle, at) });
      slider.value = at;
      slider.setAttribute("aria-valuetext", text);
      told.textContent = text;
      const x = across(at / handle.length);
      lines.forEach(function (line) {
        line.setAttribute("x1", x);
        line.setAttribute("x2", x);
        line.classList.add("sp-on");
      });
      handle.point(at);
      if (by !== "slider") say(text); // the slider's own value is spoken by the browser
    }

    function follow(event) {
      show(shareAt(event.currentTarget, event.clientX) * handle.length, "pointer");
    }

    function leave() {
      watched.forEach(function (svg) {
        svg.removeEventListener("pointermove", follow);
        svg.removeEventListener("pointerdown", follow);
      });
      lines.forEach(function (line) { line.remove(); });
      watched = [];
      lines = [];
    }

    // Puts the slider under the strip that is shown.
    function settle() {
      leave();
      const strip = visible(".sp-strip-box .sp-strip"), profile = visible(".sp-profile");
      if (!strip) return;
      watched = [strip, profile].filter(Boolean);
      watched.forEach(function (svg) {
        svg.addEventListener("pointermove", follow);
        svg.addEventListener("pointerdown", follow);
      });
      lines = [mark(strip, 38, 92)];
      if (profile) lines.push(mark(profile, 18, 88));
      slider.max = Math.floor(handle.length / STEP_M) * STEP_M;
      slider.value = 0;
      slider.setAttribute("aria-valuetext", chainage(handle.data, 0));
      told.textContent = words.slide;
      strip.after(box);
    }

    slider.addEventListener("input", function () { show(Number(slider.value), "slider"); });
    function pointed(event) { show(event.detail.at, event.detail.by); }
    handle.element.addEventListener("sp-point", pointed);
    document.addEventListener("sp-view", settle);
    handle.element.addEventListener("sp-map-close", function () {
      clearTimeout(timer);
      leave();
      box.remove();
      document.removeEventListener("sp-view", settle);
    });
    settle();
  }

  softpedal.along = {
    chainage: chainage, far: far, filled: filled, across: across, shareAt: shareAt,
  };
  document.addEventListener("sp-map-open", function (event) {
    if (document.querySelector("[data-sp-switches]")) attach(event.detail);
  });
  softpedal.running.forEach(function (handle) { if (handle) attach(handle); });
})();
