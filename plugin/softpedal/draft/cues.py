"""What to do where a leg begins, in words, from the geometry of the streets ridden."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from softpedal.draft.chain import Chain
    from softpedal.draft.junctions import Met
    from softpedal.draft.spans import Span
    from softpedal.library.notes import Control, Kind
    from softpedal.streets.network import Network

STRAIGHT_DEGREES = 30.0
BEAR_DEGREES = 55.0
SHARP_DEGREES = 125.0
#: The turning is summed this far before and after the place, in steps.
_FAR_M, _STEP_M = 30.0, 4.0
#: A road crossed this near to where a leg begins is told in its cue.
_MET_NEAR_M = 30.0

_BESIDE: dict[Kind, str] = {
    "protected track": "the cycle track",
    "shared pavement": "the shared pavement",
}
_AT: dict[Control, str] = {
    "cycle signals": "at the cycle signals",
    "toucan": "at the toucan crossing",
    "signals": "at the signals",
    "pedestrian signals": "at the pedestrian signals",
    "parallel": "at the parallel crossing",
    "zebra": "at the zebra",
    "refuge": "by the island",
}


class Headings:
    """Which way a chain goes at a chainage, without the noise of the recording."""

    def __init__(self, network: Network, chain: Chain) -> None:
        chainage: list[NDArray[np.float64]] = []
        points: list[NDArray[np.float64]] = []
        for piece in chain.pieces:
            xy = shapely.get_coordinates(network.lines[piece.edge])
            run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
            run *= float(network.edge_m[piece.edge]) / max(float(run[-1]), 1e-9)
            low, high = sorted((piece.edge_from_m, piece.edge_to_m))
            inner = run[(run > low) & (run < high)]
            marks = np.concatenate([[low], inner, [high]])
            line = np.column_stack([np.interp(marks, run, xy[:, k]) for k in (0, 1)])
            share = (marks - low) / max(high - low, 1e-9)
            if not piece.forward:
                line, share = line[::-1], 1 - share[::-1]
            chainage.append(piece.from_m + share * piece.length_m)
            points.append(line)
        self._at = np.concatenate(chainage)
        self._xy = np.concatenate(points)

    def turn(self, at_m: float, from_m: float, to_m: float) -> float:
        """Return the degrees turned to the right about a chainage.

        Args:
            at_m: where.
            from_m: where the leg before begins: what lies before that is not looked at.
            to_m: where the leg after ends.
        """
        start, end = max(from_m, at_m - _FAR_M), min(to_m, at_m + _FAR_M)
        marks = np.linspace(start, end, max(3, round((end - start) / _STEP_M) + 1))
        x, y = (np.interp(marks, self._at, self._xy[:, k]) for k in (0, 1))
        dx, dy = np.diff(x), np.diff(y)
        moving = np.hypot(dx, dy) > 0.01
        # What is turned from step to step adds up: a hairpin has a side, whatever its two ends say.
        headings = np.unwrap(np.arctan2(dy[moving], dx[moving]))
        return float(np.degrees(headings[0] - headings[-1])) if len(headings) else 0.0


def cue(  # noqa: PLR0917 - what a cue is made of
    before: Span | None,
    after: Span,
    turn: float,
    met: Sequence[Met],
    at_m: float,
    starts: Sequence[float] = (),
) -> str:
    """Return what to do where a leg begins.

    Args:
        before: what one comes from, None at the start.
        after: what one goes along.
        turn: degrees turned to the right.
        met: main roads met on the way, by chainage in the direction ridden.
        at_m: chainage of the place, in the direction ridden.
        starts: chainages at which legs begin: a road is told at the nearest one only.
    """
    onto = _street(after)
    push = after.kind == "on foot"
    if before is None:
        return f"Push along {onto}." if push else f"Start along {onto}."
    near = [m for m in met if abs(m.at_m - at_m) <= _MET_NEAR_M and _is_nearest(m, at_m, starts)]
    road = min(near, key=lambda m: abs(m.at_m - at_m), default=None)
    if road and road.movement == "roundabout":
        return _pushed(f"At the roundabout, {_side(turn, 'straight on')} onto {onto}", push=push)
    over = _over(road, after.street)
    if before.street == after.street and abs(turn) < BEAR_DEGREES:
        if push:
            return f"Get off and push{over}."
        if before.kind == "on foot":
            return f"Ride again along {onto}{over}."
        return (
            f"Straight on{over}."
            if over
            else f"On along {_way(after)}: now {_article(after.kind)}."
        )
    where = _side(turn, "straight on").capitalize()
    comma = "," if over else ""
    return _pushed(f"{where}{over}{comma} onto {onto}", push=push)


def _is_nearest(met: Met, at_m: float, starts: Sequence[float]) -> bool:
    return all(abs(met.at_m - at_m) <= abs(met.at_m - start) for start in starts)


def _pushed(text: str, *, push: bool) -> str:
    return f"{text}, on foot." if push else f"{text}."


def _over(met: Met | None, onto: str) -> str:
    if met is None or met.road == "":
        return ""
    if met.control == "bridge":
        return f" over {met.road} by the bridge"
    if met.control == "underpass":
        return f" under {met.road}"
    if met.movement == "turn":
        return " across the traffic" + (f" of {met.road}" if met.road != onto else "")
    at = _AT.get(met.control, "")
    return f" over {met.road} {at}".rstrip()


def _street(span: Span) -> str:
    what = _BESIDE.get(span.kind, "") if span.is_named else ""
    return f"{what} along {span.street}" if what else _way(span)


def _way(span: Span) -> str:
    return span.street if span.is_named else f"the {span.street[0].lower()}{span.street[1:]}"


def _article(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _side(turn: float, straight: str) -> str:
    size, side = abs(turn), "right" if turn > 0 else "left"
    if size < STRAIGHT_DEGREES:
        return straight
    if size < BEAR_DEGREES:
        return f"bear {side}"
    return f"sharp {side}" if size > SHARP_DEGREES else side
