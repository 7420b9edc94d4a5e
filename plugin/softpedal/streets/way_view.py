"""What the rules of `kinds` ask of a way, worked out when asked: access, form, place, verdict."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from softpedal.streets.access import (
    MAIN_CLASSES,
    MINOR_CLASSES,
    cycle_access,
    motor_access,
    one_way,
    road_class,
)
from softpedal.streets.sides import bus_lane, directed, facility, pavement_tag

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.streets.access import MotorAccess, Ride
    from softpedal.streets.beside import Beside, Neighbour
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags
    from softpedal.streets.sides import Facility

#: A street open to buses alone is a bus gate up to this length, else it is shared with buses (our
#: own figure).
BUS_GATE_M = 100.0

_YES = frozenset({"yes", "designated", "permissive", "official"})
_CLOSING = ("motorcar", "motor_vehicle", "vehicle", "access")
_FARM = frozenset({"agricultural", "forestry"})
_LINKS = ("cycleway", "footway", "path")
#: Why one gets off where the country's default says so, and no tag does.
_DEFAULTS = frozenset({"pedestrians only", "bridleway", "indoors", "no cycling"})
#: What a street would need for being filtered, and what is named where the verdict names nothing.
_DOUBTS = {
    "sign only": ("all obey {}", "its signs"),
    "gate": ("kept shut by {}", "its gates"),
    "one-ways": ("all obey {}", "one-way streets"),
    "edge": ("nobody can drive on beyond the edge of the extract", ""),
}
#: Paths on which hardly anyone rides a loaded cycle, by the scale of difficulty of hiking.
_STEEP_HIKING = ["mountain", "alpine"]


class HasGrades(Protocol):
    """The verdicts on through traffic, as far as kinds need them."""

    @property
    def closed_by(self) -> Mapping[int, str]:
        """What keeps motor traffic from driving through, by edge."""

    @property
    def evidence(self) -> Mapping[int, str]:
        """How that was found, by edge."""

    def of(self, edge: int) -> str:
        """Return the grade of an edge."""


class View:
    """One edge seen by a rider going one way, with the tags that hold at the time."""

    def __init__(
        self,
        network: Network,
        edge: int,
        forward: bool,
        *,
        tags: Tags,
        verdicts: HasGrades,
        country: Country,
        beside: Beside,
    ) -> None:
        self._network = network
        self._edge = edge
        self._forward = forward
        self._all_tags = tags
        self._verdicts = verdicts
        self._country = country
        self._beside = beside
        self.tags = directed(tags, forward)
        self.highway = self.tags.get("highway", "")
        self.road_class = road_class(self.tags)

    # who may go there

    @cached_property
    def _cycle(self) -> tuple[Ride, str]:
        if self.tags.get("bicycle") == "use_sidepath" and not self.is_road:
            return "push", "cycles have a way of their own"
        access = cycle_access(self.tags, self._country)
        if self._forward:
            return access.forward, access.why_forward
        return access.backward, access.why_backward

    @property
    def ride(self) -> Ride:
        """What a cycle may do in this direction."""
        return self._cycle[0]

    @property
    def is_proved(self) -> bool:
        """Whether it is proved that nobody can drive through, or that nobody may drive there."""
        return self.grade in ("sure", "no motor traffic") or (
            self.grade == "main" and self.is_closed
        )

    @property
    def why(self) -> str:
        """Why one gets off."""
        if self.is_ferry:
            return "ferry"
        return "steps" if self.highway == "steps" else self._cycle[1]

    @property
    def is_push_tagged(self) -> bool:
        """Whether a tag says that one gets off, rather than the country's default."""
        return self.is_sidewalk or "bicycle" in self.tags or self.why not in _DEFAULTS

    @property
    def is_ride_tagged(self) -> bool:
        """Whether a tag lets cycles in, rather than the country's default."""
        return self.tags.get("bicycle") in _YES or self.highway == "cycleway"

    @cached_property
    def motor(self) -> MotorAccess:
        """What private motor traffic may do."""
        return motor_access(self.tags)

    @cached_property
    def is_closed(self) -> bool:
        """Whether a road is closed to motor traffic by its tags."""
        return self.is_road and not self.motor.forward and not self.motor.backward

    @property
    def closing_tag(self) -> str:
        """The tag that says which motor traffic may go there."""
        return next((f"{k}={self.tags[k]}" for k in _CLOSING if k in self.tags), "")

    @property
    def is_barred(self) -> bool:
        """Whether its tags close it to all private motor traffic, not to cars alone."""
        if self.tags.get("motor_vehicle") == "no":
            return True
        return not self.motor.private and not self.closing_tag.startswith("motorcar=")

    @property
    def farm_only(self) -> bool:
        """Whether only farm and forest traffic is let in."""
        return self.closing_tag.partition("=")[2] in _FARM

    @property
    def is_busway(self) -> bool:
        """Whether buses run along it for more than a bus gate's length."""
        runs = self.highway == "busway" or any(self.tags.get(key) in _YES for key in ("bus", "psv"))
        return runs and self._way_m > BUS_GATE_M

    def is_shut(self, changed: Tags) -> bool:
        """Whether these tags, which hold at some hours, let nobody pass then."""
        closed = changed.get("access") in ("no", "private") and "bicycle" not in changed
        return closed and (self.ride == "no" or not self.is_road)

    # what it is

    @property
    def is_ferry(self) -> bool:
        """Whether it is a ferry."""
        return self.tags.get("route") == "ferry" and not self.highway

    @cached_property
    def is_road(self) -> bool:
        """Whether motor traffic may use it, or could if no tag closed it."""
        kind = self.road_class
        if kind in MAIN_CLASSES or kind in MINOR_CLASSES or kind == "busway":
            return True
        return (self.motor.forward or self.motor.backward) and not self.farm_only

    @property
    def is_pedestrian_street(self) -> bool:
        """Whether it is a pedestrian street or square, and no promenade beside a road."""
        if self.highway != "pedestrian":
            return False
        return self.tags.get("area") == "yes" or self.is_road or not self.is_beside_road

    @property
    def is_hiking(self) -> bool:
        """Whether it is a path for mountain walkers."""
        return any(word in self.tags.get("sac_scale", "") for word in _STEEP_HIKING)

    @property
    def is_street(self) -> bool:
        """Whether it is a road, and no farm track, which has no tracks for cycles beside it."""
        return self.is_road and not self.is_track

    @property
    def is_track(self) -> bool:
        """Whether it is a farm or forest track."""
        return self.highway == "track"

    @property
    def is_sidewalk(self) -> bool:
        """Whether it is mapped as the pavement of a road."""
        return any(self.tags.get(key) == "sidewalk" for key in _LINKS)

    @property
    def is_link(self) -> bool:
        """Whether it is a crossing: a short way from one to the next."""
        return self.highway == "crossing" or any(
            self.tags.get(key) == "crossing" for key in _LINKS if not self.is_road
        )

    @property
    def name(self) -> str:
        """Name or number of the street, "" where it has none."""
        return self._network.name(self._edge)

    @property
    def evidence(self) -> str:
        """The tags that matter most, and the name."""
        said = [f"{k}={self.tags[k]}" for k in ("highway", "route") if k in self.tags][:1]
        keys = ["bicycle"] if self.is_road else ["bicycle", "foot", "segregated", "footway"]
        if self.ride != "ride":
            keys = ["bicycle", "vehicle", "access"]
        said += [f"{key}={self.tags[key]}" for key in keys if key in self.tags]
        if self.is_road:
            said = [text for text in said if text != self.apart]
        if self.closing_tag and not self.closing_tag.endswith("=yes") and self.ride == "ride":
            said.append(self.closing_tag)
        if self.is_road and not self.is_closed:
            said += [f"{k}={self.tags[k]}" for k in ("maxspeed", "lanes") if k in self.tags]
        if self.ride == "ride" and self._against:
            said.append("against the one-way traffic, as cycles may")
        if self._network.edge_across[self._edge]:
            said.append("over the square")
        return ", ".join(said)

    @property
    def _against(self) -> bool:
        return one_way(self.tags) == (-1 if self._forward else 1)

    @cached_property
    def _way_m(self) -> float:
        network = self._network
        return float(network.edge_m[network.edge_way == network.edge_way[self._edge]].sum())

    # beside a road, and on the side of a road

    @cached_property
    def beside(self) -> Neighbour:
        """The road that it runs beside."""
        return self._beside.of(self._edge)

    @property
    def is_sidepath_tagged(self) -> bool:
        """Whether tags, not geometry, say that it belongs to a road."""
        return self.is_sidewalk or self.tags.get("is_sidepath") == "yes"

    @property
    def is_beside_road(self) -> bool:
        """Whether it is no road itself and runs beside one."""
        if self.is_road or self.tags.get("is_sidepath") == "no":
            return False
        return self.is_sidepath_tagged or self.beside.is_beside

    @property
    def is_shared_tagged(self) -> bool:
        """Whether tags say if people walk on it."""
        return "segregated" in self.tags or "foot" in self.tags or self.highway == "footway"

    @property
    def is_shared(self) -> bool:
        """Whether one rides among people walking."""
        if self.tags.get("segregated") == "yes" or self.tags.get("foot") in ("no", "use_sidepath"):
            return False
        return (
            self.highway != "cycleway"
            or self.is_sidewalk
            or "foot" in self.tags
            or self.tags.get("segregated") == "no"
        )

    @cached_property
    def facility(self) -> Facility:
        """What the carriageway has for cycles."""
        return facility(self.tags, self._forward, drives_left=self._country.drives_left)

    @cached_property
    def bus_tag(self) -> str:
        """The tag of a bus lane in this direction."""
        if self.highway == "busway":
            return "highway=busway"
        if self.is_closed:
            return next((f"{k}={self.tags[k]}" for k in ("bus", "psv") if k in self.tags), "")
        return bus_lane(self.tags, self._forward, drives_left=self._country.drives_left)

    @property
    def apart(self) -> str:
        """The tag which says that a track is mapped apart."""
        if self.tags.get("bicycle") == "use_sidepath":
            return "bicycle=use_sidepath"
        return self.facility.apart

    @property
    def pavement(self) -> str:
        """The tag which says that the pavement may be ridden."""
        return pavement_tag(self.tags, self._forward, drives_left=self._country.drives_left)

    # how much motor traffic

    @cached_property
    def grade(self) -> str:
        """The verdict on through traffic; where tags open or close the road, what follows."""
        grade = self._verdicts.of(self._edge)
        if self._all_tags is self._network.tags(self._edge):
            return grade
        if self.is_closed:
            return "no motor traffic"
        return "through" if grade == "no motor traffic" else grade

    @property
    def closed_by(self) -> str:
        """What keeps motor traffic from driving through, as the verdict says."""
        return self._verdicts.closed_by.get(self._edge, "")

    @property
    def graded(self) -> str:
        """How the verdict was found."""
        return self._verdicts.evidence.get(self._edge, "")

    @property
    def doubt(self) -> str:
        """On what it depends whether it is filtered, "" where it is not."""
        text, usual = _DOUBTS.get(self.grade, ("", ""))
        return text.format(self.closed_by or usual)
