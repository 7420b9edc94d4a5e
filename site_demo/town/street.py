"""What a street is in the ground plan: a line, its map tags, and the truth about riding on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from grid import points

if TYPE_CHECKING:
    from grid import Point

#: Profile → the map tags that it stands for, and the kind of street that it is to a rider.
PROFILES: dict[str, tuple[str, str]] = {
    "trunk": ("highway=trunk; maxspeed=50 mph; lanes=2; oneway=yes; lit=yes", "busy road"),
    "primary": ("highway=primary; maxspeed=30 mph; lanes=2; lit=yes", "busy road"),
    "secondary": ("highway=secondary; maxspeed=30 mph; lanes=2; lit=yes", "busy road"),
    "tertiary": ("highway=tertiary; maxspeed=30 mph; lanes=2; lit=yes", "mixed street"),
    "residential": ("highway=residential; maxspeed=20 mph; lit=yes", "back street"),
    "lane": ("highway=unclassified; maxspeed=20 mph; lit=no", "back street"),
    "living": ("highway=living_street; maxspeed=10 mph; lit=yes", "back street"),
    "service": ("highway=service; lit=yes", "back street"),
    "pedestrian": ("highway=pedestrian; lit=yes; surface=paving_stones", "on foot"),
    "track beside": ("highway=cycleway; foot=no; surface=asphalt; lit=yes", "protected track"),
    "cycle path": (
        "highway=cycleway; foot=designated; segregated=no; surface=asphalt; lit=yes",
        "traffic-free path",
    ),
    "towpath": (
        "highway=path; bicycle=yes; foot=designated; surface=fine_gravel; lit=no; towpath=yes",
        "traffic-free path",
    ),
    "path": ("highway=path; bicycle=yes; surface=compacted; lit=no", "traffic-free path"),
    "footway": ("highway=footway; surface=paving_stones; lit=yes", "on foot"),
    "pavement": (
        "highway=footway; footway=sidewalk; surface=paving_stones; lit=yes",
        "on foot",
    ),
    "shared pavement": (
        "highway=footway; footway=sidewalk; bicycle=designated; foot=designated; segregated=no",
        "shared pavement",
    ),
    "steps": ("highway=steps; lit=yes", "on foot"),
    "lock": ("waterway=canal; lock=yes", ""),
    "tram": ("railway=tram; electrified=contact_line; gauge=1435", ""),
    "ferry": ("route=ferry; foot=yes; bicycle=yes", ""),
}

#: Classes that make up the main road network; nothing on them counts as through traffic.
MAIN_CLASSES = ("trunk", "primary", "secondary", "tertiary")

#: Classes on which motor traffic may drive unless a tag says otherwise.
MOTOR_CLASSES = (*MAIN_CLASSES, "residential", "unclassified", "living_street", "service")


@dataclass(slots=True)
class Street:
    """One line of the ground plan.

    Attributes:
        key: unique name in the plan.
        name: name on the sign, or "".
        line: its points on the grid; junctions are added by `junctions.join`.
        tags: map tags.
        kind: what it is to a rider going the way the line is drawn.
        against: what it is to a rider going against the drawn line.
        closed_by: what keeps motor traffic from driving through, or "".
        layer: level; lines on different levels cross without meeting.
        mapped: whether the extract shows it (a way over a square is ridden, not drawn).
        loose: keys of lines that it crosses without sharing a junction, as a mapper's slip.
    """

    key: str
    name: str
    line: list[Point]
    tags: dict[str, str]
    kind: str
    against: str
    closed_by: str = ""
    layer: int = 0
    mapped: bool = True
    loose: tuple[str, ...] = ()
    hours: dict[str, str] = field(default_factory=dict)

    @property
    def road_class(self) -> str:
        """The value of the highway tag, or "" for rails and ferries."""
        return self.tags.get("highway", "")

    @property
    def is_main(self) -> bool:
        """Whether it belongs to the main road network."""
        return self.road_class in MAIN_CLASSES

    @property
    def is_motor(self) -> bool:
        """Whether private motor traffic may use it as tagged, barriers aside."""
        closed = {"no", "private"}
        keys = ("motor_vehicle", "vehicle", "access")
        denied = next((self.tags[k] for k in keys if k in self.tags), "") in closed
        return self.road_class in MOTOR_CLASSES and not denied


def parse_tags(text: str) -> dict[str, str]:
    """Return the tags that a text such as ``"oneway=yes; lanes=2"`` writes down."""
    pairs = (part.split("=", 1) for part in text.split("; ") if part)
    return {key.strip(): value.strip() for key, value in pairs}


def street(
    key: str,
    name: str,
    profile: str,
    line: str,
    tags: str = "",
    *,
    closed_by: str = "",
    kind: str = "",
    against: str = "",
    layer: int = 0,
    mapped: bool = True,
    loose: tuple[str, ...] = (),
    hours: dict[str, str] | None = None,
) -> Street:
    """Return a street of a profile, with the tags and truths in which it differs from it.

    A street that is closed to through traffic is a filtered street; one-way traffic without an
    exemption for cycles is pushed against its direction.
    """
    base, usual = PROFILES[profile]
    all_tags = parse_tags(base) | parse_tags(tags)
    if name:
        all_tags = {"name": name} | all_tags
    if layer:
        all_tags["layer"] = str(layer)
    truth = kind or ("filtered street" if closed_by else usual)
    one_way = all_tags.get("oneway") == "yes" and all_tags.get("oneway:bicycle") != "no"
    return Street(
        key=key,
        name=name,
        line=points(line),
        tags=dict(sorted(all_tags.items())),
        kind=truth,
        against=against or ("on foot" if one_way else truth),
        closed_by=closed_by,
        layer=layer,
        mapped=mapped,
        loose=loose,
        hours=hours or {},
    )
