"""What differs by country on the road: the side that is driven on, and who may go where.

Access defaults after the OpenStreetMap wiki's table "OSM tags for routing/Access restrictions";
the tag on a way always goes before them, and local law goes before both.
"""

from __future__ import annotations

from dataclasses import dataclass

#: ISO 3166-1 codes of countries and territories that drive on the left (common knowledge; the
#: list is from memory and was checked against nothing but itself).
_LEFT_WORDS = (
    "AG AI AU BB BD BM BN BS BT BW CC CK CX CY DM FJ FK GB GD GG GY HK ID IE IM IN JE JM JP "
    "KE KI KN KY LC LK LS MO MS MT MU MV MW MY MZ NA NF NP NR NU NZ PG PK PN SB SC SG SH SR "
    "SZ TC TH TK TL TO TT TV TZ UG VC VG VI WS ZA ZM ZW"
)
_LEFT = frozenset(_LEFT_WORDS.split())


@dataclass(frozen=True, slots=True)
class Country:
    """The defaults of a country.

    Attributes:
        code: ISO 3166-1 alpha-2, "" where it is not known.
        drives_left: whether one drives, and rides, on the left.
        ride_bridleway: whether one may ride on a `bridleway`.
        ride_footway: whether one may ride on a `footway` that says nothing of cycles.
        ride_pedestrian: whether one may ride in a `pedestrian` street that says nothing of cycles.
        ride_trunk: whether one may ride on a `trunk` road.
    """

    code: str = ""
    drives_left: bool = False
    ride_bridleway: bool = False
    ride_footway: bool = False
    ride_pedestrian: bool = False
    ride_trunk: bool = True


_OWN: dict[str, dict[str, bool]] = {
    "AT": {"ride_trunk": False},
    "BE": {"ride_trunk": False, "ride_pedestrian": True},
    "CH": {"ride_trunk": False},
    "DE": {"ride_trunk": True},
    "DK": {"ride_trunk": False},
    "FI": {"ride_pedestrian": True},
    "FR": {"ride_trunk": False, "ride_pedestrian": True},
    "GB": {"ride_bridleway": True},
    "IE": {"ride_bridleway": True},
    "LI": {"ride_trunk": False},
    "NL": {"ride_trunk": False},
    "NO": {"ride_footway": True, "ride_pedestrian": True},
    "SE": {"ride_pedestrian": True},
}


def country_of(code: str | None) -> Country:
    """Return the defaults of a country; those of most of the world where none is given."""
    code = code or ""
    return Country(code, drives_left=code in _LEFT, **_OWN.get(code, {}))
