/* What fits the filters of the page of all routes, and the filters as an address. */
(function () {
  "use strict";

  const parts = window.softpedal.parts;
  const NEAR_M = 500;
  const METRES_PER_DEGREE = 111200;
  const GRADES = ["easy", "moderate", "demanding"];
  const RESERVE = { adult: 1, yes: 1, care: 2 };
  const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
  const LONGEST = 120; // characters of one value in the address

  // Case and accents are nothing to a reader who searches.
  function plain(text) {
    if (/^[\x00-\x7f]*$/.test(text)) return text.toLowerCase();
    return text.normalize("NFD").replace(/\p{M}/gu, "").replace(/[’‘`]/g, "'").toLowerCase();
  }

  function unpack(packed, data) {
    const counts = packed.n || [packed.d.length / 2];
    let lat = data.at[0], lon = data.at[1], next = 0;
    return counts.map(function (count) {
      const part = [];
      for (let i = 0; i < count; i++) {
        lat += packed.d[next++];
        lon += packed.d[next++];
        part.push([lat / data.scale, lon / data.scale]);
      }
      return part;
    });
  }

  // South-west and north-east.
  function boxOf(line) {
    const low = line[0][0].slice(), high = low.slice();
    line.forEach(function (part) {
      part.forEach(function (point) {
        for (let i = 0; i < 2; i++) {
          if (point[i] < low[i]) low[i] = point[i];
          if (point[i] > high[i]) high[i] = point[i];
        }
      });
    });
    return [low, high];
  }

  function metres(a, b) {
    const north = (a[0] - b[0]) * METRES_PER_DEGREE;
    const east = (a[1] - b[1]) * METRES_PER_DEGREE * Math.cos(a[0] * Math.PI / 180);
    return Math.hypot(north, east);
  }

  // The minute of the week, from Monday 00:00, where the library is.
  function minuteOfWeek(zone, moment) {
    const found = {};
    new Intl.DateTimeFormat("en-GB", {
      timeZone: zone, weekday: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23",
    }).formatToParts(moment).forEach(function (part) { found[part.type] = part.value; });
    return DAYS.indexOf(found.weekday) * 24 * 60 + Number(found.hour) * 60 + Number(found.minute);
  }

  function finder(data, rows) {
    const routes = data.routes.filter(function (each) { return rows.has(each.id); }).map(function (each) {
      const row = rows.get(each.id);
      const line = unpack(each, data);
      const last = line[line.length - 1];
      return {
        id: each.id, row: row, title: row.querySelector(".sp-row-title").textContent,
        line: line, box: boxOf(line), start: line[0][0], finish: last[last.length - 1],
        areas: each.area.map(function (i) { return data.areas[i]; }),
        grade: each.grade, quiet: each.quiet, metres: each.m, open: each.open,
        child: each.child || 0, cargo: each.cargo || 0, text: "", known: each,
        yes: data.flags.filter(function (_, i) { return (each.yes || 0) >> i & 1; }),
      };
    });

    // What only some readers ask for is worked out when they do.
    function textOf(route) {
      const names = route.known.ends.concat(route.known.by, (route.known.past || []).filter(function (_, i) {
        return i % 3 === 0;
      })).map(function (i) { return data.names[i]; });
      return (route.text = route.text || plain([route.title].concat(route.areas, names).join("\n")));
    }

    let named = null; // Map of a name -> list of [lat, lon]
    function places() {
      if (named) return named;
      named = new Map();
      const place = function (number, at) {
        const name = data.names[number];
        if (named.has(name)) named.get(name).push(at);
        else named.set(name, [at]);
      };
      routes.forEach(function (route) {
        const past = route.known.past || [];
        place(route.known.ends[0], route.start);
        place(route.known.ends[1], route.finish);
        for (let i = 0; i < past.length; i += 3) {
          place(past[i], [(past[i + 1] + data.at[0]) / data.scale, (past[i + 2] + data.at[1]) / data.scale]);
        }
      });
      return named;
    }

    // Lengths are compared as they are shown, to a tenth.
    const tenth = data.units === "imperial" ? 160.9344 : 100;
    const isNear = function (point, name) {
      return (places().get(name) || []).some(function (at) { return metres(at, point) <= NEAR_M; });
    };
    const says = function (flag) {
      return function (route) { return route.yes.indexOf(flag) >= 0; };
    };
    const tests = {
      text: function (route, value) {
        return plain(value).split(/\s+/).every(function (word) { return textOf(route).indexOf(word) >= 0; });
      },
      area: function (route, value) { return route.areas.indexOf(value) >= 0; },
      difficulty: function (route, value) { return route.grade <= GRADES.indexOf(value); },
      quiet: function (route, value) { return route.quiet >= Number(value); },
      length: function (route, value) { return Math.round(route.metres / tenth) * tenth <= Number(value) + 1; },
      from: function (route, value) { return isNear(route.start, value); },
      to: function (route, value) { return isNear(route.finish, value); },
      child: function (route, value) { return route.child > 0 && route.child <= RESERVE[value]; },
      cargo: function (route, value) { return route.cargo > 0 && route.cargo <= RESERVE[value]; },
      signals: says("signals"), riding: says("riding"), stepfree: says("stepfree"), lit: says("lit"),
      open: function (route, value, now) {
        return !route.open || route.open.some(function (span) { return span[0] <= now && now < span[1]; });
      },
    };
    const names = Object.keys(tests);
    let isFilled = false;

    return {
      routes: routes,
      moment: function (wanted) { return wanted.open ? minuteOfWeek(data.zone, new Date(Date.now())) : 0; },
      fits: function (route, wanted) {
        return names.every(function (name) {
          return !wanted[name] || tests[name](route, wanted[name], wanted.now);
        });
      },
      sorted: function (order) {
        const by = {
          title: function (a, b) { return a.title.localeCompare(b.title, document.documentElement.lang || "en"); },
          length: function (a, b) { return a.metres - b.metres; },
          quiet: function (a, b) { return b.quiet - a.quiet; },
        }[order];
        return by ? routes.slice().sort(by) : routes;
      },
      fillPlaces: function () {
        if (isFilled) return;
        isFilled = true;
        const language = document.documentElement.lang || "en";
        const sorted = Array.from(places().keys()).sort(new Intl.Collator(language, { numeric: true }).compare);
        Array.from(arguments).forEach(function (select) {
          const options = document.createDocumentFragment();
          sorted.forEach(function (name) { options.append(new Option(name, name)); });
          select.append(options);
        });
      },
    };
  }

  function query() {
    const hash = window.location.hash;
    return new URLSearchParams(hash.startsWith("#?") ? hash.slice(2) : window.location.search);
  }

  function asks() {
    const asked = query();
    return Array.from(arguments).some(function (name) { return asked.has(name); });
  }

  // What is unknown or broken in an address is as if it were not there.
  function read(controls) {
    const asked = query();
    controls.forEach(function (control) {
      const value = (asked.get(control.name) || "").slice(0, LONGEST);
      if (control.type === "checkbox") control.checked = value === "1";
      else if (!control.options) control.value = value.trim();
      else {
        const known = Array.from(control.options).some(function (option) { return option.value === value; });
        control.value = known ? value : "";
      }
    });
    const view = /^(-?\d{1,2}(?:\.\d+)?),(-?\d{1,3}(?:\.\d+)?),(\d{1,2}(?:\.\d)?)$/.exec(asked.get("map") || "");
    const isThere = view && Math.abs(view[1]) <= 85 && Math.abs(view[2]) <= 180;
    return { map: isThere ? { at: [Number(view[1]), Number(view[2])], zoom: Number(view[3]) } : null };
  }

  function write(values) {
    const text = new URLSearchParams(values).toString();
    const bare = window.location.href.replace(/[?#].*$/, "");
    const hash = window.location.hash.startsWith("#?") ? "" : window.location.hash;
    try {
      window.history.replaceState(window.history.state, "", bare + (text ? "?" + text : "") + hash);
    } catch (error) {
      // A page from a disk may change nothing in its address but the part behind #.
      const here = window.location.href.replace(/#.*$/, "");
      window.history.replaceState(window.history.state, "", here + (text ? "#?" + text : hash || "#"));
    }
  }

  parts.finder = finder;
  parts.libraryAddress = { asks: asks, read: read, write: write };
})();
