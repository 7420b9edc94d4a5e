// What depends on the day on which a page is read: the age of a ride, and alerts by date.
(function () {
  "use strict";

  const DAY_MS = 24 * 60 * 60 * 1000;
  const OLD_DAYS = 2 * 365;

  // "3 years ago" in the language of the page, by the browser.
  function ageWords(days, from, to) {
    const lang = document.documentElement.lang || "en";
    const ago = new Intl.RelativeTimeFormat(lang, { numeric: "auto" });
    const months = (to.getFullYear() - from.getUTCFullYear()) * 12 + to.getMonth()
      - from.getUTCMonth() - (to.getDate() < from.getUTCDate() ? 1 : 0);
    if (months < 2) return ago.format(-days, "day");
    if (months < 24) return ago.format(-months, "month");
    return ago.format(-Math.floor(months / 12), "year");
  }

  function tellAges() {
    document.querySelectorAll("time.sp-age:not([data-sp-told])").forEach(function (time) {
      const ridden = new Date(time.dateTime);
      const days = Math.floor((Date.now() - ridden.getTime()) / DAY_MS);
      time.setAttribute("data-sp-told", "");
      if (!(days >= 0)) return;
      time.append(" (" + ageWords(days, ridden, new Date(Date.now())) + ")");
      if (days > OLD_DAYS) time.append(time.getAttribute("data-sp-old"));
    });
  }

  function sortAlerts() {
    const today = new Date();
    const date = [today.getFullYear(), today.getMonth() + 1, today.getDate()]
      .map(function (n) { return String(n).padStart(2, "0"); }).join("-");
    document.querySelectorAll("[data-sp-from]").forEach(function (alert) {
      const until = alert.getAttribute("data-sp-until");
      const isOver = until !== "" && until < date;
      alert.hidden = isOver;
      alert.classList.toggle("sp-later", alert.getAttribute("data-sp-from") > date);
      const list = alert.parentElement;
      list.hidden = list.querySelector("[data-sp-from]:not([hidden])") === null;
    });
  }

  function start() {
    sortAlerts();
    // Ages can wait until the page has nothing better to do.
    if (window.requestIdleCallback) window.requestIdleCallback(tellAges, { timeout: 3000 });
    else tellAges();
  }

  // A theme with instant navigation says when the page has changed; from a file it never does.
  if (window.document$) window.document$.subscribe(start);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
