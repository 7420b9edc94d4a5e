"""What `softpedal reride` says: for a terminal, and as plain data."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any

from softpedal.draft.draft_record import RECORD
from softpedal.library.folder_files import NOTES, ROUTES
from softpedal.library.plain_text import counted
from softpedal.library.positions import km
from softpedal.upkeep.due_reasons import WAYS
from softpedal.upkeep.reriding.line_cover import HEADING_DEGREES, SAMPLE_M, SHORTEST_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from softpedal.upkeep.reriding.adoption import Adoption
    from softpedal.upkeep.reriding.reride import Differing, Reride
    from softpedal.upkeep.reriding.ride_times import LegTime

SCHEMA_VERSION = 1
#: A leg that took more or less by so many seconds is named.
TOLD_S = 15.0
#: What was ridden elsewhere before or behind the route is told from so many metres on.
_OUTSIDE_M = 20.0


def reride_lines(found: Reride) -> Iterator[str]:
    """Yield the comparison as lines."""
    cover, ridden = found.cover, found.ridden
    day = f"ride of {ridden.on}" if ridden.on else "ride of an unknown day"
    yield f"{found.route.id}: {day}, {WAYS[ridden.direction]}, held against {found.file}."
    if found.is_turned:
        yield (
            "It was ridden from finish to start. The route has no return.gpx, so it is compared "
            f"with {found.file} the other way round; chainages are those of {found.file}."
        )
    if found.is_out_turned:
        yield (
            "Beware: it follows track.gpx, ridden the other way round, more than return.gpx. "
            "Adopting it would give up the way back of its own."
        )
    yield (
        f"Compared every {SAMPLE_M:.0f} m: within {cover.tolerance_m:.0f} m and "
        f"{HEADING_DEGREES:.0f}° it is the same way. The tolerance follows the recordings' noise: "
        f"where the two agree, they lie {cover.apart_m:.1f} m apart (median). What differs for "
        f"less than {SHORTEST_M:.0f} m is taken for noise."
    )
    yield from _extent(found)
    yield ""
    count = len(found.known)
    if not found.differing:
        yield "Nothing differs."
    elif count:
        stretches = "1 stretch differs" if count == 1 else f"{count} stretches differ"
        yield (
            f"{stretches}: {found.there_m:.0f} m of the published line were not ridden, "
            f"{found.new_m:.0f} m were ridden instead."
        )
    for number, one in enumerate(found.known, 1):
        yield from _stretch(number, one, found.line.length_m)
    for one in found.unknown:
        ends = _ends(one.stretch.from_m, one.stretch.to_m)
        yield f"Not known: {ends}, since the recording has a gap there. The line stays as it is."
    yield from _times(found)


def adoption_lines(plan: Adoption, found: Reride) -> Iterator[str]:
    """Yield what adopting would write, with the changes of the notes as a diff."""
    where = f"{ROUTES}/{found.route.id}/{NOTES}"
    if plan.gone:
        yield ""
        yield "Notes whose place the new line does not pass; adopting keeps them as comments:"
        yield from (f"  {where}:{note.line}: {note.words}" for note in plan.gone)
    if plan.photos_left:
        files = "file" if plan.photos_left == 1 else "files"
        yield f"The {files} of {counted(plan.photos_left, 'photo')} will be shown nowhere."
    if plan.stretches:
        yield ""
        yield (
            f"{found.file} would be {km(plan.length_m)} long instead of "
            f"{km(found.line.length_m)}; its points outside the stretches stay as they are written."
        )
        if found.is_turned:
            yield "Beware: the way out goes there too then, since both ways share this line."
    if plan.new_legs_m:
        ends = ", ".join(f"{km(a)} to {km(b)}" for a, b in plan.new_legs_m)
        yield (
            f"The new line needs words of yours from {ends}: street, kind, cues, crossings. Until "
            "then it is put down as a busy road, and a published route fails `softpedal check`."
        )
    if plan.stretches and found.reports_along:
        yield (
            "Placed along the old line, and not moved in reports.yml: "
            f"{counted(found.reports_along, 'open report')}."
        )
    if plan.new_legs_m and RECORD in plan.files:
        yield "Once adopted, `softpedal draft --again` puts in what the map knows of it."
    if plan.stretches:
        yield "Read the cues before and behind the stretches again: they are not changed."
    yield ""
    yield from _diff(plan, where)


def _extent(found: Reride) -> Iterator[str]:
    cover, length_m = found.cover, found.line.length_m
    if cover.to_m - cover.from_m >= length_m - SHORTEST_M:
        yield f"The ride covers the whole line of {km(length_m)}."
    else:
        yield (
            f"The ride covers a part only: {km(cover.to_m - cover.from_m)} of {km(length_m)}, from "
            f"{km(cover.from_m)} to {km(cover.to_m)}. The rest is not compared."
        )
    before, behind = cover.ride_from_m, found.ride.track.length_m - cover.ride_to_m
    outside = [
        f"{metres:.0f} m {words}"
        for metres, words in ((before, "before it"), (behind, "behind it"))
        if metres > _OUTSIDE_M
    ]
    if outside:
        yield f"The ride goes on outside the route, which is left out: {' and '.join(outside)}."


def _stretch(number: int, one: Differing, length_m: float) -> Iterator[str]:
    stretch = one.stretch
    change = stretch.new_m - stretch.there_m
    more = f"{abs(change):.0f} m {'more' if change > 0 else 'less'}"
    if stretch.to_m - stretch.from_m < 1.0:
        head = f"At {km(stretch.from_m)} the ride adds {stretch.new_m:.0f} m and comes back."
    elif stretch.new_m < 1.0:
        head = f"{_ends(stretch.from_m, stretch.to_m)} ({stretch.there_m:.0f} m) was left out."
    else:
        head = (
            f"{_ends(stretch.from_m, stretch.to_m)} ({stretch.there_m:.0f} m): the ride took "
            f"{stretch.new_m:.0f} m instead, {more}."
        )
    if stretch.from_m <= 0.0 or stretch.to_m >= length_m:
        head += f" That is the {'start' if stretch.from_m <= 0.0 else 'finish'} of the route."
    yield f"  {number}. {head}"
    if one.legs:
        there = ", ".join(s if m < 1.0 else f"{s} ({m:.0f} m)" for s, m in one.legs)
        yield f"     Published there: {there}."
    for report in one.reports:
        yield f"     Reported there on {report.on}, still open ({report.key}): {report.text}"


def _ends(from_m: float, to_m: float) -> str:
    return f"{km(from_m)} to {km(to_m)}"


def _times(found: Reride) -> Iterator[str]:
    if not found.times:
        yield ""
        yield "The recording has no clock: times are not compared."
        return
    what = f"{found.against} has" if found.against else "the page reckons"
    moved, stood = (sum(getattr(t, k) for t in found.times) for k in ("moving_s", "standing_s"))
    was_moved = sum(t.expected_moving_s for t in found.times)
    was_stood = sum(t.expected_standing_s for t in found.times)
    yield ""
    yield (
        f"Time on the legs that were ridden: {_clock(moved + stood)}, where {what} "
        f"{_clock(was_moved + was_stood)} (moving {_clock(moved)}, not {_clock(was_moved)}; "
        f"standing {_clock(stood)}, not {_clock(was_stood)})."
    )
    told = [t for t in found.times if abs(t.lost_s) >= TOLD_S]
    if not told:
        yield f"No leg differs by {TOLD_S:.0f} s or more."
    yield from (_leg(time) for time in told)


def _leg(time: LegTime) -> str:
    verb = "lost  " if time.lost_s > 0 else "gained"
    also = "; partly by another way" if time.differs else ""
    return (
        f"  {verb} {_clock(abs(time.lost_s))} on {time.street}, {_ends(time.from_m, time.to_m)}: "
        f"moving {_clock(time.moving_s)}, not {_clock(time.expected_moving_s)}; standing "
        f"{_clock(time.standing_s)}, not {_clock(time.expected_standing_s)}{also}"
    )


def _clock(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"


def _diff(plan: Adoption, where: str) -> Iterator[str]:
    was, now = (text.splitlines() for text in plan.notes())
    yield from difflib.unified_diff(was, now, f"{where} (now)", f"{where} (adopted)", lineterm="")


def reride_document(found: Reride, plan: Adoption | None, why_not: str) -> dict[str, Any]:
    """Return comparison and adoption as plain data.

    Args:
        found: the comparison.
        plan: what adopting would write, None where it cannot be.
        why_not: the reason, "" where there is a plan.
    """
    cover, ridden = found.cover, found.ridden
    return {
        "schema": SCHEMA_VERSION,
        "route": found.route.id,
        "line": found.file,
        "direction": ridden.direction,
        "turned_round": found.is_turned,
        "method": {
            "sample_m": SAMPLE_M,
            "tolerance_m": round(cover.tolerance_m, 1),
            "heading_degrees": HEADING_DEGREES,
            "shortest_m": SHORTEST_M,
            "apart_median_m": round(cover.apart_m, 1),
        },
        "line_m": round(found.line.length_m, 1),
        "covered": {
            "from_m": round(cover.from_m, 1),
            "to_m": round(cover.to_m, 1),
            "same_m": round(cover.same_m, 1),
        },
        "there_m": round(found.there_m, 1),
        "new_m": round(found.new_m, 1),
        "stretches": [_stretch_data(one) for one in found.differing],
        "against": found.against or None,
        "legs": [_leg_data(time) for time in found.times],
        "ridden": {
            "on": ridden.on or None,
            "last": ridden.last or None,
            "moving": ridden.moving,
            "standing": ridden.standing,
            "covers_route": ridden.is_whole,
        },
        "adoption": None if plan is None else _plan_data(plan, found),
        "not_adopted_because": why_not or None,
    }


def _stretch_data(one: Differing) -> dict[str, Any]:
    stretch = one.stretch
    return {
        "from_m": round(stretch.from_m, 1),
        "to_m": round(stretch.to_m, 1),
        "there_m": round(stretch.there_m, 1),
        "new_m": round(stretch.new_m, 1),
        "ride_from_m": round(stretch.ride_from_m, 1),
        "ride_to_m": round(stretch.ride_to_m, 1),
        "recorded": stretch.is_recorded,
        "legs": [{"street": street, "metres": round(m, 1)} for street, m in one.legs],
        "reports": [report.key for report in one.reports],
    }


def _leg_data(time: LegTime) -> dict[str, Any]:
    return {
        "street": time.street,
        "from_m": round(time.from_m, 1),
        "to_m": round(time.to_m, 1),
        "moving_s": round(time.moving_s),
        "standing_s": round(time.standing_s),
        "expected_moving_s": round(time.expected_moving_s),
        "expected_standing_s": round(time.expected_standing_s),
        "lost_s": round(time.lost_s),
        "differs": time.differs,
    }


def _plan_data(plan: Adoption, found: Reride) -> dict[str, Any]:
    where = f"{ROUTES}/{found.route.id}/{NOTES}"
    return {
        "files": sorted(plan.files),
        "line_m": round(plan.length_m, 1),
        "gone": [{"line": note.line, "note": note.words} for note in plan.gone],
        "new_legs": [{"from_m": round(a, 1), "to_m": round(b, 1)} for a, b in plan.new_legs_m],
        "ridden": dict(plan.ridden) if plan.ridden else None,
        "diff": list(_diff(plan, where)),
    }
