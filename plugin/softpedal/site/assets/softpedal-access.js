// What can only be known in the reader's window: a table that scrolls sideways in its box must be
// reached by keyboard, and have a name. The theme's search dialog has none: its field's is taken.
(function () {
  "use strict";

  const BOXES = ".sp-scroll, .md-typeset__scrollwrap";

  function headingBefore(element) {
    for (let at = element; at && !at.matches("article, main, body"); at = at.parentElement) {
      for (let before = at; before; before = before.previousElementSibling) {
        if (/^H[1-6]$/.test(before.tagName)) return before;
      }
    }
    return null;
  }

  function nameOf(box) {
    const source = box.querySelector("caption") || headingBefore(box);
    if (!source) return "";
    const copy = source.cloneNode(true);
    copy.querySelectorAll(".headerlink").forEach(function (link) { link.remove(); });
    return copy.textContent.trim();
  }

  function fit(box) {
    if (box.scrollWidth <= box.clientWidth) {
      ["tabindex", "role", "aria-label"].forEach(function (name) { box.removeAttribute(name); });
      return;
    }
    box.tabIndex = 0;
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", nameOf(box));
  }

  const observer = window.ResizeObserver && new ResizeObserver(function (entries) {
    entries.forEach(function (entry) { fit(entry.target); });
  });

  function watchBoxes() {
    if (observer) observer.disconnect(); // the boxes of the page before
    document.querySelectorAll(BOXES).forEach(function (box) {
      fit(box);
      if (observer) observer.observe(box);
    });
  }

  function nameSearch() {
    const field = document.querySelector(".md-search__input[aria-label]");
    const dialog = field && field.closest("[role=dialog]:not([aria-label])");
    if (dialog) dialog.setAttribute("aria-label", field.getAttribute("aria-label"));
  }

  // The theme puts tables into boxes in the same turn of events: look after it has.
  function start() {
    nameSearch();
    setTimeout(watchBoxes, 0);
  }

  if (window.document$) window.document$.subscribe(start);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
