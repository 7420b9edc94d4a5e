/* For authors, under `mkdocs serve` only: a note is moved by picking its new place on the map, on
   the strip or with the keys. The line for the notes is shown; nothing is written. */
(function () {
  "use strict";

  const softpedal = window.softpedal;
  if (!softpedal || softpedal.moving) return;

  const STEP_M = 10, LEAP_M = 100; // of the arrow keys, plain and with Shift
  const AT_END_M = 5; // so near an end that is named, the name stays
  const ENDS = ["where it begins", "where it ends"];

  function made(name, className, text) {
    const element = document.createElement(name);
    if (className) element.className = className;
    if (text) element.textContent = text;
    return element;
  }

  function button(text, act) {
    const element = made("button", "", text);
    element.type = "button";
    element.addEventListener("click", act);
    return element;
  }

  function chainage(metres, unit) {
    return (metres / unit[0]).toFixed(unit[1]) + unit[2];
  }

  // The new value as the author wrote the old one. pick: {at, lat, lon, count}, along the notes.
  function value(place, pick) {
    if (place.word && Math.abs(pick.at - place.at) <= AT_END_M) return place.word;
    if (!place.degrees) return chainage(pick.at, place.unit);
    const places = place.degrees[0];
    const text = pick.lat.toFixed(places) + place.degrees[1] + pick.lon.toFixed(places);
    return text + (pick.count > 1 ? " near " + chainage(pick.at, place.unit) : "");
  }

  // Where a new value is, as it is rounded.
  function metresOf(place, pick) {
    const isRounded = !place.degrees && value(place, pick) !== place.word;
    return isRounded ? (pick.at / place.unit[0]).toFixed(place.unit[1]) * place.unit[0] : pick.at;
  }

  function mayBeAt(place, metres) {
    return place.strict ? place.least < metres && metres < place.most
      : place.least <= metres && metres <= place.most;
  }

  // Watches one map and its table.
  function watch(handle, notes) {
    let moving = null; // {name, ends, key, opener}

    // Notes count from the outbound start, unless the way back has a line of its own.
    function isTurned() {
      return handle.view.way === "return" && !handle.data.back;
    }
    function turned(metres) {
      return isTurned() ? handle.length - metres : metres;
    }
    function told(metres) {
      return softpedal.along.chainage(handle.data, metres);
    }

    // A place by its chainage in the view that is shown.
    function pickAt(shown) {
      const point = softpedal.parts.place.at(handle.parts, shown);
      const passes = passesAt(point[0], point[1]);
      return { at: turned(shown), shown: shown, lat: point[0], lon: point[1], count: passes.length };
    }

    function passesAt(lat, lon) {
      return softpedal.author.passes(handle.parts, lat, lon);
    }

    function place() {
      return notes.places[moving.key];
    }

    // ---- the panel

    const panel = made("div", "sp-author sp-author-move");
    panel.setAttribute("role", "group");
    const title = made("p"), which = made("fieldset"), passes = made("p"), result = made("div");
    const slider = made("input"), status = made("p");
    const label = made("label", "", "New place ");
    const shownAt = made("output");
    slider.type = "range";
    slider.min = 0;
    slider.step = 1;
    slider.setAttribute("aria-describedby", "sp-author-how");
    label.append(slider);
    const how = made("p", "", "Click the new place on the map or on the strip. Or use the arrow " +
      "keys: 10 m, with Shift 100 m; Enter picks, Escape ends.");
    how.id = "sp-author-how";
    status.setAttribute("role", "status");
    const steps = made("p");
    steps.append(label, shownAt, button("Pick this place", function () { chooseShown(true); }));
    result.className = "sp-author-line";
    const last = made("p"), done = button("Done", end);
    last.append(done);
    panel.append(title, which, how, steps, passes, result, status, last);

    function wanted(shown) {
      const at = Math.min(handle.length, Math.max(0, shown));
      slider.value = at;
      slider.setAttribute("aria-valuetext", told(at));
      shownAt.textContent = told(at);
      softpedal.rows.hold([at]);
    }

    function turnTo(key) {
      moving.key = key;
      passes.textContent = status.textContent = result.textContent = "";
      slider.max = handle.length;
      wanted(turned(place().at));
    }

    function askWhich() {
      which.textContent = "";
      const keys = moving.ends.filter(Boolean);
      which.hidden = moving.ends.length < 2;
      which.append(made("legend", "", "Which end moves"));
      moving.ends.forEach(function (key, i) {
        const choice = made("label"), radio = made("input");
        radio.type = "radio";
        radio.name = "sp-author-end";
        radio.disabled = !key;
        radio.checked = key === keys[0];
        radio.addEventListener("change", function () { turnTo(key); });
        const at = key ? told(turned(notes.places[key].at)) : "an end of the route";
        choice.append(radio, " " + ENDS[i] + ", " + at);
        which.append(choice);
      });
      turnTo(keys[0]);
    }

    function begin(entry, opener) {
      if (moving) end();
      moving = { name: entry.name, ends: entry.ends, opener: opener, key: "" };
      title.textContent = "";
      title.append(made("strong", "", "Move " + entry.name));
      panel.setAttribute("aria-label", "Move " + entry.name);
      handle.panel.hidden = true;
      handle.element.after(panel);
      handle.element.classList.add("sp-map-picking");
      const first = notes.places[entry.ends.find(Boolean)];
      const isElsewhere = handle.data.back && !first.own === (handle.view.way === "return");
      [which, how, steps].forEach(function (each) { each.hidden = isElsewhere; });
      if (!isElsewhere) askWhich();
      else {
        passes.textContent = result.textContent = "";
        status.textContent = "Switch the page to the other direction first: this note lies on its line.";
      }
      handle.element.scrollIntoView({ block: "start", behavior: "instant" });
      (isElsewhere ? done : slider).focus({ preventScroll: true });
    }

    function end() {
      if (!moving) return;
      const opener = moving.opener;
      moving = null;
      panel.remove();
      handle.panel.hidden = false;
      handle.element.classList.remove("sp-map-picking");
      softpedal.rows.hold(null);
      if (opener.isConnected) opener.focus();
    }

    // ---- picking

    function choose(pick, isToCopy) {
      const now = place(), file = notes.file + ":" + now.line;
      wanted(pick.shown);
      result.textContent = "";
      const metres = metresOf(now, pick);
      if (!mayBeAt(now, metres)) {
        const bounds = [turned(now.least), turned(Math.min(now.most, handle.length))];
        bounds.sort(function (a, b) { return a - b; });
        status.textContent = "Not there: " + (now.strict ? "legs stay in riding order" :
          "a stretch begins before it ends") + ". Pick a place between " + bounds.map(told).join(" and ") + ".";
        return;
      }
      const line = now.before + value(now, pick) + now.after;
      const was = made("code", "", now.before + now.value + now.after), code = made("code", "", line);
      const lines = made("dl");
      [["Old line", was], ["New line", code]].forEach(function (each) {
        const box = made("dd");
        box.append(each[1]);
        lines.append(made("dt", "", each[0]), box);
      });
      const copy = button("Copy the new line", function () { take(line, code); });
      result.append(made("p", "", file), lines, copy);
      const off = Math.round(metres - now.at);
      status.textContent = "New place " + told(pick.shown) + ", moved by " + Math.abs(off) + " m. It is line " +
        now.line + " of the notes: put the new line in its place and save.";
      if (isToCopy) copy.focus();
    }

    function chooseShown(isToCopy) {
      passes.textContent = "";
      choose(pickAt(Number(slider.value)), isToCopy);
    }

    // The line may pass a place more than once: the pass nearest to the old place comes first.
    function chooseNear(lat, lon) {
      const old = turned(place().at);
      const found = passesAt(lat, lon).sort(function (a, b) {
        return Math.abs(a.at - old) - Math.abs(b.at - old);
      });
      const picks = found.map(function (each) { return pickAt(each.at); });
      passes.textContent = "";
      if (picks.length > 1) {
        passes.append("The line passes here " + picks.length + " times:");
        picks.forEach(function (pick) {
          passes.append(button(told(pick.shown), function () { choose(pick, false); }));
        });
      }
      choose(picks[0], false);
    }

    function take(line, code) {
      softpedal.author.copy(line).then(function (isDone) {
        status.textContent = isDone ? "Copied: " + line.trim()
          : "Not copied. The new line is selected: copy it with the keys.";
        if (!isDone) window.getSelection().selectAllChildren(code);
      });
    }

    slider.addEventListener("input", function () { wanted(Number(slider.value)); });
    slider.addEventListener("keydown", function (event) {
      const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
      if (event.key === "Enter") chooseShown(true);
      else if (way) wanted(Number(slider.value) + way * (event.shiftKey ? LEAP_M : STEP_M));
      else return;
      event.preventDefault();
    });

    function onKey(event) {
      if (!moving || event.key !== "Escape") return;
      event.preventDefault();
      event.stopPropagation();
      end();
    }

    function onClick(event) {
      const strip = moving && moving.key && event.target.closest && event.target.closest(".sp-strip-box .sp-strip");
      if (!strip) return;
      event.stopPropagation();
      passes.textContent = "";
      choose(pickAt(softpedal.along.shareAt(strip, event.clientX) * handle.length), false);
    }

    document.addEventListener("keydown", onKey, true);
    document.addEventListener("click", onClick, true);
    handle.map.on("preclick", function (event) {
      if (moving && moving.key) chooseNear(event.latlng.lat, event.latlng.lng);
    });
    handle.map.on("popupopen", function () { if (moving) handle.map.closePopup(); });

    // ---- a button on each row

    function opener(entry, host) {
      if (!entry || !entry.ends.some(Boolean) || host.querySelector(".sp-author-button")) return;
      const element = button("Move", function () { begin(entry, element); });
      element.className = "sp-author-button";
      element.setAttribute("aria-label", "Move " + entry.name);
      host.append(" ", element);
    }

    function settle() {
      end();
      document.querySelectorAll('[data-sp-panel="legs"]').forEach(function (box) {
        const entries = notes.rows[box.dataset.spView] || [];
        box.querySelectorAll(".sp-cues tr[data-sp-at]").forEach(function (row, i) {
          opener(entries[i], row.cells[0]);
        });
      });
    }

    function listOthers() {
      if (!notes.others.length) return;
      const box = made("details", "sp-share sp-author-others");
      box.append(made("summary", "", "Notes that stand in no row of the table"));
      notes.others.forEach(function (entry) {
        const line = made("p", "", entry.name);
        opener(entry, line);
        box.append(line);
      });
      handle.panel.after(box);
      return box;
    }

    // The map stays in sight while the table is, so that a row's place is seen.
    const inSight = new IntersectionObserver(function (seen) {
      seen.forEach(function (each) { tables.set(each.target, each.isIntersecting); });
      handle.element.classList.toggle("sp-map-beside", [...tables.values()].some(Boolean));
    });
    const tables = new Map();
    document.querySelectorAll('[data-sp-panel="legs"]').forEach(function (box) { inSight.observe(box); });

    const others = listOthers();
    document.addEventListener("sp-view", settle);
    settle();
    handle.element.addEventListener("sp-map-close", function () {
      end();
      inSight.disconnect();
      if (others) others.remove();
      document.removeEventListener("keydown", onKey, true);
      document.removeEventListener("click", onClick, true);
      document.removeEventListener("sp-view", settle);
    });
    handle.isMoving = function () { return moving !== null; };
  }

  softpedal.moving = { watch: watch };
})();
