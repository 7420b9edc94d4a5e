"""Drafting a route again: what the map says now, merged into what a person has made of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from softpedal.draft.draft_record import read_record, write_record
from softpedal.draft.drafting import NOTHING, draft_ride, record_of
from softpedal.draft.item_pairs import same
from softpedal.draft.matching import match
from softpedal.draft.merge import MergeError, merge
from softpedal.draft.notes_document import draft_line
from softpedal.draft.notes_text import notes_text, plain
from softpedal.draft.pins import pins_of
from softpedal.draft.ride import read_ride
from softpedal.draft.written import comments_of
from softpedal.library.folder_files import NOTES, RETURN, TRACK
from softpedal.library.placeholders import PLACEHOLDERS
from softpedal.library.positions import Unplaced
from softpedal.library.positions import chainage_of as placed
from softpedal.library.values import parse_position
from softpedal.library.whole_file import write_whole
from softpedal.library.yaml_source import read_yaml

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from softpedal.draft.draft_record import DraftRecord
    from softpedal.draft.drafting import Draft
    from softpedal.draft.merge import Merged
    from softpedal.draft.observed import Observed
    from softpedal.draft.ride import Ride
    from softpedal.draft.town import Town
    from softpedal.settings import Settings

#: Keys of the notes that come of the ride, and not of the map and the line.
_HEADING = ("title", "area", "start", "finish", "summary", "status", "ridden")


@dataclass(frozen=True, slots=True)
class Again:
    """A new draft of a route.

    Attributes:
        draft: with the notes that a first draft would have now.
        base: the notes as they were drafted last; empty where they never were.
        place: a position as written → chainage along track.gpx, metres; None where it has none.
        return_place: the same along return.gpx, None without one.
    """

    draft: Draft
    base: dict[str, Any]
    place: Callable[[str], float | None]
    return_place: Callable[[str], float | None] | None

    def merged_into(self, notes: str) -> Merged:
        """Return notes with what the map now says of everything that nobody has touched.

        Raises:
            MergeError: the notes cannot be read.
        """
        return merge(
            self.base,
            notes,
            self.draft.document,
            self.draft.track.length_m,
            chainage_of=self.place,
            return_chainage_of=self.return_place,
            comments=self.draft.comments,
        )


def drafted_again(
    folder: Path, town: Town | None, settings: Settings, observed: Observed | None = None
) -> Again:
    """Return a new draft of a route's line, or lines.

    Args:
        folder: the route's.
        town: None without a map.
        settings: those of the library.
        observed: what a film tells that nobody had before; else what was kept holds.

    Raises:
        RideError: the route has no track that can be read, or most of it is off the map.
        MatchError: nothing of it is on the map.
        DraftRecordError: what is kept of the last draft is damaged.
        MergeError: the same.
    """
    record = read_record(folder)
    ride = read_ride(folder / TRACK, published=True)
    back = read_ride(folder / RETURN, published=True) if (folder / RETURN).is_file() else None
    source, _ = read_yaml(_notes(folder).encode(), NOTES)
    pins = pins_of(source.data if source else None, _places(ride))
    seen = record.seen() if record else NOTHING
    if observed is not None:  # a film that came later
        seen = replace(seen, remarks=observed.remarks, film=observed.film)
    draft = draft_ride(town, ride, settings, pins, both=back is None, observed=seen)
    if back is not None and town is not None:
        draft = _with_return(draft, town, back)
    base = record.document if record else {}
    document = _with_clock(record, draft) if record and record.of_line else draft.document
    draft = replace(draft, document=_heading_of(document, base), of_line=draft.document)
    return Again(draft, base, _places(ride), _places(back) if back is not None else None)


def draft_again(
    folder: Path, town: Town | None, settings: Settings, observed: Observed | None = None
) -> tuple[Draft, Merged]:
    """Return a new draft of a route, and what it would change in the notes.

    Raises:
        MergeError: the notes cannot be read.
        RideError, MatchError, DraftRecordError: see `drafted_again`.
    """
    again = drafted_again(folder, town, settings, observed)
    return again.draft, again.merged_into(_notes(folder))


def is_news(draft: Draft, record: DraftRecord | None) -> bool:
    """Whether a draft says anything else than the one that is kept.

    If not, all that is listed was listed before, such as what the author took out.
    """
    return record is None or not same(plain(record.document), plain(draft.document))


def write_again(folder: Path, draft: Draft, merged: Merged, town: Town | None) -> None:
    """Write merged notes, and keep what was drafted for the next time.

    Raises:
        OSError: the folder cannot be written to; the notes are then as they were.
        DraftRecordError: the same.
    """
    if merged.text != _notes(folder):
        write_whole(folder / NOTES, merged.text.encode())
    write_record(folder, record_of(draft, town))


def _notes(folder: Path) -> str:
    """Return the notes to the letter, line ends and all."""
    try:
        return (folder / NOTES).read_bytes().decode()
    except FileNotFoundError as error:
        raise MergeError(f"{folder} holds no {NOTES}: it is not a route's folder.") from error
    except UnicodeDecodeError as error:
        raise MergeError(f"{NOTES} is not UTF-8 text: save it as such.") from error


def _with_return(draft: Draft, town: Town, ride: Ride) -> Draft:
    chain = match(town.network, ride, town.country)
    items = draft_line(town, chain, both=False).items
    document = draft.document | {"return": items}
    comments = draft.comments | comments_of(items, ride.track, ("return",))
    return replace(draft, document=document, comments=comments)


def _heading_of(document: dict[str, Any], base: dict[str, Any]) -> dict[str, Any]:
    """Return a draft with the heading that the first one had, which knew the ride.

    What that one left to be named, a map may name now.
    """
    kept = {key: base[key] for key in _HEADING if key in base and not _is_unnamed(base[key])}
    known = document | kept
    head = {key: known[key] for key in _HEADING if key in known}
    return head | {key: value for key, value in document.items() if key not in _HEADING}


def _is_unnamed(value: Any) -> bool:
    names = value if isinstance(value, list) else [value]
    return any(isinstance(name, str) and name in PLACEHOLDERS for name in names)


def _with_clock(record: DraftRecord, draft: Draft) -> dict[str, Any]:
    """Return what a first draft would say now, with what only the ride's clock could tell it.

    A published line has no times, so that its draft may differ from that of the ride though the
    map is the same. What differs between two drafts of the line is what the map has changed.
    """
    text = notes_text(record.document, {})
    length_m = draft.track.length_m
    new = merge(record.of_line, text, draft.document, length_m).text
    source, _ = read_yaml(new.encode(), NOTES)
    return dict(source.data) if source is not None else draft.document


def _places(ride: Ride) -> Callable[[str], float | None]:
    track = ride.track

    def place(text: str) -> float | None:
        try:
            return placed(parse_position(text), track, ride.waypoints)
        except (ValueError, Unplaced):
            return None

    return place
