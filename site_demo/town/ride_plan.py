"""Which way each demonstration route takes through the town, and what is true along it.

Everything here is known by construction: the streets ridden, the roads crossed and by what, and
where one must get off. Places are grid points; `true_facts` turns them into chainages.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Crossing:
    """A road that is crossed: where, how, and in which direction of the route."""

    at: str
    road: str
    control: str
    movement: str = "cross"
    direction: str = "both"
    busy: bool = True


@dataclass(frozen=True, slots=True)
class Dismount:
    """A place outside pushed legs where one gets off, and for how many metres."""

    at: str
    why: str
    metres: float = 0.0
    must: str = "law"
    direction: str = "both"


@dataclass(frozen=True, slots=True)
class Ride:
    """One line of a route.

    Attributes:
        route: id of the route.
        file: name of the track file.
        start: grid point on the first street.
        streets: keys of the streets in riding order.
        finish: grid point on the last street.
        heights: whether the recording has heights.
        waypoints: name → grid point.
        crossings: true crossings.
        dismounts: true dismounts outside pushed legs.
    """

    route: str
    file: str
    start: str
    streets: str
    finish: str
    heights: bool = True
    waypoints: tuple[tuple[str, str], ...] = ()
    crossings: tuple[Crossing, ...] = ()
    dismounts: tuple[Dismount, ...] = ()


_GREEN = "-850,702"

RIDES = (
    Ride(
        "ferry-steps-to-chapel-green",
        "track.gpx",
        "1180,-365",
        "netmakers-quay sailmaker-south sailmaker-mouth sailmaker-north dock-track dock-toucan "
        "vine-south barrel-west candle-street school-lane-south linden-avenue-west almond-street "
        "green-path",
        _GREEN,
        waypoints=(("Harbour baths", "862,-215"), ("Green gate", "-508,678")),
        crossings=(
            Crossing("560,87", "Dock Road", "toucan", direction="outbound"),
            Crossing("845,48", "Dock Road", "none", "turn", "return"),
            Crossing("300,270", "Northgate", "toucan"),
        ),
        dismounts=(Dismount("849,-42", "no entry", 18, direction="return"),),
    ),
    Ride(
        "ferry-steps-to-chapel-green",
        "variant-bakers-row.gpx",
        "60,284",
        "bakers-end bakers-plug-south bakers-plug-north bakers-top linden-avenue-east",
        "-193,572",
    ),
    Ride(
        "chapel-green-to-weir-mill",
        "track.gpx",
        _GREEN,
        "green-path bobbin-row shuttle-court loom-street leat-lane mill-link towpath-west",
        "-1900,-122",
        waypoints=(("Weir gate", "-1750,-117"),),
        crossings=(
            Crossing("-1100,720", "Chapel Road", "zebra", busy=False),
            Crossing("-1600,167", "Weir Road", "refuge"),
        ),
    ),
    Ride(
        "chapel-green-to-weir-mill",
        "return.gpx",
        "-1900,-122",
        "towpath-west lock-link lock-lane chapel-walk linden-avenue-west green-walk",
        _GREEN,
        waypoints=(("Alder Lock", "-1000,-342"),),
        crossings=(Crossing("-1000,119", "Weir Road", "none"),),
    ),
    Ride(
        "two-bridges-loop",
        "track.gpx",
        "5,-140",
        "square-way creel-walk towpath heron-bridge tanner-row bark-west bark-middle bark-east "
        "southgate bridge-pavement capstan-ramp bargemens-path creel-walk square-way",
        "5,-140",
        crossings=(
            Crossing("300,-720", "Southgate", "none", "turn", "return"),
            Crossing("300,-575", "Southgate", "none", "turn", "return"),
        ),
        dismounts=(Dismount("-640,-375", "kissing gate", 3, "barrier"),),
    ),
    Ride(
        "college-to-northfield",
        "track.gpx",
        "-512,840",
        "almond-street campus-path saltway-underpass northfield-link northfield-lane "
        "allotment-path",
        "-690,1930",
        heights=False,
        crossings=(
            Crossing("-519,1023", "College Road", "toucan", busy=False),
            Crossing("-420,1650", "Saltway", "underpass", busy=False),
        ),
    ),
    Ride(
        "lantern-street-to-cinder-path",
        "track.gpx",
        "330,440",
        "lantern-street lantern-hill lantern-plug-south lantern-plug-north lantern-top park-south "
        "park-path cinder-bridge cinder-path",
        "2300,1155",
        waypoints=(("Park gates", "580,1100"),),
        crossings=(
            Crossing("560,437", "Lantern Street", "none", "turn", "return", busy=False),
            Crossing("560,989", "Foundry Road", "cycle signals"),
            Crossing("1317,1191", "Orchard Hill", "bridge", busy=False),
        ),
    ),
    Ride(
        "school-lane-link",
        "track.gpx",
        "-190,165",
        "school-lane-south school-lane-north",
        "-200,1004",
    ),
    Ride(
        "heron-bridge-to-kiln-top",
        "track.gpx",
        "-700,-492",
        "tanner-row firing-lane claypit-road pugmill-rise kiln-steps kiln-path",
        "-500,-1925",
        crossings=(Crossing("-700,-1015", "Tannery Road", "pedestrian signals"),),
    ),
    Ride(
        "northgate-to-tannery-road",
        "track.gpx",
        "300,1500",
        "northgate-upper northgate-lower gyratory-east bridge-street lind-bridge southgate",
        "300,-990",
        crossings=(
            Crossing("300,1000", "Foundry Road", "signals"),
            Crossing("336,120", "Dock Road", "roundabout", "roundabout"),
        ),
    ),
    Ride(
        "dock-road-to-grain-road",
        "track.gpx",
        "870,44",
        "dock-road dock-road-yards grain-road",
        "2100,-330",
        crossings=(Crossing("1750,-64", "Dock Road", "none", "turn", "outbound"),),
    ),
    Ride(
        "cask-street-to-tar-lane",
        "track.gpx",
        "900,50",
        "cask-street barrel-east tar-lane",
        "1709,-50",
        crossings=(Crossing("1300,240", "Orchard Road", "parallel", busy=False),),
    ),
    Ride(
        "old-harbour-to-alder-lock",
        "track.gpx",
        "870,-345",
        "bargemens-path towpath",
        "-1000,-342",
        crossings=(Crossing("300,-370", "Lind Bridge", "underpass", busy=False),),
        dismounts=(Dismount("-640,-375", "kissing gate", 3, "barrier"),),
    ),
)
