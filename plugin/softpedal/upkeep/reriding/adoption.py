"""The files of a route folder as they would be with a new ride, and writing them all or none."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections import Counter
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from softpedal.draft.draft_record import RECORD, read_record, record_text
from softpedal.draft.notes_edit import Edit, edited_document
from softpedal.draft.privacy import refuse_private
from softpedal.library.folder_files import NOTES, RETURN, ROUTES, TRACK
from softpedal.library.gpx_reader import Limits, read_gpx
from softpedal.library.load import load_route
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import CannotDoError
from softpedal.upkeep.reriding.line_cover import SHORTEST_M
from softpedal.upkeep.reriding.line_splice import spliced
from softpedal.upkeep.reriding.moved_notes import NoAdoptionError, moves
from softpedal.upkeep.reriding.moved_text import data_of, moved_text, with_edits
from softpedal.upkeep.reriding.reanchor import Reanchor

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.draft.draft_record import DraftRecord
    from softpedal.library.library_alerts import LibraryAlert
    from softpedal.library.private_zones import Zones
    from softpedal.library.track import Track
    from softpedal.library.yaml_source import Path as YamlPath
    from softpedal.settings import Settings
    from softpedal.upkeep.reriding.line_cover import Stretch
    from softpedal.upkeep.reriding.line_splice import Spliced
    from softpedal.upkeep.reriding.moved_notes import Moves
    from softpedal.upkeep.reriding.reride import Reride


@dataclass(frozen=True, slots=True)
class GoneNote:
    """A note without a place on the new line: its line in notes.yml, and what it is."""

    line: int
    words: str


@dataclass(frozen=True, slots=True)
class Adoption:
    """What would be written.

    Attributes:
        folder: the route's.
        was: the files as they were read, by name; None where there was none.
        files: those that change, by name, in the order in which they are written.
        stretches: of the new line that are put in.
        gone: notes that become comments.
        new_legs_m: (from, to) along the new line, metres, of legs that need their author's words.
        length_m: of the new line.
        photos_left: how many photos are named nowhere then; their files stay.
        ridden: the entry that is added, None where none is.
    """

    folder: Path
    was: Mapping[str, bytes | None]
    files: Mapping[str, bytes]
    stretches: tuple[Stretch, ...]
    gone: tuple[GoneNote, ...]
    new_legs_m: tuple[tuple[float, float], ...]
    length_m: float
    photos_left: int
    ridden: Mapping[str, Any] | None

    def notes(self) -> tuple[str, str]:
        """Return the text of the notes before and after."""
        was = (self.was[NOTES] or b"").decode()
        new = self.files.get(NOTES)
        return was, was if new is None else new.decode()


def adoption(
    found: Reride, settings: Settings, zones: Zones, *, keep_line: bool = False
) -> Adoption:
    """Return what a route's files would be with a new ride's line, and with the ride noted.

    Stretches over which the recording has a gap are left as they are.

    Args:
        found: the comparison.
        settings: of the library.
        zones: places that no line may enter.
        keep_line: note the ride only.

    Raises:
        NoAdoptionError: the notes do not allow it.
        CannotDoError: a file cannot be read or changed.
    """
    folder = found.route.folder
    was = {name: _bytes(folder / name) for name in (found.file, NOTES, RECORD)}
    content, notes = was[found.file], was[NOTES]
    if content is None or notes is None:
        raise CannotDoError(f"{folder} has lost files while it was looked at.", "Look again.")
    text = before = notes.decode()
    stretches = () if keep_line else tuple(one.stretch for one in found.known)
    files: dict[str, bytes] = {}
    under: YamlPath = ("return",) if found.file == RETURN else ()
    what: Moves | None = None
    new: Spliced | None = None
    track = found.line.track
    if stretches:
        limits = Limits(settings.limits.bytes, settings.limits.points, settings.limits.depth)
        new = spliced(content, track, found.ride.track, stretches, limits)
        refuse_private(new.track.lat, new.track.lon, new.track.part, zones)
        files[found.file] = new.content
        gpx, _ = read_gpx(content, found.file, limits)
        places = Reanchor(track, gpx.waypoints if gpx else (), new, found.cover.tolerance_m)
        record = read_record(folder)
        what = moves(data_of(text), under, places, drafted=record is not None)
        day = f" ridden on {found.ridden.on}" if found.ridden.on else ""
        text = moved_text(text, under, what, f"Not on the line{day}")
        if record is not None:
            files[RECORD] = record_text(_moved_record(record, under, places)).encode()
        track = new.track
    ridden = _entry(found, keep_line=keep_line)
    text = with_edits(text, _head_edits(data_of(text), track if stretches else None, found, ridden))
    if text != before:
        files[NOTES] = text.encode()
    return Adoption(
        folder,
        was,
        files,
        stretches,
        _gone(what, before),
        _new_legs(stretches, new),
        track.length_m,
        sum(gone.path[0] == "photos" for gone in what.gone) if what else 0,
        ridden,
    )


def refuse_faulty(
    plan: Adoption, settings: Settings, zones: Zones, alerts: Sequence[LibraryAlert]
) -> None:
    """Refuse what would not load, or would load with problems that are not there now.

    Raises:
        NoAdoptionError: it would not.
    """
    before = load_route(plan.folder, settings, zones, alerts)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / ROUTES / plan.folder.name
        shutil.copytree(plan.folder, folder, symlinks=True)
        for name, content in plan.files.items():
            (folder / name).write_bytes(content)
        after = load_route(folder, settings, zones, alerts)
    known = Counter((p.code, p.severity) for p in before.problems)
    known["file-unknown", "advice"] += plan.photos_left
    for problem in after.problems:
        known[problem.code, problem.severity] -= 1
        if known[problem.code, problem.severity] < 0:
            hint = "Nothing is written. Mend the notes beside the stretch first, then adopt."
            raise NoAdoptionError(f"With the new line there would be a fault: {problem}", hint)


def write(plan: Adoption) -> None:
    """Write all files, or leave the folder as it is.

    Raises:
        CannotDoError: a file has changed since it was read, or cannot be written.
    """
    for name, content in plan.was.items():
        if _bytes(plan.folder / name) != content:
            raise CannotDoError(
                f"{name} has changed in the meantime; nothing is written.", "Compare again."
            )
    parts = {name: plan.folder / f".{name}.{os.getpid()}.part" for name in plan.files}
    done: list[str] = []
    try:
        for name, part in parts.items():
            part.write_bytes(plan.files[name])
        for name, part in parts.items():
            part.replace(plan.folder / name)
            done.append(name)
    except OSError as error:
        for name in done:
            (plan.folder / name).write_bytes(plan.was[name] or b"")
        why = f"{error.filename or plan.folder} cannot be written: {error.strerror}."
        raise CannotDoError(why, "The route is as it was.") from error
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _entry(found: Reride, *, keep_line: bool) -> dict[str, Any] | None:
    ride = found.ridden
    if not ride.moves_on or (keep_line and not found.is_along_line):
        return None
    entry: dict[str, Any] = {"on": ride.on, "direction": ride.direction}
    if ride.moving is not None:
        entry |= {"moving": ride.moving, "standing": ride.standing}
    return entry


def _head_edits(
    data: Mapping[str, Any], track: Track | None, found: Reride, ridden: dict[str, Any] | None
) -> list[Edit]:
    edits = []
    if ridden is not None:
        rides = data.get("ridden")
        if rides:
            edits.append(Edit("insert", ("ridden", len(rides)), ridden))
        elif rides is None and "ridden" not in data:
            edits.append(Edit("add", ("ridden",), [ridden], after="status"))
        else:
            edits.append(Edit("set", ("ridden",), [ridden]))
    if track is not None and "track" in data and found.file == TRACK:
        edits += _track_edits(data["track"], track)
    return edits


def _track_edits(mark: Mapping[str, Any], track: Track) -> list[Edit]:
    """Return how the mark of a line is written for another, with as many digits as it has."""
    digits = 1 if "." in str(mark.get("length", "")) else 0
    return [
        Edit("set", ("track", "length"), f"{track.length_m:.{digits}f} m"),
        Edit("set", ("track", "checksum"), track.checksum),
    ]


def _gone(what: Moves | None, text: str) -> tuple[GoneNote, ...]:
    if what is None:
        return ()
    source, _ = read_yaml(text.encode(), NOTES)
    assert source is not None
    notes = [GoneNote(source.place(gone.path)[0], gone.words) for gone in what.gone]
    return tuple(sorted(notes, key=lambda note: note.line))


def _new_legs(stretches: Sequence[Stretch], new: Spliced | None) -> tuple[tuple[float, float], ...]:
    if new is None:
        return ()
    ends = zip(stretches, new.new_from_m.tolist(), new.new_to_m.tolist(), strict=True)
    return tuple((a, b) for stretch, a, b in ends if stretch.new_m >= SHORTEST_M)


def _moved_record(record: DraftRecord, under: YamlPath, places: Reanchor) -> DraftRecord:
    """Return what was drafted, along the new line; what has no place there is left out."""
    moved = replace(
        record,
        document=_moved_document(record.document, under, places),
        of_line=_moved_document(record.of_line, under, places),
    )
    return moved if under else replace(moved, observed=_moved_observed(record, places))


def _moved_document(document: dict[str, Any], under: YamlPath, places: Reanchor) -> dict[str, Any]:
    if under and under[0] not in document:
        return document
    what = moves(document, under, places, drafted=True)
    edits = [Edit("set", path, text) for path, text in what.texts.items()]
    edits += [Edit("remove", gone.path) for gone in what.gone]
    # As if they had been drafted, so that drafting again puts in what the map knows of them.
    edits += [Edit("insert", (*under, "legs", leg.before), leg.value) for leg in what.legs]
    if not under and "track" in document:
        edits += _track_edits(document["track"], places.spliced.track)
    changed: dict[str, Any] = edited_document(document, edits)
    return changed


def _moved_observed(record: DraftRecord, places: Reanchor) -> dict[str, Any]:
    if not record.observed:
        return record.observed
    seen = record.seen()

    def along(items: Sequence[Any]) -> tuple[Any, ...]:
        new = [(item, places.new_m(item.at_m)) for item in items]
        return tuple(replace(item, at_m=at) for item, at in new if at is not None)

    film = [(second, places.new_m(at)) for second, at in seen.film]
    return asdict(
        replace(
            seen,
            stops=along(seen.stops),
            marks=along(seen.marks),
            remarks=along(seen.remarks),
            film=tuple((second, at) for second, at in film if at is not None),
        )
    )
