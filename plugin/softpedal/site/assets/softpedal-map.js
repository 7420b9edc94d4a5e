/* Starts and stops the maps of a page. Leaflet and the data are fetched only where a map stands.
   Addresses are read from links inside the map's element: instant navigation of a theme rewrites
   href, so `a.href` is right on every page, from a sub-path and from a file. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.here) return;

  const here = softpedal.here = document.currentScript.src;
  const running = softpedal.running; // element -> {map, ...}, or null while it is loading
  const scripts = new Map(); // address -> Promise

  function script(address) {
    if (!scripts.has(address)) {
      scripts.set(address, new Promise(function (resolve, reject) {
        const tag = document.createElement("script");
        tag.src = address;
        tag.onload = function () { resolve(); };
        tag.onerror = function () {
          scripts.delete(address);
          reject(new Error("not found: " + address));
        };
        document.head.appendChild(tag);
      }));
    }
    return scripts.get(address);
  }

  // A style sheet in the head would go with the page that asked for it; this one lives and goes
  // with its map.
  function style(element, address) {
    return new Promise(function (resolve) {
      const link = document.createElement("link");
      link.rel = "stylesheet";
      link.onload = link.onerror = function () { resolve(); };
      link.href = address;
      element.appendChild(link);
    });
  }

  function addressOf(element, name) {
    const link = element.querySelector('a[data-sp="' + name + '"]');
    return link ? link.href : "";
  }

  function beside(name) {
    return new URL(name, here).href;
  }

  function part(name) {
    return softpedal.parts[name] ? null : script(beside("softpedal-map-" + name + ".js"));
  }

  softpedal.fetch = { script: script, style: style, addressOf: addressOf, beside: beside, part: part };

  async function open(element) {
    running.set(element, null);
    const background = addressOf(element, "background");
    const ground = background ? script(background).catch(function () {}) : null;
    try {
      await Promise.all([
        style(element, addressOf(element, "leaflet-style")),
        style(element, beside("softpedal-map.css")),
        script(addressOf(element, "leaflet")),
        script(addressOf(element, "route")),
        part("place"),
        part("ground"),
        part("variants"),
        part("markers"),
        part("route"),
        ground,
      ]);
    } catch (error) {
      // The page says so in its own words, and the table below holds the same facts.
      running.delete(element);
      element.classList.add("sp-map-failed");
      return;
    }
    const data = (window.softpedalMaps || {})[element.dataset.spMap];
    if (!element.isConnected || !data) {
      running.delete(element);
      if (element.isConnected) element.classList.add("sp-map-failed");
      return;
    }
    const canvas = document.createElement("div");
    canvas.className = "sp-map-canvas";
    element.appendChild(canvas);
    element.classList.add("sp-map-open");
    const handle = softpedal.parts.route(element, canvas, data);
    const drawn = (window.softpedalGround || {})[background];
    if (data.tiles) softpedal.parts.tiles(handle.map, data.tiles);
    else if (drawn) softpedal.parts.ground(handle.map, drawn);
    if (data.variants) softpedal.parts.variants(handle.map, data.variants);
    if (softpedal.shown) handle.show(softpedal.shown);
    running.set(element, handle);
    handle.sizes = watchSize(handle, canvas);
    element.dispatchEvent(new CustomEvent("sp-map-open", { bubbles: true, detail: handle }));
  }

  // A map in a closed tab or a folded box has no size; it is fitted once it has one.
  function watchSize(handle, canvas) {
    let fitted = canvas.clientWidth > 0;
    const observer = new ResizeObserver(function () {
      if (!canvas.clientWidth) return;
      handle.map.invalidateSize({ animate: false });
      if (!fitted) handle.whole();
      fitted = true;
    });
    observer.observe(canvas);
    return observer;
  }

  function close(element, handle) {
    running.delete(element);
    if (!handle) return;
    element.dispatchEvent(new CustomEvent("sp-map-close", { detail: handle }));
    handle.sizes.disconnect();
    handle.map.remove();
  }

  function start() {
    running.forEach(function (handle, element) {
      if (!element.isConnected) close(element, handle);
    });
    document.querySelectorAll("[data-sp-map]").forEach(function (element) {
      if (!running.has(element)) open(element);
    });
    library();
  }

  // The page of all routes has a program of its own, which is fetched only there.
  function library() {
    if (softpedal.parts.library) softpedal.parts.library();
    else if (document.querySelector("[data-sp-library]")) {
      script(beside("softpedal-library.js")).then(function () { softpedal.parts.library(); })
        .catch(function () {}); // the page is a list without it
    }
  }

  // Strip, table and map light the same leg. The part of the page that belongs to one route may
  // be marked with data-sp-route; without the mark it is the whole page.
  function scope(element) {
    return element.closest("[data-sp-route]") || document;
  }

  function light(within, leg) {
    within.querySelectorAll("[data-leg]").forEach(function (element) {
      element.classList.toggle("sp-lit", element.dataset.leg === leg);
    });
    running.forEach(function (handle, element) {
      if (handle && (within === document || within.contains(element))) handle.light(leg);
    });
  }

  document.addEventListener("click", function (event) {
    const leg = event.target.closest && event.target.closest("[data-leg]");
    if (!leg || event.target.closest("a, button, input, select, summary")) return;
    const isLit = leg.classList.contains("sp-lit");
    light(scope(leg), isLit ? "" : leg.dataset.leg);
  });

  document.addEventListener("sp-leg", function (event) {
    light(scope(event.target), String(event.detail));
  });

  // The switches of a page tell which direction and hours they show: softpedal.shown.
  document.addEventListener("sp-view", function (event) {
    light(document, "");
    running.forEach(function (handle) { if (handle) handle.show(event.detail); });
  });

  document.addEventListener("visibilitychange", function () {
    running.forEach(function (handle) {
      if (handle && !document.hidden) handle.map.invalidateSize({ animate: false });
    });
  });

  // The theme's stream of pages tells of instant navigation. It is not waited for on the first
  // page: from a file it may stay silent.
  if (typeof document$ !== "undefined") document$.subscribe(start);
  if (document.readyState !== "loading") start();
  else document.addEventListener("DOMContentLoaded", start);
})();
