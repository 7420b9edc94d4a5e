/* Where am I: asked for only, and nothing leaves the device. The position is laid on the nearest
   pass of the route that carries on from the last one. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.where) return;

  const PASS_APART_M = 40;
  const LEAST_REACH_M = 25; // passes that lie this much farther than the nearest are in question
  const BACKWARD_COST = 3; // a rider goes on rather than back
  const ON_ROUTE_M = 20;
  const FAR_OFF_M = 60;
  const HERE_M = 12;
  const SAY_EVERY_MS = 15000;
  const watches = new Set();

  // Of the passes at about the same distance, the one that carries on from the last chainage.
  function laidOn(parts, lat, lon, accuracy, last) {
    const reach = Math.max(LEAST_REACH_M, Math.min(accuracy, 100));
    const found = softpedal.parts.place.passes(parts, lat, lon, PASS_APART_M, Infinity);
    const near = found.filter(function (p) { return p.off <= found[0].off + reach; });
    if (last === null) {
      const first = near.filter(function (p) { return p.off <= found[0].off + 5; });
      return first.sort(function (a, b) { return a.at - b.at; })[0];
    }
    const cost = function (p) {
      const on = p.at - last;
      return (on < 0 ? -on * BACKWARD_COST : on) + (p.off - found[0].off);
    };
    return near.sort(function (a, b) { return cost(a) - cost(b); })[0];
  }

  // What a rider comes to, in riding order: [{at, what}].
  function notes(view) {
    const met = view.markers.filter(function (m) { return m.note && m.sort !== "start"; })
      .map(function (m) { return { at: m.at / 10, what: m.note }; });
    const legs = view.legs.slice(1).map(function (l) {
      return { at: l.from / 10, what: l.cue || l.name + ", " + l.kind };
    });
    return met.concat(legs).sort(function (a, b) { return a.at - b.at; });
  }

  function element(name, className, text) {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text || "";
    return made;
  }

  function attach(handle) {
    const words = handle.data.words, data = handle.data;
    const write = softpedal.along;
    const box = element("div", "sp-here");
    const button = element("button", "sp-button", words.where);
    button.type = "button";
    const safe = element("p", "sp-here-safe", words.safe + " " + words.private);
    const told = element("div", "sp-here-told");
    told.setAttribute("aria-hidden", "true");
    const spoken = element("p", "sp-spoken");
    spoken.setAttribute("role", "status");
    box.append(button, safe, told, spoken);
    handle.element.after(box);
    let watch = null, last = null, wide = null, dot = null, saidAt = 0, saidNote = "";

    function tell(lines, note) {
      told.textContent = "";
      lines.forEach(function (line) { told.append(element("p", "", line)); });
      const now = Date.now();
      if (note === saidNote && now - saidAt < SAY_EVERY_MS) return;
      saidNote = note;
      saidAt = now;
      spoken.textContent = lines.join(". ");
    }

    function drawn(latlng, accuracy) {
      if (!dot) {
        wide = L.circle(latlng, {
          radius: accuracy, color: "#000", weight: 1, fillOpacity: 0.08, interactive: false,
        }).addTo(handle.map);
        dot = L.marker(latlng, {
          icon: L.divIcon({ className: "sp-you", iconSize: [22, 22], iconAnchor: [11, 11] }),
          keyboard: false, interactive: false, zIndexOffset: 2000,
        }).addTo(handle.map);
        dot.getElement().setAttribute("aria-label", words.you);
        dot.getElement().setAttribute("role", "img");
      }
      wide.setLatLng(latlng).setRadius(accuracy);
      dot.setLatLng(latlng);
      if (!handle.map.getBounds().pad(-0.1).contains(latlng)) {
        const at = softpedal.parts.place.at(handle.parts, last);
        handle.map.fitBounds(L.latLngBounds([latlng, [at[0], at[1]]]).pad(0.3), {
          maxZoom: Math.max(15, handle.map.getZoom()), animate: false,
        });
      }
    }

    function found(position) {
      const lat = position.coords.latitude, lon = position.coords.longitude;
      const accuracy = position.coords.accuracy || 0;
      const on = laidOn(handle.parts, lat, lon, accuracy, last);
      last = on.at;
      drawn(L.latLng(lat, lon), accuracy);
      const at = write.chainage(data, on.at);
      const exact = write.filled(words.accuracy, { metres: write.far(data, accuracy) });
      if (on.off > FAR_OFF_M + accuracy) {
        tell([write.filled(words.far, { far: write.far(data, on.off), at: at }), exact], "far");
        return;
      }
      const off = on.off <= Math.max(ON_ROUTE_M, accuracy)
        ? words.on : write.filled(words.off, { far: write.far(data, on.off) });
      const all = notes(handle.view);
      const near = all.filter(function (n) { return Math.abs(n.at - on.at) <= HERE_M; });
      const next = all.find(function (n) { return n.at - on.at > HERE_M; });
      const lines = near.map(function (n) { return write.filled(words.now, { what: n.what }); });
      if (next) {
        const far = write.far(data, next.at - on.at);
        lines.push(write.filled(words.next, { far: far, what: next.what }));
      }
      lines.push(write.filled(words.at, { at: at }) + ", " + off + ", " + exact);
      tell(lines, near.concat(next || []).map(function (n) { return n.what; }).join());
    }

    function failed(error) {
      if (error.code === error.PERMISSION_DENIED) {
        stop();
        tell([words.denied], "denied");
      } else {
        tell([words.lost], "lost");
      }
    }

    function stop() {
      if (watch !== null) navigator.geolocation.clearWatch(watch);
      watches.delete(stop);
      watch = last = null;
      [wide, dot].forEach(function (layer) { if (layer) layer.remove(); });
      wide = dot = null;
      told.textContent = spoken.textContent = saidNote = "";
      button.textContent = words.where;
    }

    function begin() {
      if (!window.isSecureContext) {
        tell([words.insecure], "insecure");
      } else if (!navigator.geolocation) {
        tell([words.none], "none");
      } else {
        button.textContent = words.stop;
        tell([words.waiting], "waiting");
        watches.add(stop);
        watch = navigator.geolocation.watchPosition(found, failed, {
          enableHighAccuracy: true, maximumAge: 5000, timeout: 30000,
        });
      }
    }

    button.addEventListener("click", function () {
      if (watch === null) begin();
      else stop();
    });
    // another direction is another chainage: the next position is laid anew
    function turned() {
      last = null;
      saidNote = "";
    }
    document.addEventListener("sp-view", turned);
    handle.element.addEventListener("sp-map-close", function () {
      stop();
      box.remove();
      document.removeEventListener("sp-view", turned);
    });
  }

  softpedal.where = { laidOn: laidOn, watches: watches };
  window.addEventListener("pagehide", function () {
    watches.forEach(function (stop) { stop(); });
  });
  document.addEventListener("sp-map-open", function (event) {
    if (document.querySelector("[data-sp-switches]")) attach(event.detail);
  });
  softpedal.running.forEach(function (handle) { if (handle) attach(handle); });
})();
