// What depends on the day on which a page is read: ages of rides, alerts by date, old routes.
(function () {
  "use strict";

  const DAY_MS = 24 * 60 * 60 * 1000;
  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  // The day in the town, whose time zone is given, wherever the reader is: "2026-11-25".
  function today(zone) {
    const form = { year: "numeric", month: "2-digit", day: "2-digit" };
    let format;
    try {
      format = new Intl.DateTimeFormat("en", Object.assign({ timeZone: zone || undefined }, form));
    } catch (error) { // a zone that this browser does not know
      format = new Intl.DateTimeFormat("en", form);
    }
    const parts = {};
    format.formatToParts(new Date(Date.now())).forEach(function (part) { parts[part.type] = part.value; });
    return [parts.year, parts.month, parts.day].join("-");
  }

  // The day where an element stands: of the zone that it, or what is around it, names.
  function todayAt(element) { return today(around(element, "data-sp-zone")); }

  // What an element, or what is around it, says; "" if nothing does.
  function around(element, name) {
    const found = element.closest("[" + name + "]");
    return found ? found.getAttribute(name) : "";
  }

  function numbers(iso) { return iso.split("-").map(Number); }

  // Whole calendar months between two days.
  function months(from, to) {
    const a = numbers(from), b = numbers(to);
    return (b[0] - a[0]) * 12 + b[1] - a[1] - (b[2] < a[2] ? 1 : 0);
  }

  function days(from, to) { return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS); }

  // "3 years ago" in the language of the page, by the browser.
  function ageWords(from, to) {
    const lang = document.documentElement.lang || "en";
    const ago = new Intl.RelativeTimeFormat(lang, { numeric: "auto" });
    const past = months(from, to);
    if (past < 2) return ago.format(-days(from, to), "day");
    if (past < 24) return ago.format(-past, "month");
    return ago.format(-Math.floor(past / 12), "year");
  }

  function tellAges() {
    document.querySelectorAll("time.sp-age:not([data-sp-told])").forEach(function (time) {
      const now = todayAt(time);
      time.setAttribute("data-sp-told", "");
      if (time.dateTime <= now) time.append(" (" + ageWords(time.dateTime, now) + ")");
    });
  }

  // An old route says so above everything else.
  function tellOld() {
    document.querySelectorAll("[data-sp-since]").forEach(function (notice) {
      const since = notice.getAttribute("data-sp-since"), now = todayAt(notice);
      const isOld = since <= now
        && months(since, now) >= Number(around(notice, "data-sp-months"));
      notice.hidden = !isOld;
      if (!isOld) return;
      notice.textContent = around(notice, "data-sp-words")
        .replace("{age}", ageWords(since, now));
    });
  }

  // An alert that is over is away; one that is far ahead is, where only what is near counts.
  function sortAlerts() {
    document.querySelectorAll("[data-sp-from]").forEach(function (alert) {
      const now = todayAt(alert);
      const from = alert.getAttribute("data-sp-from"), until = alert.getAttribute("data-sp-until");
      const ahead = around(alert, "data-sp-ahead");
      const isFar = ahead !== "" && days(now, from) > Number(ahead);
      alert.hidden = (until !== "" && until < now) || isFar;
      const list = alert.parentElement;
      list.hidden = list.querySelector("[data-sp-from]:not([hidden])") === null;
    });
  }

  function start() {
    sortAlerts();
    tellOld();
    // Ages can wait until the page has nothing better to do.
    if (window.requestIdleCallback) window.requestIdleCallback(tellAges, { timeout: 3000 });
    else tellAges();
  }

  softpedal.parts.dates = { today: today, months: months, ageWords: ageWords };
  // A page that was left open over midnight tells the day when it is looked at again.
  document.addEventListener("visibilitychange", function () {
    if (document.hidden) return;
    sortAlerts();
    tellOld();
  });
  // A theme with instant navigation says when the page has changed; from a file it never does.
  if (window.document$) window.document$.subscribe(start);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
