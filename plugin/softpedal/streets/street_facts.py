"""What the tags of a street say about a leg, in the notes' own forms, and nothing beyond that.

Values of tags after the OpenStreetMap wiki (from memory). How they map to the notes' few words is
our own.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from softpedal.streets.access import MAIN_CLASSES, MINOR_CLASSES, one_way, road_class
from softpedal.streets.sides import Side, detail, directed, facility, own_side

if TYPE_CHECKING:
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags

_COBBLES = frozenset({"sett", "cobblestone", "unhewn_cobblestone", "cobblestone:flattened"})
_LOOSE = frozenset(["gravel", "pebblestone", "sand", "woodchips", "mud", "snow", "shells", "rock"])
_ROUGH = frozenset(
    ["dirt", "earth", "ground", "grass", "unpaved", "grass_paver", "stepping_stones", "stone"]
)
_FAIR = frozenset(
    [
        "compacted",
        "fine_gravel",
        "paving_stones",
        "concrete:plates",
        "concrete:lanes",
        "bricks",
        "brick",
        "wood",
        "metal",
        "metal_grid",
    ]
)
_SMOOTH = frozenset(["asphalt", "concrete", "paved", "chipseal", "rubber", "tartan", "acrylic"])
#: From the worst to the best, for a way that names several.
_SURFACES = (("loose", _LOOSE), ("cobbles", _COBBLES), ("rough", _ROUGH), ("fair", _FAIR))
_SMOOTHNESS = {
    "excellent": "smooth",
    "good": "smooth",
    "intermediate": "fair",
    "bad": "rough",
    "very_bad": "rough",
    "horrible": "rough",
    "very_horrible": "rough",
    "impassable": "rough",
}
_TRACKTYPE = {"grade1": "fair", "grade2": "loose", "grade3": "rough", "grade4": "rough"}
_LIT = {
    "yes": "yes",
    "24/7": "yes",
    "automatic": "yes",
    "dusk-dawn": "yes",
    "sunset-sunrise": "yes",
    "no": "no",
    "disused": "no",
    "limited": "partly",
    "interval": "partly",
}
_PARKED = frozenset(
    [
        "lane",
        "street_side",
        "on_kerb",
        "half_on_kerb",
        "shoulder",
        "parallel",
        "diagonal",
        "perpendicular",
        "marked",
        "yes",
        "inline",
    ]
)
_NOT_PARKED = frozenset(["no", "no_parking", "no_stopping", "no_standing", "fire_lane"])
_MARKED = frozenset(["dashed_line", "solid_line", "double_solid_line", "median"])
_MOST_LANES = 12
_FEET = re.compile(r"(\d+(?:\.\d+)?)'(?:(\d+(?:\.\d+)?)\")?")
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(m|cm|ft)?")
_UNITS_M = {"m": 1.0, "cm": 0.01, "ft": 0.3048}
_SPEED = re.compile(r"(\d{1,3}(?:\.\d)?)\s*(mph|km/h|kmh|kph)?")
#: Great Britain's national limits by name, mph (legislation: 60 single, 70 dual carriageway).
_NAMED_MPH = {"nsl_single": 60, "nsl_dual": 70, "nsl_restricted": 30}
_ZONE = re.compile(r"[A-Z]{2}:(?:zone:?)?(\d{2})")


def facts_of(network: Network, edge: int, forward: bool, country: Country) -> dict[str, Any]:
    """Return what the tags say of an edge ridden along or against its drawn line.

    Keys and values are those of a leg in notes.yml: `speed_limit` "30 mph" or "50 km/h", `lanes`,
    `surface`, `lit`, `parking`, `lane_width` "1.4 m", `parking_width`, `median`, `centre_line`,
    `residential`, `steps`, `wet`. There is no tag for how many people walk there.
    """
    tags = directed(network.tags(edge), forward)
    found: dict[str, Any] = {}
    kind = road_class(tags)
    if kind in MAIN_CLASSES or kind in MINOR_CLASSES:
        found |= _of_carriageway(tags, forward, country.drives_left)
    surface = _surface_ridden(tags, forward, country.drives_left)
    if surface:
        found["surface"] = surface
    if lit := lighting(tags):
        found["lit"] = lit
    if kind == "steps":
        found["steps"] = True
    if tags.get("flood_prone") == "yes":
        found["wet"] = "liable to flood"
    return found


def _of_carriageway(tags: Tags, forward: bool, drives_left: bool) -> dict[str, Any]:
    side = own_side(forward, drives_left)
    found = {
        "speed_limit": speed_limit(tags),
        "lanes": lanes(tags),
        "parking": parking(tags, side),
        "parking_width": _width(tags.get(f"parking:{side}:width", tags.get("parking:both:width"))),
        "centre_line": _centre_line(tags),
    }
    there = facility(tags, forward, drives_left=drives_left)
    if there.what == "lane":
        found["lane_width"] = _width(detail(tags, there.side, "width"))
    found = {key: value for key, value in found.items() if value is not None}
    if tags.get("dual_carriageway") == "yes" or tags.get("divider") == "median":
        found["median"] = True
    if road_class(tags) in ("residential", "living_street"):
        found["residential"] = True
    return found


def speed_limit(tags: Tags) -> str | None:
    """Return the highest speed limit that the tags give, like "30 mph" or "50 km/h"."""
    best: tuple[float, str] | None = None
    for text in map(str.strip, tags.get("maxspeed", "").split(";")):
        if match := _SPEED.fullmatch(text):
            number, unit = float(match[1]), "mph" if match[2] == "mph" else "km/h"
        elif match := _ZONE.fullmatch(text):
            number, unit = float(match[1]), "mph" if text[:2] == "GB" else "km/h"
        elif text.partition(":")[2] in _NAMED_MPH:
            number, unit = float(_NAMED_MPH[text.partition(":")[2]]), "mph"
        else:
            continue
        kmh = number * 1.609344 if unit == "mph" else number
        if number and (best is None or kmh > best[0]):
            best = kmh, f"{number:g} {unit}"
    return best[1] if best else None


def lanes(tags: Tags) -> int | None:
    """Return how many lanes there are in both directions together, None where no tag says so."""
    counts = [int(n) for n in tags.get("lanes", "").split(";") if n.strip().isdigit()]
    if not counts and "lanes:forward" in tags and "lanes:backward" in tags:
        parts = [tags.get(f"lanes:{way}", "0") for way in ("forward", "backward", "both_ways")]
        counts = [sum(map(int, parts))] if all(part.isdigit() for part in parts) else []
    count = max(counts, default=0)
    return count if 1 <= count <= _MOST_LANES else None


def parking(tags: Tags, side: Side) -> bool | None:
    """Whether cars are parked on a side of the street, None where no tag says so."""
    for key in (
        f"parking:{side}",
        "parking:both",
        f"parking:lane:{side}",
        "parking:lane:both",
    ):
        value = tags.get(key)
        if value in _PARKED:
            return True
        if value in _NOT_PARKED:
            return False
    return None


def surface_of(surface: str, smoothness: str = "", tracktype: str = "") -> str | None:
    """Return smooth, fair, rough, loose or cobbles; None where the tags do not say so.

    Of several surfaces the worst counts. Smoothness goes before the material, but loose ground
    stays loose, and cobbles stay cobbles unless they are said to be good.
    """
    said = {part.strip() for part in surface.split(";")}
    worst = next((word for word, values in _SURFACES if said & values), None)
    by_ride = _SMOOTHNESS.get(smoothness)
    if worst == "loose" or (worst == "cobbles" and by_ride != "smooth"):
        return worst
    if worst == "cobbles":
        return "fair"
    if by_ride:
        return by_ride
    if worst is None and said & _SMOOTH:
        return "smooth"
    return worst or _TRACKTYPE.get(tracktype)


def lighting(tags: Tags) -> str | None:
    """Return yes, partly or no; hours at which it is lit count as partly."""
    value = tags.get("lit", "")
    return _LIT.get(value) or ("partly" if ":" in value else None)


def _surface_ridden(tags: Tags, forward: bool, drives_left: bool) -> str | None:
    there = facility(tags, forward, drives_left=drives_left)
    if there.what in ("track", "shared track"):
        own = detail(tags, there.side, "surface")
        return surface_of(own, detail(tags, there.side, "smoothness"))
    own = tags.get("cycleway:surface", "")
    if own and road_class(tags) not in MAIN_CLASSES and road_class(tags) not in MINOR_CLASSES:
        return surface_of(own, tags.get("cycleway:smoothness", ""))
    return surface_of(
        tags.get("surface", ""), tags.get("smoothness", ""), tags.get("tracktype", "")
    )


def _centre_line(tags: Tags) -> bool | None:
    if tags.get("lane_markings") == "no" or tags.get("divider") == "no":
        return False
    if tags.get("divider") in _MARKED and one_way(tags) == 0:
        return True
    return None


def _width(text: str | None) -> str | None:
    text = (text or "").strip()
    if match := _FEET.fullmatch(text):
        metres = float(match[1]) * 0.3048 + float(match[2] or 0) * 0.0254
    elif match := _LENGTH.fullmatch(text):
        metres = float(match[1]) * _UNITS_M[match[2] or "m"]
    else:
        return None
    return f"{metres:.2f}".rstrip("0").rstrip(".") + " m" if metres > 0 else None
