"""How the tests ask a page for its map."""

from __future__ import annotations

OPEN = "document.querySelectorAll('.sp-map-open .leaflet-container').length === 1"
HANDLE = "[...softpedal.running.values()][0]"

PHONE = {
    "viewport": {"width": 360, "height": 740},
    "has_touch": True,
    "is_mobile": True,
}
