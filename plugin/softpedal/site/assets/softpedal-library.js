/* The page of all routes: a list and a map, each filtering the other, and the filters' state in
   the address. Without this program, or its data, the page stays a whole list. */
(function () {
  "use strict";

  const softpedal = window.softpedal;
  if (softpedal.parts.library) return;

  const get = softpedal.fetch;
  const open = new Map(); // element -> {stop}, or null while it is loading
  const ADDRESS_MS = 250; // browsers refuse an address that changes too often
  const MINUTE_MS = 60 * 1000;

  async function begin(element) {
    open.set(element, null);
    const mapBox = element.querySelector(".sp-library-map");
    const background = get.addressOf(element, "background");
    const forMap = Promise.all([
      get.style(element, get.addressOf(element, "leaflet-style")),
      get.style(element, get.beside("softpedal-map.css")),
      get.script(get.addressOf(element, "leaflet")),
      get.script(get.beside("softpedal-library-map.js")),
      get.part("ground"),
      get.part("markers"),
      background ? get.script(background).catch(function () {}) : null,
    ]).then(function () { return true; }, function () { return false; });
    try {
      await Promise.all([
        get.style(element, get.beside("softpedal-library.css")),
        get.script(get.addressOf(element, "library")),
        get.script(get.beside("softpedal-library-filters.js")),
      ]);
    } catch (error) {
      open.delete(element);
      return;
    }
    const data = window.softpedalLibrary;
    if (!element.isConnected || !data) {
      open.delete(element);
      return;
    }
    mapBox.hidden = false;
    const page = listing(element, data);
    open.set(element, page);
    const hasMap = await forMap;
    if (!element.isConnected) return;
    if (hasMap) page.draw(mapBox, (window.softpedalGround || {})[background]);
    else {
      mapBox.classList.add("sp-map-failed");
      element.querySelector("[name=seen]").closest("label").hidden = true;
    }
    element.setAttribute("data-sp-ready", "");
  }

  function listing(element, data) {
    const one = function (selector) { return element.querySelector(selector); };
    const form = one(".sp-find"), list = one(".sp-rows"), count = one(".sp-count");
    const nothing = one(".sp-nothing"), more = one(".sp-more"), further = one("#sp-find-more");
    const rows = new Map();
    list.querySelectorAll("[data-sp-row]").forEach(function (row) { rows.set(row.dataset.spRow, row); });
    const finder = softpedal.parts.finder(data, rows);
    const controls = Array.from(element.querySelectorAll("[name]"));
    const everyRow = Array.from(list.children);
    const path = window.location.pathname;
    let isAsked = false; // whether the reader has changed anything
    let map = null, order = "", shown = [], timer = 0, settled = "";

    if (softpedal.parts.libraryAddress.asks("from", "to")) fillPlaces();
    const asked = softpedal.parts.libraryAddress.read(controls);
    if (further.querySelector("select option:checked:not([value='']), :checked[type=checkbox]")) unfold(true);
    form.hidden = false;
    one(".sp-list-ways").hidden = false;
    element.classList.add("sp-library-open");

    // Long lists, so they are made when they come into sight.
    function fillPlaces() {
      finder.fillPlaces(form.elements.from, form.elements.to);
    }

    function values() {
      const found = {};
      controls.forEach(function (control) {
        const value = control.type === "checkbox" ? (control.checked ? "1" : "") : control.value.trim();
        if (value) found[control.name] = value;
      });
      return found;
    }

    function fits(route, wanted) {
      return finder.fits(route, wanted) && (!wanted.seen || !map || map.sees(route));
    }

    function apply() {
      const wanted = values();
      const now = finder.moment(wanted);
      shown = finder.routes.filter(function (route) { return fits(route, Object.assign({ now: now }, wanted)); });
      const kept = new Set(shown.map(function (route) { return route.row; }));
      everyRow.forEach(function (row) {
        if (row.hidden === kept.has(row)) row.hidden = !row.hidden;
      });
      sort(wanted.order || "");
      tell(wanted, now);
      const ids = shown.map(function (route) { return route.id; }).join(" ");
      if (map && ids !== settled) map.show(shown, !wanted.seen);
      settled = ids;
      clearTimeout(timer);
      if (isAsked) timer = setTimeout(write, ADDRESS_MS);
    }

    function sort(wanted) {
      if (wanted === order) return;
      order = wanted;
      const sorted = finder.sorted(order).map(function (route) { return route.row; });
      list.append.apply(list, order ? sorted : everyRow);
    }

    function tell(wanted, now) {
      const names = Object.keys(wanted).filter(function (name) { return name !== "order"; });
      const text = data.words.count.replace("{n}", shown.length);
      if (count.textContent !== text) count.textContent = text;
      one(".sp-count-line .sp-show-all").hidden = !names.length || !shown.length;
      const set = names.filter(function (name) { return further.querySelector('[name="' + name + '"]'); }).length;
      one(".sp-set").textContent = set ? data.words.set.replace("{n}", set) : "";
      one(".sp-check-hours").hidden = !wanted.open;
      nothing.hidden = shown.length > 0;
      if (!shown.length) loosen(wanted, names, now);
    }

    // Which one filter, left out, would bring routes back.
    function loosen(wanted, names, now) {
      const ways = names.map(function (name) {
        const rest = Object.assign({ now: now }, wanted);
        delete rest[name];
        const left = finder.routes.filter(function (route) { return fits(route, rest); }).length;
        return { name: name, left: left };
      }).filter(function (way) { return way.left; });
      const items = ways.map(function (way) {
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = data.words.drop.replace("{filter}", worded(way.name)).replace("{n}", way.left);
        button.addEventListener("click", function () {
          clear([way.name]);
          count.parentElement.parentElement.focus({ preventScroll: true });
        });
        const item = document.createElement("li");
        item.append(button);
        return item;
      });
      one(".sp-loosen").replaceChildren.apply(one(".sp-loosen"), items);
      one(".sp-loosen-none").hidden = items.length > 0;
    }

    function control(name) {
      return controls.find(function (each) { return each.name === name; });
    }

    function worded(name) {
      const each = control(name);
      const label = each.closest("label").querySelector("span").textContent;
      if (each.type === "checkbox") return label;
      return label + ": " + (each.options ? each.selectedOptions[0].textContent : each.value);
    }

    function clear(names) {
      names.forEach(function (name) {
        control(name).value = control(name).type === "checkbox" ? "1" : "";
        control(name).checked = false;
      });
      apply();
    }

    function write() {
      // a theme changes the address before it changes the page
      if (!element.isConnected || window.location.pathname !== path) return;
      const wanted = values();
      if (wanted.seen && map) wanted.map = map.view();
      softpedal.parts.libraryAddress.write(wanted);
    }

    function unfold(isOpen) {
      if (isOpen) fillPlaces();
      more.setAttribute("aria-expanded", String(isOpen));
      further.hidden = !isOpen;
    }

    // ----- row and line light each other
    function light(wanted) {
      const id = wanted || (map ? map.held() : "");
      everyRow.forEach(function (row) { row.classList.toggle("sp-row-lit", row.dataset.spRow === id); });
      if (map) map.light(id);
    }

    function rowAt(event) {
      const row = event.target.closest("[data-sp-row]");
      light(row ? row.dataset.spRow : "");
    }

    ["mouseover", "focusin"].forEach(function (name) { list.addEventListener(name, rowAt); });
    ["mouseleave", "focusout"].forEach(function (name) {
      list.addEventListener(name, function () { light(""); });
    });
    element.addEventListener("input", apply);
    form.addEventListener("submit", function (event) { event.preventDefault(); });
    more.addEventListener("click", function () { unfold(further.hidden); });
    element.querySelectorAll(".sp-show-all").forEach(function (button) {
      button.addEventListener("click", function () {
        clear(controls.map(function (each) { return each.name; }).filter(function (n) { return n !== "order"; }));
        count.parentElement.parentElement.focus({ preventScroll: true });
      });
    });
    const clock = setInterval(function () { if (values().open && !document.hidden) apply(); }, MINUTE_MS);
    apply();
    isAsked = true;

    return {
      draw: function (box, ground) {
        const canvas = document.createElement("div");
        canvas.className = "sp-map-canvas";
        box.append(canvas);
        box.classList.add("sp-map-open");
        map = softpedal.parts.overview(canvas, data, finder.routes, {
          view: asked.map, light: light, moved: function () { if (values().seen) apply(); },
        });
        if (ground) softpedal.parts.ground(map.map, ground);
        if (values().seen) apply();
        else map.show(shown, !asked.map);
      },
      stop: function () {
        clearInterval(clock);
        clearTimeout(timer);
        if (map) map.stop();
      },
      get map() { return map && map.map; },
    };
  }

  softpedal.parts.library = function () {
    open.forEach(function (page, element) {
      if (element.isConnected || !page) return;
      open.delete(element);
      page.stop();
    });
    document.querySelectorAll("[data-sp-library]").forEach(function (element) {
      if (!open.has(element)) begin(element);
    });
  };
  softpedal.library = open;
})();
