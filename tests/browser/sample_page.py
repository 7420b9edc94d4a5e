"""A small hand-built site: one page with a strip, a map and a table, and one page without."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jinja2
import numpy as np

import softpedal.site
from browser.sample_town import sample_background
from softpedal.library.track import Track
from softpedal.site.basemap import Background
from softpedal.site.language import tr, trn
from softpedal.site.legend import looks_key
from softpedal.site.map_data import MapData, MapLeg, MapLine, MapMarker, map_script
from softpedal.site.profile import Climb, profile_svg
from softpedal.site.strip import Strip, StripLeg, StripMark, large_strip, small_strip, strip_text

SITE = Path(softpedal.site.__file__).parent
ROUTE = "ferry-steps-to-chapel-green"

#: Corners of the ride in metres east and north of 50° N 20° W; it ends in a spur out and back.
CORNERS = (
    (0, 0),
    (300, 40),
    (310, 620),
    (900, 700),
    (1000, 1300),
    (1700, 1320),
    (1720, 2000),
    (2300, 2050),
    (2310, 2350),
    (2300, 2060),
)

#: From, to, kind, street, level.
LEGS = (
    (0, 310, "on foot", "Netmakers' Quay", 1),
    (310, 900, "filtered street", "Sailmaker Row", 1),
    (900, 1480, "protected track", "Dock Road", 1),
    (1480, 1800, "mixed street", "Yard Street", 3),
    (1800, 2700, "traffic-free path", "Lock path", 1),
    (2700, 3300, "back street", "Alder Lane", 2),
    (3300, 3460, "busy road", "Weir Bridge", 4),
    (3460, 3980, "filtered street", "Chapel Row", 1),
    (3980, 4100, "on foot", "Market", 1),
    (4100, 9999, "shared pavement", "Green </script><b>Side", 1),
)
LEVELS = {
    1: "away from traffic",
    2: "light, slow traffic",
    3: "among traffic",
    4: "fast or heavy traffic",
}
MARKS = (
    (905, "busy crossing", "signals", "Dock Road"),
    (1800, "crossing", "none", "Yard Street"),
    (2705, "busy crossing", "zebra", "Alder Hill"),
    (3455, "crossing", "bridge", "River Lin"),
    (925, "dismount", "", "no entry"),
    (2705, "dismount", "", "zebra"),
    (1300, "hazard", "", "speed humps"),
    (2400, "landmark", "", "Grain silo"),
    (3150, "hazard", "", "hidden turn"),
    (520, "landmark", "", "Baths"),
)


def sample_track() -> Track:
    corners = np.array(CORNERS, dtype=float)
    lengths = np.r_[0, np.cumsum(np.hypot(*np.diff(corners, axis=0).T))]
    at = np.arange(0, lengths[-1], 8.0)
    east, north = (np.interp(at, lengths, corners[:, axis]) for axis in (0, 1))
    east += 3 * np.sin(at / 40)
    north += 3 * np.cos(at / 55)
    lat = 50 + north / 111_200
    lon = -20 + east / (111_200 * np.cos(np.radians(50)))
    height = 6 + 14 * np.exp(-(((at - 3300) / 500) ** 2)) + np.sin(at / 300)
    return Track(lat, lon, height, np.zeros(len(at), dtype=np.int64))


def sample_map(track: Track) -> MapData:
    length = track.length_m
    return MapData(
        id=ROUTE,
        line=MapLine.of(track),
        legs=tuple(
            MapLeg(a, min(b, length), kind, street, LEVELS[level])
            for a, b, kind, street, level in LEGS
        ),
        markers=(
            MapMarker(0, "start", "Start: Ferry Steps", word="Ferry Steps"),
            *(
                MapMarker(
                    at,
                    sort,
                    f"{at / 1000:.2f} km: {sort}, {word}" + (f", {control}" if control else ""),
                    control=control,
                    word=word,
                )
                for at, sort, control, word in MARKS
            ),
            MapMarker(length, "finish", "Finish: Chapel Green", word="Chapel Green"),
        ),
        attribution="Map data © the town of Lindenferry",
    )


def sample_strip(track: Track) -> Strip:
    length = track.length_m
    legs = tuple(StripLeg(a, min(b, length), kind, level) for a, b, kind, _, level in LEGS)
    marks = tuple(
        StripMark(at, sort, control, word if sort in {"hazard", "landmark"} else "")
        for at, sort, control, word in MARKS
    )
    worst = (3300.0, 3460.0, 4)
    return Strip(
        length, legs, marks, track.height, worst, text=strip_text(length, legs, marks, worst)
    )


PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="{{ up }}assets/icon.svg">
<link rel="stylesheet" href="{{ up }}assets/softpedal.css">
<link rel="stylesheet" href="{{ up }}assets/page.css">
</head><body{% if scheme %} data-md-color-scheme="{{ scheme }}"{% endif %}>
<main data-sp-route="{{ id }}">
<h1>Ferry Steps to Chapel Green</h1>
<p>A level way from the ferry to the college that keeps off Dock Road.</p>
{% if map %}
<dl class="sp-figures"><div><dt>quiet</dt><dd>62 %</dd></div><div><dt>busy crossings</dt><dd>2</dd>
</div><div><dt>dismounts</dt><dd>4</dd></div></dl>
<p>Hardest bit: 160 m of busy road on Weir Bridge, in fast or heavy traffic.</p>
<figure class="sp-strip-box">{{ strip | safe }}</figure>{{ key | safe }}
{{ map(id=id, label="Map of Ferry Steps to Chapel Green; everything on it also stands in the table "
   "below", route="map.js", background="background.js", author=author,
   leaflet=up ~ "assets/vendored/leaflet-1.9.4/leaflet.js",
   leaflet_style=up ~ "assets/vendored/leaflet-1.9.4/leaflet.css") }}
<table class="sp-cues"><thead><tr><th class="sp-number">from</th><th>street</th><th>kind</th>
<th>traffic</th></tr></thead><tbody>
{% for from, to, kind, street, level in legs %}<tr data-leg="{{ loop.index0 }}">
<td class="sp-number">{{ "%.2f" | format(from / 1000) }} km</td><td>{{ street }}</td>
<td>{{ kind }}</td><td>{{ levels[level] }}</td></tr>
{% endfor %}</tbody></table>
{{ profile | safe }}
<div class="sp-caution"><p>Conditions change. Signs, signals and local traffic law come first.</p>
</div>
<ul class="sp-rows">{% for _ in range(2) %}<li>{{ small | safe }}<p><a href="#">Ferry Steps to
Chapel Green</a> · Old Harbour · moderate · 62 % quiet · 19 min · one dismount</p></li>{% endfor %}
</ul>
{% endif %}
<p><a href="{{ up }}other/index.html">other</a></p>
</main>
{% for script in scripts %}<script src="{{ up }}assets/{{ script }}.js"></script>
{% endfor %}
{% if author %}<script src="{{ up }}assets/softpedal-author.js"></script>{% endif %}
</body></html>
"""

PAGE_CSS = """body { margin: 0; background: #fff; color: #1f1f1f; font: 16px/1.5 sans-serif; }
[data-md-color-scheme="slate"] { background: #1e2129; color: #e2e2e2; }
main { max-width: 44em; margin: 0 auto; padding: 0 16px 40px; }
main h1 { font-weight: 400; }
main figure { display: flow-root; width: fit-content; margin: 1em auto; text-align: center; }
"""


def write_site(
    folder: Path,
    *,
    author: bool = False,
    scheme: str = "",
    scripts: tuple[str, ...] = ("softpedal-map",),
) -> Path:
    """Write the site and return the page of the route; `other/index.html` has no map."""
    shutil.copytree(SITE / "assets", folder / "assets")
    (folder / "assets" / "page.css").write_text(PAGE_CSS)
    (folder / "assets" / "icon.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"/>')
    (folder / "town.geojson").write_text(json.dumps(sample_background()))
    track = sample_track()
    background = Background.read(folder / "town.geojson")
    templates = jinja2.Environment(
        loader=jinja2.ChoiceLoader(
            [
                jinja2.FileSystemLoader(SITE / "templates"),
                jinja2.DictLoader({"page": '{% from "map.html" import map with context %}' + PAGE}),
            ]
        ),
        autoescape=True,
    )
    shared = {"up": "../../", "id": ROUTE, "scheme": scheme, "author": author, "scripts": scripts}
    strip = sample_strip(track)
    templates.globals.update(tr=tr, trn=trn)
    page = templates.get_template("page").render(
        title="Route",
        strip=large_strip(strip),
        small=small_strip(strip),
        key=looks_key(leg[2] for leg in LEGS),
        profile=profile_svg(track.chainage_m, track.height, [Climb(2900, 3250, 0.05)]),
        legs=LEGS,
        levels=LEVELS,
        **shared,
    )
    place = folder / "routes" / ROUTE
    place.mkdir(parents=True)
    (place / "index.html").write_text(page, encoding="utf-8")
    (place / "map.js").write_text(map_script(sample_map(track)), encoding="utf-8")
    (place / "background.js").write_text(background.corridor(track.lat, track.lon))
    other = folder / "other"
    other.mkdir()
    bare = templates.from_string(PAGE).render(title="Other", **(shared | {"up": "../"}))
    (other / "index.html").write_text(bare, encoding="utf-8")
    return place / "index.html"
