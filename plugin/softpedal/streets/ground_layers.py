"""The layers of a map's background, and which mapped things belong to which."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

#: In the order in which a script lists them; areas first.
AREA_LAYERS = ("green", "water", "paved", "building")
LINE_LAYERS = ("stream", "river", "rail", "path", "street", "main_road")
LAYERS = (*AREA_LAYERS, *LINE_LAYERS)

#: Keys by which a mapped thing may belong to the ground.
KEYS = ("building", "highway", "landuse", "leisure", "natural", "railway", "waterway", "amenity")

_GREEN = {
    "leisure": frozenset(
        {"park", "garden", "pitch", "golf_course", "recreation_ground", "common", "dog_park"}
    ),
    "landuse": frozenset(
        {
            "allotments",
            "cemetery",
            "forest",
            "grass",
            "meadow",
            "orchard",
            "recreation_ground",
            "village_green",
            "vineyard",
        }
    ),
    "natural": frozenset({"wood", "scrub", "heath", "grassland", "wetland"}),
    "amenity": frozenset({"grave_yard"}),
}
_WATER = {
    "natural": frozenset({"water", "bay"}),
    "waterway": frozenset({"riverbank", "dock"}),
    "landuse": frozenset({"reservoir", "basin"}),
}
_MAIN = frozenset({"motorway", "trunk", "primary", "secondary", "tertiary"})
_STREETS = frozenset(
    {"residential", "unclassified", "living_street", "pedestrian", "road", "service", "busway"}
)
_PATHS = frozenset(
    {"path", "cycleway", "footway", "bridleway", "steps", "track", "trail", "access_ramp"}
)
_RAILS = frozenset(
    {"rail", "light_rail", "tram", "narrow_gauge", "subway", "funicular", "preserved"}
)
_RIVERS = frozenset({"river", "canal"})
_STREAMS = frozenset({"stream", "ditch", "drain"})
#: What would only fill the map: each house's drive, each car park's lane, each road's pavement.
_TOO_FINE = {
    "service": frozenset({"driveway", "parking_aisle", "drive-through"}),
    "footway": frozenset({"sidewalk", "crossing", "traffic_island"}),
    "cycleway": frozenset({"crossing"}),
}


def layer_of(tags: Mapping[str, str], *, is_area: bool) -> str | None:
    """Return the layer of a mapped thing, or None if it is not drawn.

    Args:
        tags: its tags.
        is_area: it is a closed way, or a relation that makes an area.
    """
    if is_area and tags.get("area") != "no" and (layer := _area(tags)):
        return layer
    return _line(tags)


def is_coast(tags: Mapping[str, str]) -> bool:
    """Whether it is a coastline, which has land on its left."""
    return tags.get("natural") == "coastline"


def _area(tags: Mapping[str, str]) -> str | None:
    if tags.get("building", "no") != "no":
        return None if _is_below(tags) else "building"
    if _is_one_of(tags, _WATER):
        return None if _is_below(tags) else "water"
    if "highway" in tags:
        is_open = tags.get("area") == "yes" and tags["highway"] in ("pedestrian", "footway")
        return "paved" if is_open else None
    return "green" if _is_one_of(tags, _GREEN) else None


def _line(tags: Mapping[str, str]) -> str | None:
    if "highway" in tags:
        return _highway(tags)
    if _is_below(tags):
        return None
    if tags.get("railway") in _RAILS:
        return None if tags.get("service") in ("yard", "siding", "spur") else "rail"
    waterway = tags.get("waterway")
    return "river" if waterway in _RIVERS else "stream" if waterway in _STREAMS else None


def _highway(tags: Mapping[str, str]) -> str | None:
    if any(tags.get(key) in values for key, values in _TOO_FINE.items()):
        return None
    if tags.get("area") == "yes" or tags.get("indoor") == "yes" or _depth(tags) < -1:
        return None
    highway = tags["highway"].removesuffix("_link")
    if highway in _MAIN:
        return "main_road"
    return "street" if highway in _STREETS else "path" if highway in _PATHS else None


def _is_one_of(tags: Mapping[str, str], wanted: Mapping[str, frozenset[str]]) -> bool:
    return any(tags.get(key) in values for key, values in wanted.items())


def _is_below(tags: Mapping[str, str]) -> bool:
    return tags.get("tunnel", "no") != "no" or _depth(tags) < 0


def _depth(tags: Mapping[str, str]) -> float:
    """Return the layer number, 0 where there is none that can be read."""
    try:
        return int(tags.get("layer", "0"))
    except ValueError:
        return 0
