"""What is true of the invented town's rides, and how right a draft of them is."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from pyproj import Geod

from softpedal.draft.ride import Ride, read_ride
from softpedal.draft.written import metres_of

if TYPE_CHECKING:
    from softpedal.draft.drafting import Draft

ROOT = Path(__file__).resolve().parents[1]
BUILT = ROOT / "site_demo" / "town" / "built"
EXTRACT = BUILT / "lindenferry.osm"

#: A crossing or dismount is found if it is told this near to where it is.
NEAR_M = 30.0
#: A roundabout is told where one enters it, and by any of its roads' names.
RING_M = 80.0
#: A push shorter than this need not be told.
MIN_PUSH_M = 15.0
_STEP_M = 2.0
_WGS84 = Geod(ellps="WGS84")


@dataclass
class Score:
    """Sums over rides; metres, and things counted."""

    metres: float = 0.0
    right_m: float = 0.0
    false_filtered_m: float = 0.0
    counts: dict[str, list[int]] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)

    def count(self, what: str, found: int, told: int, true: int) -> None:
        """Add things found rightly, told, and true."""
        sums = self.counts.setdefault(what, [0, 0, 0])
        for index, value in enumerate((found, told, true)):
            sums[index] += value

    @property
    def kind_right(self) -> float:
        """Share of the metres of both directions whose kind is right."""
        return self.right_m / self.metres

    def precision(self, what: str) -> float:
        """Share of what was told that is true."""
        found, told, _ = self.counts[what]
        return found / told if told else 1.0

    def recall(self, what: str) -> float:
        """Share of what is true that was told."""
        found, _, true = self.counts[what]
        return found / true if true else 1.0


def true_rides() -> dict[str, Any]:
    """Return the facts of each ride by its name."""
    rides: dict[str, Any] = json.loads((BUILT / "truth.json").read_text())["rides"]
    return rides


def published(name: str, facts: dict[str, Any]) -> Ride:
    """Return the published line of a ride, or the true line of one that has none."""
    path = ROOT / "routes" / name
    if path.is_file():
        return read_ride(path, published=True)
    lat, lon = np.array(facts["line"]).T
    n = len(lat)
    return Ride(lat.copy(), lon.copy(), np.full(n, np.nan), np.zeros(n, dtype=np.intp), None)


def at_one_hertz(ride: Ride, facts: dict[str, Any], speed: float = 4.2) -> tuple[Ride, Any]:
    """Return a ride along a line with a fix each second, pushed stretches walked.

    Returns:
        The ride and the chainage along the line of each fix, (n,).
    """
    chainage = ride.track.chainage_m
    pushed = [
        (leg["from"], leg["to"])
        for leg in facts["outbound"]["legs"]
        if leg["kind"] == "on foot" and "hours" not in leg
    ]
    at, marks = 0.0, []
    while at < chainage[-1]:
        marks.append(at)
        at += 1.2 if any(a <= at < b for a, b in pushed) else speed
    marks.append(float(chainage[-1]))
    along = np.array(marks)
    lat, lon = (np.interp(along, chainage, values) for values in (ride.lat, ride.lon))
    n = len(along)
    times = 1_780_000_000.0 + np.arange(n)
    made = Ride(lat, lon, np.full(n, np.nan), np.zeros(n, dtype=np.intp), times)
    return made, along


def noise(n: int, sigma_m: float, rng: np.random.Generator, seconds: float = 25.0) -> Any:
    """Return noise that forgets itself in so many seconds, metres, one value a second, (n,)."""
    keeps = np.exp(-1 / seconds)
    steps = rng.normal(0.0, sigma_m * np.sqrt(1 - keeps**2), n)
    found = np.empty(n)
    found[0] = rng.normal(0.0, sigma_m)
    for i in range(1, n):
        found[i] = keeps * found[i - 1] + steps[i]
    return found


def moved(ride: Ride, east: Any, north: Any) -> Ride:
    """Return a ride with its points moved by metres east and north, (n,) each."""
    azimuth, metres = np.degrees(np.arctan2(east, north)), np.hypot(east, north)
    lon, lat, _ = _WGS84.fwd(ride.lon, ride.lat, azimuth, metres)
    return Ride(np.asarray(lat), np.asarray(lon), ride.height, ride.part, ride.time_s)


def score(draft: Draft, facts: dict[str, Any], score: Score, name: str, along: Any = None) -> None:
    """Add how right a draft is to a score.

    Args:
        draft: of a ride.
        facts: its truth.
        score: what is added to.
        name: of the ride, for what is wrong.
        along: true chainage of each point of the draft's track; None where they are the same.
    """
    own = draft.track.chainage_m
    true = np.asarray(along) if along is not None else own * (facts["length_m"] / own[-1])
    for direction in ("outbound", "return"):
        _kinds(draft, facts[direction]["legs"], direction, score, name, own, true)
        told = [
            (float(np.interp(metres_of(c["at"], own[-1]), own, true)), c)
            for c in draft.document.get("crossings", [])
            if c.get("direction", direction) == direction
        ]
        _crossings(told, facts[direction]["crossings"], score, f"{name} {direction}")
        _pushes(draft, facts[direction], direction, score, name, own, true)


def _kinds(  # noqa: PLR0917
    draft: Draft, legs: Any, direction: str, score: Score, name: str, own: Any, true: Any
) -> None:
    wrong: dict[tuple[str, str, str], float] = {}
    for metres in np.arange(_STEP_M / 2, true[-1], _STEP_M):
        at = float(np.interp(metres, true, own))
        leg = next((g for g in draft.line.legs if g.from_m <= at < g.to_m), draft.line.legs[-1])
        kind = (leg.lead if direction == "outbound" else leg.lead_back).kind
        truth = next((g for g in legs if g["from"] <= metres < g["to"]), legs[-1])
        score.metres += _STEP_M
        if kind == truth["kind"]:
            score.right_m += _STEP_M
        else:
            key = truth["street"], truth["kind"], kind
            wrong[key] = wrong.get(key, 0.0) + _STEP_M
        if kind == "filtered street" != truth["kind"] and truth["kind"] not in _AWAY:
            score.false_filtered_m += _STEP_M
    for (street, is_kind, told), metres in wrong.items():
        if metres > 12:
            score.wrong.append(
                f"{name} {direction}: {street} is {is_kind}, told {told}, {metres:.0f} m"
            )


_AWAY = frozenset({"protected track", "traffic-free path", "on foot"})


def _crossings(told: Any, true: Any, score: Score, name: str) -> None:
    left = list(true)
    found = 0
    for at, item in told:
        match = next(
            (
                t
                for t in left
                if (
                    abs(t["at"] - at) <= RING_M
                    if t["movement"] == "roundabout"
                    else abs(t["at"] - at) <= NEAR_M and t["road"] == item["road"]
                )
                and t["control"] == item["control"]
                and t["movement"] == item.get("movement", "cross")
            ),
            None,
        )
        if match is None:
            score.wrong.append(f"{name}: crossing told at {at:.0f}: {_short(item)}")
        else:
            left.remove(match)
            found += 1
    score.wrong += [f"{name}: crossing missed {t}" for t in left]
    score.count("crossings", found, len(told), len(true))


def _short(item: dict[str, Any]) -> str:
    keys = ("road", "control", "movement", "direction", "why", "metres", "evidence")
    return " ".join(f"{k}={item[k]}" for k in keys if k in item)


def _pushes(  # noqa: PLR0917
    draft: Draft, facts: Any, direction: str, score: Score, name: str, own: Any, true: Any
) -> None:
    told = [
        (float(np.interp(a, own, true)), float(np.interp(b, own, true)), street)
        for a, b, street in _runs(draft, direction)
    ]
    told += [
        (at, at, _short(d))
        for d in draft.document.get("dismounts", [])
        if d.get("direction", direction) == direction
        for at in [float(np.interp(metres_of(d["at"], own[-1]), own, true))]
    ]
    points = [(d["at"], d["at"], d["why"]) for d in facts["dismounts"]]
    pushed = [
        (a, b, street)
        for a, b, street in _true_runs(facts["legs"])
        if b - a >= MIN_PUSH_M and not any(a - NEAR_M <= at <= b + NEAR_M for at, _, _ in points)
    ]
    left = points + pushed
    found = 0
    for a, b, what in told:
        match = next((t for t in left if t[0] - NEAR_M <= b and a <= t[1] + NEAR_M), None)
        if match is None:
            score.wrong.append(f"{name} {direction}: dismount told at {a:.0f}–{b:.0f}: {what}")
        else:
            left.remove(match)
            found += 1
    score.wrong += [f"{name} {direction}: dismount missed {t}" for t in left]
    score.count("dismounts", found, len(told), len(points) + len(pushed))


def _runs(draft: Draft, direction: str) -> list[tuple[float, float, str]]:
    """Return where one pushes, legs that follow on each other as one."""
    runs: list[tuple[float, float, str]] = []
    for leg in draft.line.legs:
        lead = leg.lead if direction == "outbound" else leg.lead_back
        if lead.kind != "on foot":
            continue
        if runs and abs(runs[-1][1] - leg.from_m) < 0.5:
            runs[-1] = runs[-1][0], leg.to_m, runs[-1][2]
        else:
            runs.append((leg.from_m, leg.to_m, lead.street))
    return runs


def _true_runs(legs: Any) -> list[tuple[float, float, str]]:
    runs: list[tuple[float, float, str]] = []
    for leg in legs:
        if leg["kind"] != "on foot":
            continue
        if runs and abs(runs[-1][1] - leg["from"]) < 0.5:
            runs[-1] = runs[-1][0], leg["to"], runs[-1][2]
        else:
            runs.append((leg["from"], leg["to"], leg["street"]))
    return runs
