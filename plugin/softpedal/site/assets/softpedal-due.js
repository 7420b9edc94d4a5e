/* The page What needs riding next: what speaks for a ride on the day in the town, and the routes in
   the order of need. Run again, on a later day or on the same page, it sorts anew. */
(function () {
  "use strict";

  const NEEDS = ["changed", "unridden", "old", "none"];
  const dates = window.softpedal.parts.dates;

  // Show what holds today; return the strongest need.
  function need(route, today) {
    let strongest = "none";
    route.querySelectorAll("[data-sp-due-reason]").forEach(function (reason) {
      const data = reason.dataset;
      reason.hidden = data.spDueFrom > today;
      if (reason.hidden) return;
      if (NEEDS.indexOf(data.spDueReason) < NEEDS.indexOf(strongest)) strongest = data.spDueReason;
      const state = reason.querySelector(".sp-due-state");
      const isOver = data.spDueOver !== "" && data.spDueOver <= today;
      if (state) state.textContent = isOver ? data.spDueThen : data.spDueNow;
    });
    const list = route.querySelector(".sp-due-reasons");
    list.hidden = list.querySelector("[data-sp-due-reason]:not([hidden])") === null;
    return strongest;
  }

  function sort(page) {
    const today = dates.today(page.dataset.spZone);
    const routes = [...page.querySelectorAll("[data-sp-due-oldest]")];
    // The order of the page without script, in whichever section each stands now.
    routes.forEach(function (route, index) { route.spDueIndex = route.spDueIndex || index + 1; });
    routes.sort(function (a, b) { return a.spDueIndex - b.spDueIndex; });
    routes.forEach(function (route) {
      page.querySelector('[data-sp-due-need="' + need(route, today) + '"] > ul').append(route);
    });
    let isNone = true;
    NEEDS.forEach(function (name) {
      const section = page.querySelector('[data-sp-due-need="' + name + '"]');
      section.hidden = section.querySelector("[data-sp-due-oldest]") === null;
      if (name !== "none" && !section.hidden) isNone = false;
    });
    page.querySelector("[data-sp-due-none]").hidden = !isNone;
    page.querySelector("[data-sp-due-sorted]").hidden = isNone;
    page.querySelector("[data-sp-due-plain]").hidden = true;
    page.querySelector("[data-sp-due-all]").hidden = true;
  }

  function start() { document.querySelectorAll("[data-sp-due]").forEach(sort); }

  document.addEventListener("visibilitychange", function () { if (!document.hidden) start(); });
  if (window.document$) window.document$.subscribe(start);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
