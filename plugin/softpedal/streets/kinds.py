"""From tags to kinds: what an edge is to a rider going one way. The first rule that fits wins.

What needs a look at the ground says "check" or "guess"; nothing is called a filtered street
because of a sign or a gate that may open.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from softpedal.streets.beside import LEAST_SHARE, Beside
from softpedal.streets.conditional import alternatives
from softpedal.streets.traffic_load import is_busy, is_mixed, is_slow
from softpedal.streets.way_view import View

if TYPE_CHECKING:
    from collections.abc import Callable

    from softpedal.library.notes import Kind
    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags
    from softpedal.streets.way_view import HasGrades

Confidence = Literal["sure", "check", "guess"]

#: What a crossing goes on as, where it joins one of them.
LINKED: tuple[Kind, ...] = ("protected track", "traffic-free path", "shared pavement")

#: Share of the length over which a way runs beside a road for nobody to have to check it.
SURE_SHARE = 0.8


@dataclass(frozen=True, slots=True)
class Reading:
    """What an edge is to a rider going one way.

    Attributes:
        kind: as in the notes.
        confidence: how sure that is.
        evidence: short; tags are quoted as OpenStreetMap writes them.
        hours: kinds at some hours, the first that is open wins; `kind` holds at all other times.
        closed_by: what keeps motor traffic from driving through where, or while, it is filtered.
        why_push: why one gets off where the kind is "on foot".
        beside: name of the road that a track or pavement runs beside.
        shut: hours at which nobody may pass at all.
    """

    kind: Kind
    confidence: Confidence
    evidence: str
    hours: tuple[tuple[str, Kind], ...] = ()
    closed_by: str = ""
    why_push: str = ""
    beside: str = ""
    shut: tuple[str, ...] = ()


def _on_foot(v: View) -> Reading:
    if v.why == "no entry":
        text = f"{v.evidence}, against its one-way traffic"
        return Reading("on foot", "sure", text, why_push=v.why)
    sure = v.is_push_tagged and v.ride != "no"
    evidence = v.evidence if v.is_push_tagged else f"{v.evidence}, no tag lets cycles in"
    return Reading("on foot", "sure" if sure else "check", evidence, why_push=v.why)


def _beside(kind: Kind) -> Callable[[View], Reading]:
    def say(v: View) -> Reading:
        name = v.beside.name
        where = f"runs beside {name or 'a road'}" if v.beside.is_beside else "beside a road"
        if not v.is_shared_tagged:
            where += ", no tag speaks of people walking"
        sure = v.is_shared_tagged and (v.is_sidepath_tagged or v.beside.share > SURE_SHARE)
        return Reading(kind, "sure" if sure else "check", f"{v.evidence}, {where}", beside=name)

    return say


def _painted_lane(v: View) -> Reading:
    return Reading("painted lane", "sure", f"{v.evidence}, {v.facility.tag}")


def _track_on_road(v: View) -> Reading:
    shared = v.facility.what == "shared track"
    kind: Kind = "shared pavement" if shared else "protected track"
    return Reading(kind, "sure", f"{v.evidence}, {v.facility.tag}", beside=v.name)


def _bus_lane(v: View) -> Reading:
    """A bus lane in which cycles may ride; of any other, nobody is told that it is theirs."""
    return Reading("bus lane", "sure", f"{v.evidence}, {v.facility.tag or v.evidence}")


def _path(v: View) -> Reading:
    near_road = v.beside.share > 1.0 - LEAST_SHARE
    evidence = f"{v.evidence}, away from roads"
    if near_road:
        evidence = f"{v.evidence}, partly beside {v.beside.name or 'a road'}"
    if not v.is_ride_tagged:
        sureness: Confidence = "guess" if v.is_hiking else "check"
        return Reading("traffic-free path", sureness, f"{evidence}, no tag speaks of cycles")
    return Reading("traffic-free path", "check" if near_road else "sure", evidence)


def _farm_track(v: View) -> Reading:
    return Reading("traffic-free path", "check", f"{v.evidence}: farm or forest traffic only")


def _pedestrian(v: View) -> Reading:
    closed_by = v.closed_by or "a pedestrian street"
    sure = v.is_ride_tagged
    evidence = v.evidence if v.is_ride_tagged else f"{v.evidence}, no tag speaks of cycles"
    return Reading("filtered street", "sure" if sure else "check", evidence, closed_by=closed_by)


def _closed_street(v: View) -> Reading:
    if v.is_track:
        return Reading("traffic-free path", "sure", v.evidence)
    closed_by = v.closed_by or ("private ground" if v.motor.private else "a ban on motor traffic")
    sureness: Confidence = "sure" if v.is_barred else "check"
    return Reading("filtered street", sureness, v.evidence, closed_by=closed_by)


def _filtered(v: View) -> Reading:
    evidence = v.graded or "Nothing can drive through."
    return Reading("filtered street", "sure", f"{v.evidence}. {evidence}", closed_by=v.closed_by)


def _by_one_ways(v: View) -> Reading:
    """A filtered street without what closes it: it is not counted as quiet until somebody says."""
    text = f"{v.evidence}, filtered if {v.doubt or 'all obey the one-ways'}: check on the ride"
    return Reading("filtered street", "check", text)


def _street(kind: Kind) -> Callable[[View], Reading]:
    def say(v: View) -> Reading:
        if v.doubt:
            text = f"{v.evidence}, filtered if {v.doubt}: check on the ride"
            return Reading(kind, "check", text)
        if kind == "busy road":
            return Reading(kind, "sure", v.evidence)
        text = f"{v.evidence}. One can drive through: {v.graded}" if v.graded else v.evidence
        if is_slow(v.tags):
            return Reading(kind, "sure", text)
        return Reading(kind, "check", f"{text}: how busy is it?")

    return say


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of the table."""

    name: str
    fits: Callable[[View], bool]
    say: Callable[[View], Reading]


#: From the top; the last rule fits always.
RULES: tuple[Rule, ...] = (
    Rule("ferry", lambda v: v.is_ferry, _on_foot),
    Rule("steps", lambda v: v.highway == "steps", _on_foot),
    Rule("not to be ridden", lambda v: v.ride != "ride", _on_foot),
    Rule("track on a road", lambda v: v.is_street and "track" in v.facility.what, _track_on_road),
    Rule("pedestrian street", lambda v: v.is_pedestrian_street and v.is_proved, _pedestrian),
    Rule("shared pavement", lambda v: v.is_beside_road and v.is_shared, _beside("shared pavement")),
    Rule("track beside a road", lambda v: v.is_beside_road, _beside("protected track")),
    Rule("farm track", lambda v: v.farm_only and (v.is_track or not v.is_road), _farm_track),
    Rule("path", lambda v: not v.is_road, _path),
    Rule("buses only", lambda v: v.is_closed and v.is_busway, _bus_lane),
    Rule("closed street", lambda v: v.is_closed and v.is_proved, _closed_street),
    Rule("filtered street", lambda v: v.grade == "sure", _filtered),
    Rule("filtered by one-ways", lambda v: v.grade == "one-ways", _by_one_ways),
    Rule("painted lane", lambda v: v.is_street and v.facility.what == "lane", _painted_lane),
    Rule("bus lane", lambda v: v.facility.what == "bus", _bus_lane),
    Rule("busy road", lambda v: is_busy(v.tags), _street("busy road")),
    Rule("mixed street", lambda v: is_mixed(v.tags), _street("mixed street")),
    Rule("back street", lambda _: True, _street("back street")),
)


class Reader:
    """Reads the edges of a network; each one once per direction."""

    def __init__(self, network: Network, verdicts: HasGrades, country: Country) -> None:
        self._network = network
        self._verdicts = verdicts
        self._country = country
        self._beside = Beside(network)
        self._known: dict[tuple[int, bool], Reading] = {}

    def read(self, edge: int, forward: bool) -> Reading:
        """Return what an edge is to a rider along (`forward`) or against its drawn line."""
        key = edge, forward
        if key not in self._known:
            self._known[key] = self._read(edge, forward)
        return self._known[key]

    def _read(self, edge: int, forward: bool) -> Reading:
        tags = self._network.tags(edge)
        base, _ = self._once(edge, forward, tags)
        at_hours = alternatives(tags)
        if not at_hours:
            return base
        hours: list[tuple[str, Kind]] = []
        shut: list[str] = []
        closed_by = base.closed_by
        for when, then in at_hours:
            reading, view = self._once(edge, forward, {**tags, **then})
            if view.is_shut(then):
                shut.append(when)
            else:
                hours.append((when, reading.kind))
                closed_by = closed_by or reading.closed_by
        while hours and hours[-1][1] == base.kind:
            hours.pop()
        if not hours:
            closed_by = base.closed_by
        if shut:
            base = replace(base, confidence="check")
        return replace(base, hours=tuple(hours), shut=tuple(shut), closed_by=closed_by)

    def _once(self, edge: int, forward: bool, tags: Tags) -> tuple[Reading, View]:
        view = self._view(edge, forward, tags)
        rule = next(rule for rule in RULES if rule.fits(view))
        reading = rule.say(view)
        if view.is_link and reading.kind != "on foot" and (beyond := self._beyond(edge)):
            text = f"{view.evidence}, a crossing between stretches of {beyond.kind}"
            reading = replace(beyond, evidence=text, hours=(), shut=())
        return _doubted(reading, view), view

    def _view(self, edge: int, forward: bool, tags: Tags) -> View:
        return View(
            self._network,
            edge,
            forward,
            tags=tags,
            verdicts=self._verdicts,
            country=self._country,
            beside=self._beside,
        )

    def _beyond(self, edge: int) -> Reading | None:
        """Return the reading of the longest way that a link, such as a crossing, goes on as."""
        network = self._network
        found: list[tuple[float, int, Reading]] = []
        for node in (network.edge_from[edge], network.edge_to[edge]):
            for other in network.edges_at[int(node)]:
                view = self._view(other, True, network.tags(other))
                if other == edge or view.is_road or view.is_link:
                    continue
                ways = self.read(other, True), self.read(other, False)
                ahead = next((way for way in ways if way.kind in LINKED), None)
                if ahead:
                    found.append((float(network.edge_m[other]), other, ahead))
        return max(found, key=lambda each: each[:2])[2] if found else None


def _doubted(reading: Reading, view: View) -> Reading:
    """Return the reading with what makes it less sure, and what may be ridden instead."""
    if reading.kind == "on foot" or not view.is_road:
        return reading
    if view.bus_tag and reading.kind != "bus lane":
        text = f"{reading.evidence}, {view.bus_tag}: may cycles use the bus lane?"
        reading = replace(reading, confidence="check", evidence=text)
    if view.apart and reading.kind != "protected track":
        text = f"{reading.evidence}, {view.apart}: was it the track?"
        reading = replace(reading, confidence="check", evidence=text)
    if view.pavement:
        text = f"{reading.evidence}, {view.pavement}: or was it the pavement?"
        reading = replace(reading, evidence=text)
    return reading
