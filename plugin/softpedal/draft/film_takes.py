"""Which second of the ride each second of a film shows: takes, and the cuts between them.

Within a take the film runs on the ride's clock: ride time = film second + offset. A film leaves
things out and adds nothing, so that the offset only grows. What is left out is most often a wait.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from softpedal.draft.film_points import FilmError
from softpedal.library.film_time import film_text
from softpedal.library.positions import km

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.film_clock import RideClock, Wait
    from softpedal.draft.film_points import SyncPoint

#: A second of the film is typed as a whole one.
FILM_S = 0.5
#: Points of one take may disagree by so much, seconds; a film may run so much long.
AGREE_S, LONG_S = 3.0, 8.0
#: A wait fits what was left out within so many seconds, or this share of it.
FIT_S, FIT_SHARE = 4.0, 0.1
#: Of so many waits between two points, which were left out is tried.
_MOST_WAITS = 10
#: Of a wait of which a part was left out, each second kept counts so much against it.
_PART = 0.1
#: Without any point, the film may have begun so much before or after the recording.
BLIND_S = 60.0
#: Where a wait was left out at a typed cut and no point tells, it went on for at most so long.
_AFTER_S = 15.0


@dataclass(frozen=True, slots=True)
class Take:
    """A stretch of film from `from_s` to where the next begins, offsets in seconds.

    `low` and `high` bound the offset as far as is known.
    """

    from_s: float
    offset: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class _Group:
    """Points of one take: first and last second of the film, and its offset."""

    first_s: float
    last_s: float
    offset: float
    low: float
    high: float
    points: tuple[SyncPoint, ...]


def takes_of(
    clock: RideClock, points: Sequence[SyncPoint], cuts: Sequence[float]
) -> tuple[tuple[Take, ...], tuple[str, ...]]:
    """Return the takes of a film in its order, the first from minus infinity, and what was decided.

    Raises:
        FilmError: between two points the film is longer than the ride.
    """
    said: list[str] = []
    if not points:
        offset = clock.start_s
        said.append(
            "no --sync given: the film is taken to begin with the line, and nothing that is "
            "said in it is placed well"
        )
        groups = [_Group(0.0, 0.0, offset, offset - BLIND_S, offset + BLIND_S, ())]
    else:
        groups = _groups(clock, sorted(points, key=lambda p: p.film_s), cuts)
    takes = _before(clock, groups[0], [c for c in cuts if c <= groups[0].first_s], said)
    for one, other in pairwise(groups):
        takes.append(Take(one.first_s, one.offset, one.low, one.high))
        between = [cut for cut in cuts if one.last_s < cut <= other.first_s]
        takes += _between(clock, one, other, between, said)
    last = groups[-1]
    takes.append(Take(last.first_s, last.offset, last.low, last.high))
    takes += _after(clock, last, [c for c in cuts if c > last.last_s], said)
    takes[0] = Take(-math.inf, takes[0].offset, takes[0].low, takes[0].high)
    return tuple(_near_cuts(_rising(takes), cuts)), tuple(said)


def _interval(clock: RideClock, point: SyncPoint) -> tuple[float, float, float, float]:
    """Return bounds of the offset at a point, and inner bounds between which none is likelier."""
    if point.ride_s is not None:
        middle = point.ride_s - point.film_s
        off = point.off_s + FILM_S
        return middle - off, middle + off, middle, middle
    low, high = clock.times(point.at_m - point.off_m, point.at_m + point.off_m)
    inner_low, inner_high = clock.times(point.at_m, point.at_m)
    film = point.film_s
    return low - film - FILM_S, high - film + FILM_S, inner_low - film, inner_high - film


def _groups(clock: RideClock, points: Sequence[SyncPoint], cuts: Sequence[float]) -> list[_Group]:
    """Return the points by take: no typed cut between them, and offsets that agree."""
    rows: list[list[SyncPoint]] = []
    low = high = 0.0
    for point in points:
        begin, end, *_ = _interval(clock, point)
        if rows:
            before = rows[-1][-1]
            cut = any(before.film_s < c <= point.film_s for c in cuts)
            if end < low - LONG_S:
                seconds = point.film_s - before.film_s
                raise FilmError(
                    f"From `{before.text or film_text(before.film_s)}` to "
                    f"`{point.text or film_text(point.film_s)}` the film runs for {seconds:.0f} s, "
                    f"{low - end:.0f} s longer than the ride took.",
                    "A film leaves out, and adds nothing: look at both points again.",
                )
            if not cut and begin <= high + AGREE_S and end >= low - LONG_S:
                rows[-1].append(point)
                low, high = (max(low, begin), min(high, end))
                low, high = min(low, high), max(low, high)
                continue
        rows.append([point])
        low, high = begin, end
    return [_group(clock, row) for row in rows]


def _group(clock: RideClock, row: Sequence[SyncPoint]) -> _Group:
    found = [_interval(clock, point) for point in row]
    low, high = max(f[0] for f in found), min(f[1] for f in found)
    low, high = min(low, high), max(low, high)
    weights = [1 / max(end - begin, 0.5) ** 2 for begin, end, _, _ in found]
    middles = [(a + b) / 2 for _, _, a, b in found]
    mean = sum(w * m for w, m in zip(weights, middles, strict=True)) / sum(weights)
    offset = min(max(mean, low), high)
    return _Group(row[0].film_s, row[-1].film_s, offset, low, high, tuple(row))


def _between(
    clock: RideClock, one: _Group, other: _Group, cuts: Sequence[float], said: list[str]
) -> list[Take]:
    """Return the takes that begin between two groups of points, the second's own included."""
    gone = other.offset - one.offset
    if gone <= FILM_S and not cuts:
        return []
    if cuts:
        return _typed(clock, one, other, cuts, said)
    if gone <= AGREE_S:
        middle = (one.last_s + other.first_s) / 2
        return [
            Take(one.last_s, one.offset, one.low, other.high),
            Take(middle, other.offset, one.low, other.high),
        ]
    fits = _fits(clock, one, other)
    if fits:
        best = fits[0]
        for wait, second in zip(best, _seconds(best, one), strict=True):
            said.append(_wait_words(wait.seconds, second, wait))
        takes = _blend([_at_waits(fit, one, other) for fit in fits], one, other)
        is_plain = len(fits) == len(best) == 1 and best[0].seconds - gone <= FIT_S
        return takes if is_plain else _unsure(takes, one, other)
    middle = (one.last_s + other.first_s) / 2
    here = clock.at(middle + one.offset)
    there = clock.at(middle + other.offset)
    said.append(
        f"a cut of {gone:.0f} s somewhere between {film_text(one.last_s)} and "
        f"{film_text(other.first_s)}, taken to be at {film_text(middle)}: what is said between "
        f"may be {there - here:.0f} m off; `--cut` says where it is"
    )
    return [
        Take(one.last_s, one.offset, one.low, other.high),
        Take(middle, other.offset, one.low, other.high),
        Take(other.first_s, other.offset, other.low, other.high),
    ]


def _unsure(takes: Sequence[Take], one: _Group, other: _Group) -> list[Take]:
    """Return takes between two groups with the bounds of a cut of which nothing is known."""
    return [
        take
        if take.from_s >= other.first_s
        else Take(take.from_s, take.offset, min(take.low, one.low), max(take.high, other.high))
        for take in takes
    ]


def _wait_words(gone: float, second: float, wait: Wait) -> str:
    return (
        f"a cut of {gone:.0f} s at {film_text(second)}, where the ride stood "
        f"{wait.seconds:.0f} s at {km(wait.at_m)}"
    )


def _fits(clock: RideClock, one: _Group, other: _Group) -> list[tuple[Wait, ...]]:
    """Return the sets of waits that may be what was left out, the likeliest first."""
    gone = other.offset - one.offset
    unsure = (one.high - one.low + other.high - other.low) / 2
    within = max(FIT_S, FIT_SHARE * gone) + min(unsure, FIT_S)
    begin, end = one.last_s + one.offset, other.first_s + other.offset
    waits = [w for w in clock.waits if w.to_s > begin and w.from_s < end]
    waits = sorted(waits, key=lambda w: -w.seconds)[:_MOST_WAITS]
    waits.sort(key=lambda w: w.from_s)
    found: list[tuple[float, tuple[Wait, ...]]] = []
    for many in range(1, len(waits) + 1):
        for chosen in combinations(waits, many):
            spare = sum(w.seconds for w in chosen) - gone
            if abs(spare) <= within:
                found.append((abs(spare) + 2.0 * (many - 1), chosen))
            elif many == 1 and 0 < spare <= gone:  # part of a wait was kept in the film
                found.append((within + _PART * spare, chosen))
    found.sort(key=lambda each: each[0])
    return [chosen for _, chosen in found]


def _seconds(waits: Sequence[Wait], one: _Group) -> list[float]:
    """Return the seconds of the film at which waits were left out."""
    offset, seconds = one.offset, []
    for wait in waits:
        seconds.append(max(wait.from_s - offset, one.last_s))
        offset += wait.seconds
    return seconds


def _at_waits(waits: Sequence[Wait], one: _Group, other: _Group) -> list[tuple[float, float]]:
    """Return (second, offset from there on) where waits were left out, the last to the other's."""
    gone = other.offset - one.offset
    whole = sum(w.seconds for w in waits)
    offset, steps = one.offset, []
    for wait in waits:
        jump = wait.seconds * gone / whole
        second = wait.from_s - offset - (jump - wait.seconds) / 2
        offset += jump
        steps.append((min(max(second, one.last_s), other.first_s), offset))
    return steps


def _blend(ways: Sequence[list[tuple[float, float]]], one: _Group, other: _Group) -> list[Take]:
    """Return the takes of the first way, with bounds that hold for all."""
    seconds = sorted({one.last_s, other.first_s, *(s for way in ways for s, _ in way)})
    slack_low, slack_high = one.offset - one.low, one.high - one.offset
    slack_low = max(slack_low, other.offset - other.low)
    slack_high = max(slack_high, other.high - other.offset)
    takes = []
    for second in seconds:
        offsets = [
            max([one.offset, *(offset for at, offset in way if at <= second)]) for way in ways
        ]
        takes.append(Take(second, offsets[0], min(offsets) - slack_low, max(offsets) + slack_high))
    return takes


def _typed(
    clock: RideClock, one: _Group, other: _Group, cuts: Sequence[float], said: list[str]
) -> list[Take]:
    """Return the takes after each typed cut between two groups; the last is the other's."""
    offset, top = one.offset, other.offset
    if len(cuts) > 1 and top < offset:
        top = offset
    offsets: list[tuple[float, float, float]] = []
    for cut in cuts[:-1]:
        wait = _wait_at(clock, cut + offset)
        if wait is None:
            break
        offset = min(max(wait.to_s - cut, offset), top)
        offsets.append((offset, one.low, other.high))
    left = cuts[len(offsets) : -1]
    back: list[tuple[float, float, float]] = []
    upper = top
    for cut in reversed(cuts[len(offsets) + 1 :]):
        wait = _wait_at(clock, cut + upper)
        if wait is None:
            break
        upper = max(min(wait.from_s - cut, upper), offset)
        back.append((upper, one.low, other.high))
    back = back[: len(left)]
    unknown = len(left) - len(back)
    middle = [((offset + upper) / 2, one.low, other.high)] * unknown
    if unknown:
        said.append(
            f"between the cuts at {', '.join(map(film_text, cuts))} a take has no point of its "
            "own: what is said in it is placed roughly; give it a `--sync`"
        )
    rows = [*offsets, *middle, *reversed(back), (other.offset, other.low, other.high)]
    if _all_waits(clock, one, cuts, rows):
        slack = other.high - other.low
        rows = [(o, max(low, o - slack), min(high, o + slack)) for o, low, high in rows]
    return [Take(cut, *row) for cut, row in zip(cuts, rows, strict=True)]


def _all_waits(
    clock: RideClock,
    one: _Group,
    cuts: Sequence[float],
    rows: Sequence[tuple[float, float, float]],
) -> bool:
    """Whether each typed cut leaves out a whole wait: then what lies between them is well known."""
    before = one.offset
    for cut, (offset, _, _) in zip(cuts, rows, strict=True):
        wait = _wait_at(clock, cut + before)
        if wait is None or abs(wait.to_s - cut - offset) > FIT_S:
            return False
        before = offset
    return True


def _wait_at(clock: RideClock, ride_s: float) -> Wait | None:
    """Return the wait that a time lies in, or nearly."""
    return next((w for w in clock.waits if w.from_s - FIT_S <= ride_s <= w.to_s + FIT_S), None)


def _before(clock: RideClock, group: _Group, cuts: Sequence[float], said: list[str]) -> list[Take]:
    """Return the takes before the first points, from behind."""
    takes: list[Take] = []
    offset, low, high = group.offset, group.low, group.high
    for index in range(len(cuts) - 1, -1, -1):
        cut = cuts[index]
        takes.append(Take(cut, offset, low, high))
        wait = _wait_at(clock, cut + offset)
        if wait is not None:
            offset = min(wait.from_s - cut, offset)
            low = min(offset - _AFTER_S, low)
        else:
            low = min(low, clock.start_s - (cuts[index - 1] if index else 0.0))
            said.append(_unknown_words(cut, "before"))
    takes.append(Take(-math.inf, offset, low, high))
    return takes[::-1]


def _after(clock: RideClock, group: _Group, cuts: Sequence[float], said: list[str]) -> list[Take]:
    """Return the takes after the last points."""
    takes: list[Take] = []
    offset, low, high = group.offset, group.low, group.high
    for cut in cuts:
        wait = _wait_at(clock, cut + offset)
        if wait is not None:
            offset = max(wait.to_s - cut, offset)
            high = max(high, offset + _AFTER_S)
        else:
            high = max(high, clock.end_s - cut)
            said.append(_unknown_words(cut, "after"))
        takes.append(Take(cut, offset, low, high))
    return takes


def _unknown_words(cut: float, side: str) -> str:
    return (
        f"how much was left out at {film_text(cut)} is not known: what is said {side} it is "
        "placed as if nothing was; give that take a `--sync`"
    )


def _rising(takes: Sequence[Take]) -> list[Take]:
    """Return takes in the order of the film, whose offsets never fall."""
    found: list[Take] = []
    for take in sorted(takes, key=lambda t: t.from_s):
        offset = max(take.offset, found[-1].offset) if found else take.offset
        sound = Take(take.from_s, offset, min(take.low, offset), max(take.high, offset))
        if found and found[-1].from_s == take.from_s:
            found.pop()
        found.append(sound)
    return found


def _near_cuts(takes: Sequence[Take], cuts: Sequence[float]) -> list[Take]:
    """Return takes whose bounds hold although a typed cut is good to a second only."""
    found = list(takes)
    for cut in cuts:
        for index in range(len(found) - 1, 0, -1):
            here, before = found[index], found[index - 1]
            if here.from_s != cut:
                continue
            low, high = min(here.low, before.low), max(here.high, before.high)
            ends_s = found[index + 1].from_s if index + 1 < len(found) else math.inf
            late = min(cut + 1.0, ends_s)
            early = max(cut - 1.0, before.from_s)
            pieces = [Take(cut, here.offset, low, high)]
            if late < ends_s:
                pieces.append(Take(late, here.offset, here.low, here.high))
            if early > before.from_s:
                pieces.insert(0, Take(early, before.offset, low, high))
            found[index : index + 1] = pieces
            break
    return found
