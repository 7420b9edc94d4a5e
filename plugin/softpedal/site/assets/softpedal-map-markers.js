/* The signs on the map, each reachable by keyboard with a spoken name, and the map's controls. */
(function () {
  "use strict";

  const softpedal = window.softpedal = window.softpedal || { running: new Map(), parts: {} };

  const RADIUS_PX = 12;
  const LANDMARK_RADIUS_PX = 5;
  // In the order in which they keep their place.
  const RANKS = ["start", "finish", "busy crossing", "dismount", "crossing", "barrier", "hazard"];
  // Where a sign goes if its place is taken: at home, then around it, then around that.
  const ASIDE = [[0, 0]].concat([25, 38].flatMap(function (r) {
    return [0, 180, 90, 270, 45, 225, 135, 315].map(function (degrees) {
      const angle = degrees * Math.PI / 180;
      return [r * Math.cos(angle), r * Math.sin(angle)];
    });
  }));
  const LETTER_PX = 6.8;
  const SVG = "http://www.w3.org/2000/svg";

  // The signs of the strip: a tie (tall and bold for a busy road), lamp, bars, notch, diamond.
  const SIGNS = {
    "start": "M12 7a5 5 0 1 1 0 10a5 5 0 1 1 0-10z",
    "finish": "M7 7h10v10h-10z",
    "crossing": "M11 6h2v12h-2z",
    "busy crossing": "M10.5 3h3v18h-3z",
    "dismount": "M12 6l6 11h-12z",
    "hazard": "M12 5l7 7-7 7-7-7z",
    "landmark": "M12 9a3 3 0 1 1 0 6a3 3 0 1 1 0-6z",
    "barrier": "M6 7h2v10h-2zM16 7h2v10h-2zM8 11h8v2h-8z",
  };
  const ROAD = "M2 8.6h20v1.1h-20zM2 14.3h20v1.1h-20z"; // the two edges that a tie lies across
  const LAMP = "M12 2a2.8 2.8 0 1 1 0 5.6a2.8 2.8 0 1 1 0-5.6z";
  const BARS = "M8 2.6h8v1.3h-8zM8 5h8v1.3h-8zM8 7.2h8v1h-8z";

  function picture(marker) {
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("viewBox", "0 0 24 24");
    svg.setAttribute("aria-hidden", "true");
    const path = document.createElementNS(SVG, "path");
    let shape = SIGNS[marker.sort] || SIGNS.landmark;
    if (/crossing/.test(marker.sort)) {
      shape += ROAD;
      if (/signals|toucan/.test(marker.control)) shape += LAMP;
      if (/zebra|parallel/.test(marker.control)) shape += BARS;
    }
    path.setAttribute("d", shape);
    svg.appendChild(path);
    return svg;
  }

  function icon(marker) {
    const box = document.createElement("span");
    box.className = "sp-sign";
    box.appendChild(picture(marker));
    if (marker.word) {
      const word = document.createElement("span");
      word.className = "sp-sign-word";
      word.textContent = marker.word;
      box.appendChild(word);
    }
    return L.divIcon({
      html: box, iconSize: [24, 24], iconAnchor: [12, 12],
      className: "sp-marker sp-marker-" + marker.sort.replace(" ", "-"),
    });
  }

  function markers(map, list, placeAt, card, isCalm) {
    const all = list.map(function (each) {
      const place = placeAt(each.at / 10);
      const marker = L.marker([place[0], place[1]], {
        icon: icon(each), keyboard: true, autoPanOnFocus: !isCalm, riseOnHover: true,
      }).addTo(map);
      marker.bindPopup(card("", each.label), { autoPan: !isCalm, offset: [0, -6], maxWidth: 220 });
      const button = marker.getElement();
      button.setAttribute("aria-label", each.label);
      button.addEventListener("keydown", function (event) {
        if (event.key === " ") {
          event.preventDefault();
          marker.togglePopup();
        } else if (event.key === "Escape") {
          marker.closePopup();
        }
      });
      if (isCalm) {
        button.addEventListener("focus", function () {
          map.panInside(marker.getLatLng(), { padding: [30, 30], animate: false });
        });
      }
      const isLandmark = each.sort === "landmark";
      const rank = RANKS.indexOf(each.sort);
      if (isLandmark) marker.setZIndexOffset(-1000);
      return {
        marker: marker, home: marker.getLatLng(), letters: each.word.length,
        rank: rank < 0 ? RANKS.length : rank, radius: isLandmark ? LANDMARK_RADIUS_PX : RADIUS_PX,
      };
    });

    // Signs that would cover each other move aside, the less important ones first to go.
    function spread() {
      const ranked = all.slice().sort(function (a, b) { return a.rank - b.rank; });
      const taken = [];
      ranked.forEach(function (each) {
        const home = map.project(each.home);
        const isFree = function (point) {
          return taken.every(function (other) {
            return point.distanceTo(other.point) >= each.radius + other.radius;
          });
        };
        each.point = ASIDE.map(function (step) { return home.add(step); }).find(isFree) || home;
        taken.push(each);
        each.marker.setLatLng(map.unproject(each.point));
      });
      tidyWords(all.map(function (each) { return each.point; }));
    }

    // A word that would cover another sign, or another word, is left to the pop-up.
    function tidyWords(places) {
      const boxes = places.map(function (p) {
        return L.bounds(p.subtract([12, 12]), p.add([12, 12]));
      });
      all.forEach(function (each, i) {
        const start = places[i].add([14, -8]);
        const box = L.bounds(start, start.add([each.letters * LETTER_PX + 4, 16]));
        const isFree = !boxes.some(function (other) { return other.overlaps(box); });
        each.marker.getElement().classList.toggle("sp-wordless", !isFree);
        if (isFree && each.letters) boxes.push(box);
      });
    }
    function remove() {
      all.forEach(function (each) { each.marker.remove(); });
    }
    return { spread: spread, remove: remove };
  }

  function button(text, act) {
    const element = document.createElement("button");
    element.type = "button";
    element.textContent = text;
    L.DomEvent.disableClickPropagation(element);
    element.addEventListener("click", act);
    return element;
  }

  // On a touch screen a map that takes every swipe is a trap on a long page: it starts held.
  function hold(map, data, bar) {
    const ways = [map.dragging, map.touchZoom, map.doubleClickZoom];
    let isHeld = true;
    const toggle = button(data.words.move, function () { set(!isHeld); });
    toggle.className = "sp-map-hold";
    function set(held) {
      isHeld = held;
      ways.forEach(function (way) {
        if (held) way.disable();
        else way.enable();
      });
      toggle.textContent = held ? data.words.move : data.words.hold;
    }
    set(true);
    bar.appendChild(toggle);
  }

  function controls(map, data, whole) {
    const bar = document.createElement("div");
    bar.className = "sp-map-bar";
    L.DomEvent.disableClickPropagation(bar);
    if (window.matchMedia("(pointer: coarse)").matches) hold(map, data, bar);
    bar.appendChild(button(data.words.whole, whole));
    const corner = L.control({ position: "topright" });
    corner.onAdd = function () { return bar; };
    corner.addTo(map);
    L.control.zoom({
      position: "topleft", zoomInTitle: data.words.in, zoomOutTitle: data.words.out,
    }).addTo(map);
    const isImperial = data.units === "imperial";
    L.control.scale({ position: "bottomleft", imperial: isImperial, metric: !isImperial }).addTo(map);
    if (data.attribution) {
      const credit = L.control({ position: "bottomright" });
      credit.onAdd = function () {
        const text = document.createElement("span");
        text.className = "sp-map-credit";
        text.textContent = data.attribution;
        return text;
      };
      credit.addTo(map);
    }
  }

  softpedal.parts.markers = markers;
  softpedal.parts.controls = controls;
})();
