"""From a route folder on disk to a Route, or to Problems; one bad folder never stops the others."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from softpedal.library import gpx_reader
from softpedal.library.notes import Notes
from softpedal.library.notes_reader import validate
from softpedal.library.place import Placer
from softpedal.library.route import Line, Route
from softpedal.library.story import story_problems
from softpedal.library.track import MAX_GAP_M, MAX_STEP_M, Track
from softpedal.library.yaml_source import read_yaml
from softpedal.problems import Problem, sort_problems
from softpedal.settings import Settings

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.gpx_reader import Gpx
    from softpedal.library.yaml_source import YamlSource

ROUTES = "routes"
NOTES, TRACK, RETURN, STORY, PHOTOS = (
    "notes.yml",
    "track.gpx",
    "return.gpx",
    "story.md",
    "photos",
)
PHOTO_SUFFIXES = (".jpg", ".jpeg", ".png", ".webp")
MAX_STORY_BYTES = 256 * 1024

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True)
class Loaded:
    """What became of one route folder: a route, or the reasons why not; advice in either case."""

    id: str
    folder: Path
    route: Route | None
    problems: tuple[Problem, ...]


def route_folders(library: Path) -> list[Path]:
    """Return the route folders of a library, by name; hidden ones are passed over."""
    routes = library / ROUTES
    if not routes.is_dir():
        return []
    return sorted(p for p in routes.iterdir() if p.is_dir() and not p.name.startswith((".", "_")))


def load_settings(path: Path) -> tuple[Settings | None, list[Problem]]:
    """Read softpedal.yml; a file that is not there means the defaults."""
    if not path.exists():
        return Settings(), []
    source, problems = read_yaml(path.read_bytes(), path.name)
    if source is None:
        return None, problems
    if source.data is None:
        return Settings(), []
    return validate(Settings, source, path.name, "settings-value")


def load_route(folder: Path, settings: Settings | None = None) -> Loaded:
    """Read one route folder.

    Args:
        folder: the folder; its name is the route's id.
        settings: those of its library.

    Returns:
        The route, or None if any problem is an error; files in problems are relative to the
        library (the folder above `routes/`).
    """
    reader = _Folder(folder, settings or Settings())
    try:
        route = reader.read()
    except OSError as error:
        reader.report("file-unreadable", folder.name, f"Cannot be read: {error.strerror}.")
        route = None
    problems = sort_problems(replace(p, route=folder.name) for p in reader.problems)
    failed = any(p.is_error for p in problems)
    return Loaded(folder.name, folder, None if failed else route, tuple(problems))


class _Folder:
    """Reads the files of one folder and collects what is wrong with them."""

    def __init__(self, folder: Path, settings: Settings) -> None:
        self.folder = folder
        self.settings = settings
        self.problems: list[Problem] = []

    def report(self, code: str, file: str, message: str, hint: str = "") -> None:
        self.problems.append(Problem(code, self._name(file), 0, 0, message, hint))

    def read(self) -> Route | None:
        if not _ID.fullmatch(self.folder.name):
            self.report(
                "folder-name",
                "",
                f"`{self.folder.name}` cannot be a route's id.",
                "Use lower case a-z, 0-9 and single hyphens.",
            )
        notes, source = self._notes()
        gpx = self._gpx(TRACK, needed=True)
        back = self._gpx(RETURN, needed=False)
        story = self._story()
        self._known_files(notes)
        if notes is None or source is None or gpx is None:
            return None
        return self._route(notes, source, gpx, back, story)

    def _route(
        self, notes: Notes, source: YamlSource, gpx: Gpx, back: Gpx | None, story: str
    ) -> Route:
        placer = Placer(source, self._name(NOTES), _track(gpx), gpx.waypoints)
        along = placer.line(notes, ())
        variants = tuple(
            placer.variant(variant, _track(other), index)
            for index, variant in enumerate(notes.variants)
            if (other := self._gpx(variant.file, needed=True))
        )
        photos = placer.points(notes.photos, ("photos",))
        self.problems += placer.problems
        own_way_back = self._way_back(notes, source, back)
        self._checksum(notes, source, placer.track)
        return Route(
            self.folder.name, self.folder, notes, along, own_way_back, variants, photos, story
        )

    def _way_back(self, notes: Notes, source: YamlSource, back: Gpx | None) -> Line | None:
        file = self._name(NOTES)
        if (back is None) != (notes.return_ is None):
            if notes.return_ is not None and not (self.folder / RETURN).exists():
                place = source.key_marks.get(("return",), (1, 1))
                self.problems.append(
                    Problem(
                        "file-missing",
                        file,
                        *place,
                        "`return:` has notes for a line of its own, but there is no return.gpx.",
                        "Add return.gpx, or note the way back by `direction: return`.",
                    )
                )
            elif notes.return_ is None:
                self.problems.append(
                    Problem(
                        "notes-missing",
                        file,
                        1,
                        1,
                        "There is a return.gpx, but the notes have no `return:` section.",
                        "Add `return:` with `legs:` of its own.",
                    )
                )
            return None
        if back is None or notes.return_ is None:
            return None
        placer = Placer(source, file, _track(back), back.waypoints)
        line = placer.line(notes.return_, ("return",))
        placer.refuse_directions(notes, ())
        placer.refuse_directions(notes.return_, ("return",))
        self.problems += placer.problems
        return line

    def _notes(self) -> tuple[Notes | None, YamlSource | None]:
        content = self._content(NOTES, needed=True)
        if content is None:
            return None, None
        source, problems = read_yaml(content, self._name(NOTES))
        self.problems += problems
        if source is None:
            return None, None
        notes, problems = validate(Notes, source, self._name(NOTES))
        self.problems += problems
        return notes, source

    def _gpx(self, name: str, *, needed: bool) -> Gpx | None:
        content = self._content(name, needed=needed, limit=self.settings.limits.bytes)
        if content is None:
            return None
        limits = gpx_reader.Limits(
            self.settings.limits.bytes, self.settings.limits.points, self.settings.limits.depth
        )
        gpx, problems = gpx_reader.read_gpx(content, self._name(name), limits)
        self.problems += problems
        if gpx is None:
            return None
        if not self.settings.keep_times:
            self.problems += [
                Problem(
                    "gpx-private",
                    self._name(name),
                    line,
                    column,
                    f"The file carries {what}, which a published track must not.",
                    "Remove it before you commit: it can say when you were where, and with what.",
                )
                for what, line, column in gpx.private
            ]
        self._odd_steps(_track(gpx), name, is_drawn=gpx.is_drawn)
        return gpx

    def _odd_steps(self, track: Track, name: str, *, is_drawn: bool) -> None:
        if not track.is_whole:
            self._advise(
                "gpx-gap",
                name,
                f"Two parts of the track are {track.gaps_m.max():,.0f} m apart (more than "
                f"{MAX_GAP_M:.0f} m): the way between is not measured, nor is the detour.",
                "Join the parts, or ride the missing stretch.",
            )
        inside = track.steps_m[track.part[1:] == track.part[:-1]]
        if not is_drawn and inside.size and inside.max() > MAX_STEP_M:
            at = track.chainage_m[:-1][track.part[1:] == track.part[:-1]][inside.argmax()]
            self._advise(
                "gpx-step",
                name,
                f"The track jumps {inside.max():,.0f} m in one step at {at / 1000:.2f} km.",
                "A drawn line may; in a recording the receiver had lost its place.",
            )

    def _checksum(self, notes: Notes, source: YamlSource, track: Track) -> None:
        if notes.track is None or notes.track.checksum == track.checksum:
            return
        self.problems.append(
            Problem(
                "track-changed",
                self._name(NOTES),
                *source.place(("track", "checksum")),
                f"track.gpx is not the line that these notes were written for: it was "
                f"{notes.track.length:,.0f} m long and is {track.length_m:,.0f} m.",
                f"Look over every position, then write `length: {track.length_m:.0f} m` and "
                f"`checksum: {track.checksum}`.",
            )
        )

    def _story(self) -> str:
        content = self._content(STORY, needed=False, limit=MAX_STORY_BYTES)
        if content is None:
            return ""
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            self.report("file-unreadable", STORY, "Not UTF-8 text.", "Save the file as UTF-8.")
            return ""
        self.problems += story_problems(text, self._name(STORY))
        return text

    def _content(self, name: str, *, needed: bool, limit: int | None = None) -> bytes | None:
        path = self.folder / name
        if path.is_symlink():
            self.report("file-unreadable", name, "A link to another file is not followed.")
        elif path.is_file():
            if limit is not None and path.stat().st_size > limit:
                code = "gpx-limit" if name.endswith(".gpx") else "file-unreadable"
                self.report(code, name, f"The file is larger than {limit:,} bytes.")
                return None
            return path.read_bytes()
        elif needed:
            self.report("file-missing", name, f"There is no {name} in this folder.")
        return None

    def _known_files(self, notes: Notes | None) -> None:
        known = {NOTES, TRACK, RETURN, STORY, PHOTOS}
        variants = {v.file for v in notes.variants} if notes else set()
        for path in sorted(self.folder.iterdir()):
            if path.name in known | variants or path.name.startswith("."):
                continue
            if path.suffix.lower() == ".gpx" and notes:
                self.report(
                    "file-unknown",
                    path.name,
                    "This track is named nowhere; a raw recording must not enter the library.",
                    "Remove it, or name it under `variants`.",
                )
            elif notes:
                self._advise("file-unknown", path.name, "This file is not part of a route folder.")
        photos = self.folder / PHOTOS
        for photo in notes.photos if notes else []:
            path = photos / photo.file
            if path.is_symlink() or not path.is_file():
                self.report("photo-file", NOTES, f"There is no photos/{photo.file}.")
            elif path.suffix.lower() not in PHOTO_SUFFIXES:
                self.report(
                    "photo-file", NOTES, f"photos/{photo.file} is not a JPEG, PNG or WebP file."
                )

    def _advise(self, code: str, file: str, message: str, hint: str = "") -> None:
        problem = Problem(code, self._name(file), 0, 0, message, hint, severity="advice")
        self.problems.append(problem)

    def _name(self, file: str) -> str:
        return "/".join(part for part in (ROUTES, self.folder.name, file) if part)


def _track(gpx: Gpx) -> Track:
    return Track(gpx.lat, gpx.lon, gpx.height, gpx.part)
