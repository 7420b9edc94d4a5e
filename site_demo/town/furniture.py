"""What stands on single points of the streets: filters, crossings, signals, humps and bans."""

from __future__ import annotations

from dataclasses import dataclass

from grid import Point, points
from street import parse_tags


@dataclass(frozen=True, slots=True)
class Fitting:
    """A tagged point on a street: which street, where about on it, and its map tags."""

    street: str
    near: Point
    tags: dict[str, str]


@dataclass(frozen=True, slots=True)
class Ban:
    """A turn that is banned from one street to another, and for whom it is not."""

    from_street: str
    at: Point
    to_street: str
    tags: dict[str, str]


_BOLLARD = "barrier=bollard; bicycle=yes; foot=yes"
_PLANTER = "barrier=planter; bicycle=yes; foot=yes; motor_vehicle=no"
_TOUCAN = "highway=crossing; crossing=traffic_signals; crossing_ref=toucan; bicycle=yes; foot=yes"
_UNMARKED = "highway=crossing; crossing=unmarked"
_HUMP = "traffic_calming=hump"

_FITTINGS = (
    # filters
    ("netmakers-quay", "1170,-364", "barrier=bollard; bollard=rising; bicycle=yes"),
    ("netmakers-quay", "880,-345", "barrier=bollard; bollard=rising; bicycle=yes"),
    ("sailmaker-north", "849,-42", _PLANTER),
    ("mill-lane-east", "960,-63", _BOLLARD),
    ("barrel-west", "322,269.6", _BOLLARD),
    ("vine-north", "556,300", _BOLLARD),
    ("barrel-middle", "720,258", _PLANTER),
    ("pear-west", "800,697", _PLANTER),
    ("quince-street", "920,560", "barrier=gate; access=private; bicycle=yes; locked=yes"),
    ("linden-avenue-west", "-300,575", _PLANTER),
    ("almond-street", "-500,400", _BOLLARD),
    ("almond-street", "-512,800", _BOLLARD),
    ("chapel-walk", "-1000,320", _BOLLARD),
    ("bobbin-row", "-1240,711.6", _PLANTER),
    ("tanner-row", "-700,-505", _BOLLARD),
    ("tanner-row", "-700,-860", _BOLLARD),
    ("bark-west", "-400,-738", _PLANTER),
    ("tollgate-row", "126,-140", _BOLLARD),
    ("weighhouse-south", "-90,-140", _BOLLARD),
    ("bus-gate", "0,55", "barrier=bus_trap; bicycle=yes; bus=yes"),
    # gates and narrow places on paths
    ("allotment-path", "-300,1850", "barrier=gate; bicycle=yes; opening_hours=06:00-21:00"),
    ("towpath-west", "-1750,-117", "barrier=cycle_barrier; maxwidth:physical=1.2; bicycle=yes"),
    ("towpath", "-640,-375", "barrier=kissing_gate; maxwidth:physical=0.9; bicycle=yes"),
    # crossings of main roads
    ("dock-road", "560,87", _TOUCAN),
    ("northgate-lower", "300,270", _TOUCAN),
    ("northgate-upper", "300,1205", _TOUCAN),
    ("college-road", "-519,1023", _TOUCAN),
    ("foundry-road", "560,989", f"{_TOUCAN}; crossing:cycle_stage=yes"),
    ("chapel-road", "-1100,720", "highway=crossing; crossing=uncontrolled; crossing_ref=zebra"),
    ("weir-road-out", "-1600,167", f"{_UNMARKED}; crossing:island=yes"),
    ("orchard-road", "1300,240", "highway=crossing; crossing=marked; crossing_ref=tiger"),
    (
        "tannery-road",
        "-700,-1015",
        "highway=crossing; crossing=traffic_signals; crossing_ref=pelican; bicycle=no",
    ),
    ("weir-road", "-190,155", "highway=crossing; crossing=traffic_signals; bicycle=no"),
    ("lantern-street", "560,437", _UNMARKED),
    # unmarked crossings beside pavements, which are noise to a rider on the road
    ("dock-pavement", "845,61", _UNMARKED),
    ("northgate-pavement", "312,280", _UNMARKED),
    ("college-pavement", "-519,1035", _UNMARKED),
    ("chapel-pavement", "-1091,449", _UNMARKED),
    ("bridge-street", "300,-200", "highway=crossing; crossing=uncontrolled; crossing_ref=zebra"),
    # junctions
    ("northgate-lower", "300,1000", "highway=traffic_signals"),
    ("southgate", "300,-1000", "highway=traffic_signals"),
    ("northgate-top", "300,1649", "highway=traffic_signals"),
    ("northgate-upper", "300,1627", "highway=traffic_signals"),
    ("saltway-west", "-1150,1655", "highway=traffic_signals"),
    ("saltway-east", "-1150,1677", "highway=traffic_signals"),
    ("orchard-road", "1300,960", "highway=traffic_signals"),
    ("chapel-road", "-1100,1040", "highway=mini_roundabout"),
    ("bridge-street", "300,-140", "highway=give_way"),
    # rails over streets
    ("orchard-road", "1300,434", "railway=tram_level_crossing"),
    ("lantern-hill", "560,441.4", "railway=tram_crossing"),
    # humps and the like
    ("sailmaker-south", "861,-180", _HUMP),
    ("sailmaker-south", "857,-130", _HUMP),
    ("loom-street", "-1602,360", _HUMP),
    ("loom-street", "-1603,520", _HUMP),
    ("weaver-street", "-1400,455", "traffic_calming=cushion"),
    ("candle-street", "180,277", "traffic_calming=table"),
    ("cask-street", "900,150", _HUMP),
    ("claypit-road", "-500,-1493", "traffic_calming=chicane"),
    # water
    ("alder-lock", "-1030,-362", "waterway=lock_gate"),
    ("alder-lock", "-970,-378", "waterway=lock_gate"),
)

_BANS = (
    ("candle-street", "300,270", "northgate-lower", "restriction=no_right_turn; except=bicycle"),
    ("herring-row", "300,10", "bridge-street", "restriction=no_right_turn"),
    ("dock-road", "845,48", "sailmaker-north", "restriction=no_right_turn; except=bicycle"),
    ("bark-east", "300,-720", "southgate", "restriction=no_right_turn"),
    ("loom-street", "-1600,167", "weir-road-out", "restriction:bicycle=no_right_turn"),
    ("firing-lane", "-700,-1015", "tannery-road", "restriction=only_left_turn; except=bicycle"),
)


def fittings() -> list[Fitting]:
    """Return every tagged point of the town."""
    return [Fitting(key, points(near)[0], parse_tags(tags)) for key, near, tags in _FITTINGS]


def bans() -> list[Ban]:
    """Return every banned turn of the town."""
    return [Ban(a, points(at)[0], b, parse_tags(tags)) for a, at, b, tags in _BANS]
