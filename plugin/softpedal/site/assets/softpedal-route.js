/* The switches of a route's page: direction and hours. The page holds everything in turn; with
   script one view at a time is shown, and figures, strip, map and table change together. Which one
   stands in the address, so that it can be sent to somebody. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.switches) return;

  const FOLLOWERS = [
    "softpedal-route-along.js", "softpedal-route-rows.js", "softpedal-route-where.js",
  ];
  const FIRST = "outbound-0";
  function panels(name, key) {
    const named = name ? '="' + name + '"' : "";
    const keyed = key ? '[data-sp-view="' + key + '"]' : "";
    return [...document.querySelectorAll("[data-sp-panel" + named + "]" + keyed)];
  }

  // Panels stand where the first view's stand, one behind the other.
  function settle(panel) {
    const host = panels(panel.dataset.spPanel, FIRST)[0];
    if (!host || panel === host) return;
    panel.hidden = true;
    host.after(panel);
  }

  // Loads the panels of a further state; resolves at once where they stand on the page.
  function fetched(form, key) {
    const link = form.querySelector('a[data-sp="states"]');
    if (key.endsWith("-0") || !link || panels("", key).length) return Promise.resolve();
    return softpedal.fetch.script(link.href).then(function () {
      const found = ((window.softpedalStates || {})[form.dataset.spSwitches] || {})[key] || {};
      Object.keys(found).forEach(function (name) {
        if (panels(name, key).length) return;
        const box = document.createElement("template");
        box.innerHTML = found[name]; // made by our templates, which escape what authors write
        settle(box.content.firstElementChild);
      });
    });
  }

  function reveal(key) {
    const direction = key.split("-")[0];
    new Set(panels().map(function (p) { return p.dataset.spPanel; })).forEach(function (name) {
      // what stays the same at other hours is not sent twice
      const wanted = panels(name, key)[0] || panels(name, direction + "-0")[0];
      panels(name).forEach(function (panel) { panel.hidden = panel !== wanted; });
    });
    softpedal.shown = key;
    document.dispatchEvent(new CustomEvent("sp-view", { detail: key }));
  }

  function read() {
    const text = location.search + "&" + location.hash;
    const direction = /[?&#]direction=return\b/.test(text) ? "return" : "outbound";
    const hours = /[?&#]hours=(\d{1,2})\b/.exec(text);
    return { direction: direction, index: hours ? Math.max(0, hours[1] - 1) : 0 };
  }

  function write(direction, index) {
    const parts = [];
    if (direction !== "outbound") parts.push("direction=" + direction);
    if (index) parts.push("hours=" + (index + 1));
    const said = parts.join("&");
    const address = location.protocol === "file:"
      ? location.pathname + (said ? "#" + said : "")
      : location.pathname + (said ? "?" + said : "") + location.hash;
    history.replaceState(history.state, "", address);
  }

  function radios(form, name) {
    return [...form.querySelectorAll('input[name="' + name + '"]')];
  }

  function hoursOf(form, direction) {
    return radios(form, "sp-hours-" + direction);
  }

  function chosen(form) {
    const direction = radios(form, "sp-direction").find(function (r) { return r.checked; }).value;
    const hours = hoursOf(form, direction).find(function (r) { return r.checked; });
    return { direction: direction, index: hours ? Number(hours.value) : 0 };
  }

  function show(form) {
    const want = chosen(form), key = want.direction + "-" + want.index;
    const status = form.querySelector(".sp-switched");
    form.querySelectorAll("[data-sp-hours]").forEach(function (set) {
      set.hidden = set.dataset.spHours !== want.direction;
    });
    return fetched(form, key).then(function () {
      const now = chosen(form);
      if (!form.isConnected || now.direction !== want.direction || now.index !== want.index) return;
      status.textContent = "";
      reveal(key);
    }, function () {
      status.textContent = status.dataset.spFailed;
    });
  }

  function turn(form, event) {
    if (event.target.name === "sp-direction") {
      // the same hours, as far as the other direction tells them apart
      const direction = event.target.value;
      const before = hoursOf(form, direction === "return" ? "outbound" : "return")
        .find(function (r) { return r.checked; });
      const after = hoursOf(form, direction);
      if (before && after[before.dataset.spOther]) after[before.dataset.spOther].checked = true;
    }
    const now = chosen(form);
    write(now.direction, now.index);
    show(form);
  }

  function open(form) {
    form.dataset.spReady = "";
    softpedal.shown = FIRST;
    panels().forEach(settle);
    const want = read();
    radios(form, "sp-direction").forEach(function (r) { r.checked = r.value === want.direction; });
    const hours = hoursOf(form, want.direction);
    hours.forEach(function (r, i) { r.checked = hours[want.index] ? i === want.index : i === 0; });
    form.hidden = false;
    form.addEventListener("change", function (event) { turn(form, event); });
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    document.querySelectorAll("[data-sp-to-back]").forEach(function (box) {
      box.hidden = false;
      box.querySelector("button").addEventListener("click", function () {
        const way = form.querySelector('input[value="return"]');
        way.click();
        way.focus({ preventScroll: true });
        form.scrollIntoView();
      });
    });
    show(form);
    // the page is whole without them; the others need the first
    FOLLOWERS.reduce(function (before, name) {
      return before.then(function () {
        return softpedal.fetch.script(softpedal.fetch.beside(name));
      });
    }, Promise.resolve()).catch(function () {});
  }

  function start() {
    const form = document.querySelector("[data-sp-switches]");
    if (!form) softpedal.shown = "";
    else if (!("spReady" in form.dataset)) open(form);
  }

  softpedal.switches = { start: start };
  if (typeof document$ !== "undefined") document$.subscribe(start);
  if (document.readyState !== "loading") start();
  else document.addEventListener("DOMContentLoaded", start);
})();
