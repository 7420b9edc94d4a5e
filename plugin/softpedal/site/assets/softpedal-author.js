/* For authors, under `mkdocs serve` only: a click on the map tells the position as notes want it,
   and notes in the table can be moved. */
(function () {
  "use strict";

  const PASS_APART_M = 150; // as in the notes: nearer passes are one
  const ON_LINE_M = 30;
  // In this order: each needs the one before it.
  const MOVING = ["softpedal-route-along.js", "softpedal-route-rows.js", "softpedal-author-move.js"];

  // Where a line passes a place, as the notes count passes.
  function passes(parts, lat, lon) {
    return softpedal.parts.place.passes(parts, lat, lon, PASS_APART_M, ON_LINE_M);
  }

  function copy(text) {
    const plain = function () {
      const field = document.createElement("textarea");
      field.value = text;
      field.className = "sp-author-copy";
      document.body.appendChild(field);
      field.select();
      const isDone = document.execCommand("copy");
      field.remove();
      return isDone;
    };
    if (!navigator.clipboard) return Promise.resolve(plain());
    return navigator.clipboard.writeText(text).then(function () { return true; }, plain);
  }

  function row(text, status) {
    const line = document.createElement("p");
    const code = document.createElement("code");
    code.textContent = text;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = "Copy";
    button.setAttribute("aria-label", "Copy " + text);
    button.addEventListener("click", function () { tell(text, status); });
    line.append(code, button);
    return line;
  }

  function tell(text, status) {
    copy(text).then(function (isDone) {
      status.textContent = isDone ? "Copied: " + text : "Not copied: select the text and copy it.";
    });
  }

  // Where the notes stand in their file comes from a script of the page's own.
  function offerMoving(handle) {
    const fetch = softpedal.fetch, address = fetch.addressOf(handle.element, "author");
    if (!address || !document.querySelector("[data-sp-switches]")) return;
    MOVING.map(fetch.beside).concat(address).reduce(function (before, each) {
      return before.then(function () { return fetch.script(each); });
    }, Promise.resolve()).then(function () {
      const notes = (window.softpedalNotes || {})[handle.element.dataset.spMap];
      if (notes && softpedal.running.get(handle.element) === handle) softpedal.moving.watch(handle, notes);
    }, function (error) {
      const sorry = document.createElement("p");
      sorry.textContent = "Notes cannot be moved here: " + error.message;
      handle.panel.append(sorry);
    });
  }

  function watch(handle) {
    if (!handle.element.hasAttribute("data-sp-author") || handle.panel) return;
    softpedal.fetch.style(handle.element, softpedal.fetch.beside("softpedal-author.css"));
    const panel = document.createElement("div");
    panel.className = "sp-author";
    panel.textContent = "Click on the map for a position in notes form.";
    handle.panel = panel;
    handle.element.after(panel);
    handle.element.addEventListener("sp-map-close", function () { panel.remove(); });
    offerMoving(handle);
    // "preclick" comes also where a leg or a sign takes the click for its own pop-up.
    handle.map.on("preclick", function (event) {
      if (handle.isMoving && handle.isMoving()) return;
      const lat = event.latlng.lat, lon = event.latlng.lng;
      // Notes count from the outbound start, unless the way back has a line of its own.
      const parts = handle.data.back ? handle.parts : handle.outbound;
      const found = passes(parts, lat, lon);
      const status = document.createElement("p");
      status.setAttribute("role", "status");
      panel.textContent = "";
      found.forEach(function (pass) {
        const chainage = (pass.at / 1000).toFixed(2) + " km";
        const near = found.length > 1 ? " near " + chainage : "";
        panel.append(
          row("at: " + chainage, status),
          row("at: " + pass.lat.toFixed(5) + ", " + pass.lon.toFixed(5) + near, status)
        );
      });
      const off = document.createElement("p");
      const metres = Math.round(found[0].off);
      off.textContent = "The click was " + metres + " m off the line." +
        (metres > ON_LINE_M ? " Notes take coordinates within " + ON_LINE_M + " m of it." : "") +
        (found.length > 1 ? " The line passes here " + found.length + " times." : "");
      panel.append(off, status);
      tell("at: " + (found[0].at / 1000).toFixed(2) + " km", status);
    });
  }

  document.addEventListener("sp-map-open", function (event) { watch(event.detail); });
  if (window.softpedal) {
    window.softpedal.author = { copy: copy, passes: passes };
    window.softpedal.running.forEach(function (handle) { if (handle) watch(handle); });
  }
})();
