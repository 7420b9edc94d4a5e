"""What every page loads: our style sheets and scripts, in this order."""

from __future__ import annotations

#: Folder of the site in which they lie.
ASSETS = "assets/softpedal"
#: softpedal-map.js loads what else a map needs, and only where there is one.
STYLE_SHEETS = ("softpedal.css", "softpedal-route.css", "softpedal-print.css")
SCRIPTS = (
    "softpedal-dates.js",
    "softpedal-map.js",
    "softpedal-route.js",
    "softpedal-access.js",
    "softpedal-share.js",
    "softpedal-due.js",
)
#: Under `mkdocs serve` only.
AUTHOR_SCRIPTS = ("softpedal-author.js",)

LEAFLET = f"{ASSETS}/vendored/leaflet-1.9.4/leaflet.js"
LEAFLET_STYLE = f"{ASSETS}/vendored/leaflet-1.9.4/leaflet.css"
