"""All that the notes place along a line → where it is on the new one, and what is left out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from softpedal.draft.changes import place_of
from softpedal.draft.written import position
from softpedal.library.placeholders import STREET
from softpedal.library.positions import km
from softpedal.problems import CannotDoError
from softpedal.upkeep.reriding.line_cover import SHORTEST_M

if TYPE_CHECKING:
    from collections.abc import Mapping

    from softpedal.library.yaml_source import Path
    from softpedal.upkeep.reriding.reanchor import Reanchor

#: What is left of a leg that was cut short is no leg, if it is shorter than this, metres.
LEAST_LEG_M = 30.0
#: The kind of a stretch that nobody has described yet: the one that flatters least.
KIND_UNTIL_SAID = "busy road"

#: Lists of a line, with the keys of the two ends of their items.
_LISTS = {
    "crossings": ("at", ""),
    "dismounts": ("at", ""),
    "hazards": ("at", "to"),
    "landmarks": ("at", ""),
    "barriers": ("at", ""),
    "steep": ("at", ""),
    "signed": ("from", "to"),
    "skip": ("at", ""),
    "wishes": ("at", ""),
    "photos": ("at", ""),
    "via_way": ("at", ""),
}
_REMARKS = ("hardest", "best")
_SHOWN = 60
_DRAFTED = {"source": "map", "confidence": "guess"}
#: Of a leg that carries on beyond a new stretch, what holds where it began only.
_OF_ITS_START = frozenset({"from", "cue", "film", "note"})


class NoAdoptionError(CannotDoError):
    """A line that cannot be adopted as the notes are."""


@dataclass(frozen=True, slots=True)
class Gone:
    """A note whose place the new line does not pass.

    Attributes:
        path: in the notes as they were.
        words: what it is, like `hazards at 0.48 km, speed humps`.
    """

    path: Path
    words: str


@dataclass(frozen=True, slots=True)
class NewLeg:
    """A leg to put in.

    Attributes:
        before: index of the leg of the old notes before which it stands.
        value: the leg.
        comment: what stands behind its street; none on a drafted one, which would be taken for
            its author's word.
    """

    before: int
    value: dict[str, Any]
    comment: str


@dataclass(slots=True)
class Moves:
    """What becomes of the notes along one line.

    Attributes:
        texts: positions to write otherwise, by their path.
        gone: what has no place any more, in the order of the notes.
        legs: to put in, in riding order.
    """

    texts: dict[Path, str] = field(default_factory=dict)
    gone: list[Gone] = field(default_factory=list)
    legs: list[NewLeg] = field(default_factory=list)


def moves(
    data: Mapping[str, Any], under: Path, reanchor: Reanchor, *, drafted: bool = False
) -> Moves:
    """Return what becomes of all that is noted along a line.

    Args:
        data: the notes as they are written.
        under: () for the outbound line, ("return",) for that of return.gpx.
        reanchor: from the old line to the new.
        drafted: whether the route was drafted, so that drafting again may say what is on the new
            line: its legs are then marked as drafted, and not confirmed by anybody.

    Raises:
        NoAdoptionError: a variant leaves or rejoins where the new line does not pass.
    """
    found = Moves()
    section = data[str(under[0])] if under else data
    mark = _DRAFTED if drafted else {}
    _legs(section.get("legs", []), under, reanchor, found, mark)
    for name, keys in _LISTS.items():
        for index, item in enumerate(section.get(name, [])):
            _item(name, item, (*under, name, index), keys, reanchor, found)
    for name in _REMARKS:
        if name in section:
            _item(name, section[name], (*under, name), ("at", ""), reanchor, found)
    for index, variant in enumerate(section.get("variants", [])):
        for key in ("leave", "rejoin"):
            _variant_end(variant, key, ("variants", index, key), reanchor, found)
    return found


def _item(  # noqa: PLR0917 - where it stands and what becomes of it
    name: str,
    item: Mapping[str, Any],
    path: Path,
    keys: tuple[str, str],
    reanchor: Reanchor,
    found: Moves,
) -> None:
    start, end = keys
    at = reanchor.old_m(item[start])
    if at is None:
        return
    to = reanchor.old_m(item[end]) if end in item else None
    if to is None:
        new = reanchor.new_m(at)
        if new is None:
            found.gone.append(Gone(path, _words(name, item, item[start])))
        else:
            _put(found, (*path, start), item[start], new, reanchor)
        return
    both = reanchor.ends(at, to)
    if both is None:
        found.gone.append(Gone(path, _words(name, item, item[start])))
        return
    for key, new in zip((start, end), both, strict=True):
        _put(found, (*path, key), item[key], new, reanchor)


def _words(name: str, item: Mapping[str, Any], at: str) -> str:
    said = place_of(name, {**item, "at": at})
    more = item.get("text", item.get("file", ""))
    more = more if len(more) <= _SHOWN else f"{more[: _SHOWN - 1]}…"
    return f"{said}, {more}" if more else said


def _put(found: Moves, path: Path, text: str, new_m: float, reanchor: Reanchor) -> None:
    now = reanchor.text(text, new_m)
    if now != text:
        found.texts[path] = now


def _variant_end(
    variant: Mapping[str, Any], key: str, path: Path, reanchor: Reanchor, found: Moves
) -> None:
    at = reanchor.old_m(variant[key])
    if at is None:
        return
    new = reanchor.new_m(at)
    if new is None:
        verb = "leaves the route" if key == "leave" else "comes back"
        raise NoAdoptionError(
            f"The variant {variant.get('file', '')} {verb} at {km(at)}, which the new line does "
            "not pass: its own line would hang in the air.",
            "Take the variant and its file out, or change them to fit the new line; then adopt.",
        )
    _put(found, path, variant[key], new, reanchor)


def _legs(
    legs: list[dict[str, Any]],
    under: Path,
    reanchor: Reanchor,
    found: Moves,
    mark: Mapping[str, str],
) -> None:
    starts = [reanchor.old_m(leg["from"]) for leg in legs]
    if not legs or not reanchor.spliced.stretches or any(start is None for start in starts):
        return
    known = [0.0, *(float(start) for start in starts[1:] if start is not None)]
    seen: set[int] = set()
    last = -1
    for at_m, leg, stretch in _in_order(known, reanchor):
        first = not seen and last == -1
        if leg is None:
            value = {"from": position(at_m), "street": STREET, "kind": KIND_UNTIL_SAID, **mark}
            until = km(float(reanchor.spliced.new_to_m[stretch]))
            said = f"new line up to {until}: say what it is; until then it counts as the worst"
            found.legs.append(NewLeg(max(seen, default=-1) + 1, value, "" if mark else said))
        elif leg in seen:
            if last == leg:
                continue
            value = {k: v for k, v in legs[leg].items() if k not in _OF_ITS_START}
            value = {"from": position(at_m), **value}
            found.legs.append(
                NewLeg(leg + 1, value, "" if mark else "carries on behind the new line")
            )
        else:
            seen.add(leg)
            path, text = (*under, "legs", leg, "from"), legs[leg]["from"]
            if first:
                if text != "start" and (starts[leg] or 0.0) > 0.0:
                    found.texts[path] = "start"
            elif text == "start":
                found.texts[path] = position(at_m)
            else:
                _put(found, path, text, at_m, reanchor)
        last = -2 if leg is None else leg
    found.gone += [
        Gone((*under, "legs", index), place_of("legs", leg))
        for index, leg in enumerate(legs)
        if index not in seen
    ]


def _in_order(starts: list[float], reanchor: Reanchor) -> list[tuple[float, int | None, int]]:
    """Return the legs along the new line: where each begins, which it was, or which stretch.

    What was one leg may come twice, on both sides of a new stretch.
    """
    spliced = reanchor.spliced
    rows: list[tuple[float, int, float, int | None, int]] = []
    for index, (a, b) in enumerate(zip(starts, [*starts[1:], reanchor.old.length_m], strict=True)):
        for left, right in reanchor.kept(a, b):
            is_cut = left > a or right < b
            if is_cut and right - left < LEAST_LEG_M:
                continue
            behind = [n for n, s in enumerate(spliced.stretches) if s.to_m == left]
            new = reanchor.new_m(left) if not behind else float(spliced.new_to_m[behind[-1]])
            rows.append((left, 1, new if new is not None else left, index, -1))
    for number, stretch in enumerate(spliced.stretches):
        if stretch.new_m >= SHORTEST_M:
            rows.append((stretch.from_m, 0, float(spliced.new_from_m[number]), None, number))
    return [(at, leg, number) for _, _, at, leg, number in sorted(rows, key=lambda r: r[:2])]
