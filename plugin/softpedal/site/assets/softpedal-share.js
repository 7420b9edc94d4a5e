/* The Share box: loads its texts when it is opened, and copies one. A browser without the clipboard,
   or a page that may not use it, copies by selection; if that fails too, the reader is told how. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };
  if (softpedal.share) return;
  softpedal.share = true;

  function reveal(box, area) {
    area.hidden = false;
    box.querySelector('[data-sp-copy="' + area.dataset.spText + '"]').hidden = false;
  }

  function open(box) {
    const areas = [...box.querySelectorAll("textarea[data-sp-text]")];
    areas.forEach(function (area) { if (area.value) reveal(box, area); });
    const link = box.querySelector('a[data-sp="share"]');
    softpedal.fetch.script(link.href).then(function () {
      const texts = (window.softpedalShare || {})[box.dataset.spShare] || {};
      areas.forEach(function (area) {
        if (!area.value && texts[area.dataset.spText]) {
          area.value = texts[area.dataset.spText];
          reveal(box, area);
        }
      });
    }, function () {}); // the links to the files are there
  }

  async function copied(area) {
    try {
      await navigator.clipboard.writeText(area.value);
      return true;
    } catch (error) {
      // There is none, or it is refused: the older way follows.
    }
    area.focus();
    area.setSelectionRange(0, area.value.length);
    try {
      return document.execCommand("copy");
    } catch (error) {
      return false;
    }
  }

  // A toggle does not rise from its box, but it can be caught on its way there.
  document.addEventListener("toggle", function (event) {
    if (event.target.matches("[data-sp-share]") && event.target.open) open(event.target);
  }, true);

  document.addEventListener("click", function (event) {
    const button = event.target.closest && event.target.closest("[data-sp-copy]");
    if (!button) return;
    const box = button.closest("[data-sp-share]");
    const area = box.querySelector('[data-sp-text="' + button.dataset.spCopy + '"]');
    const told = button.parentElement.querySelector("[data-sp-said]");
    box.querySelectorAll("[data-sp-said]").forEach(function (each) { each.textContent = ""; });
    copied(area).then(function (done) {
      told.textContent = done ? box.dataset.spCopied : box.dataset.spPress;
    });
  });
})();
