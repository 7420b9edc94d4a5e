"""Reads the files of one route folder, and collects what is wrong with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from softpedal.library import gpx_reader
from softpedal.library.faults import shown
from softpedal.library.folder_files import DIRECT, NOTES, RETURN, STORY, TRACK, FolderFiles
from softpedal.library.notes import Notes
from softpedal.library.notes_reader import validate
from softpedal.library.place import Placer
from softpedal.library.plain_text import NotText, read_text
from softpedal.library.route import AnotherLine, Line, Route
from softpedal.library.story import story_problems
from softpedal.library.track import MAX_GAP_M, MAX_STEP_M, WGS84, Track
from softpedal.library.values import ROUTE_ID
from softpedal.library.yaml_source import MAX_BYTES, read_yaml
from softpedal.problems import Problem

if TYPE_CHECKING:
    from softpedal.library.gpx_reader import Gpx
    from softpedal.library.yaml_source import Path, YamlSource
    from softpedal.settings import Settings

MAX_STORY_BYTES = 256 * 1024
#: How far from the route's ends the direct road may begin and end.
MAX_DIRECT_OFF_M = 200.0


class FolderReader:
    """Reads one folder; what is wrong is collected in `files.problems`."""

    def __init__(self, files: FolderFiles, settings: Settings) -> None:
        self._files = files
        self._settings = settings
        self._source: YamlSource

    def read(self) -> Route | None:
        """Return the route, or None where too little of it could be read."""
        files = self._files
        if not files.is_followed():
            return None
        if not ROUTE_ID.fullmatch(files.id):
            files.report(
                "folder-name",
                "",
                f"`{shown(files.id)}` cannot be a route's id.",
                "Use lower case a-z, 0-9 and single hyphens.",
            )
        notes = self._notes()
        gpx = self._gpx(TRACK, needed=True)
        back = self._gpx(RETURN, needed=False)
        story = self._story()
        files.refuse_strays(notes, self._source if notes else None)
        if notes is None or gpx is None:
            return None
        return self._route(notes, gpx, back, story)

    def _route(self, notes: Notes, gpx: Gpx, back: Gpx | None, story: str) -> Route:
        name = self._files.name(NOTES)
        placer = Placer(self._source, name, _track(gpx), gpx.waypoints)
        along = placer.line(notes, ())
        variants = self._variants(notes, placer)
        photos = tuple(
            placed
            for placed in placer.points(notes.photos, ("photos",))
            if placed.item.file in self._files.pictures
        )
        self._files.problems += placer.problems
        own_way_back = self._way_back(notes, back)
        direct = self._direct_line(notes, placer.track)
        self._checksum(notes, placer.track)
        places = self._source.places(2)
        return Route(
            self._files.id,
            self._files.folder,
            notes,
            along,
            own_way_back,
            variants,
            photos,
            story,
            direct,
            places,
        )

    def _variants(self, notes: Notes, placer: Placer) -> tuple[AnotherLine, ...]:
        variants = []
        for index, variant in enumerate(notes.variants):
            if not (self._files.folder / variant.file).exists():
                self._report(
                    "file-missing",
                    ("variants", index, "file"),
                    f"There is no {shown(variant.file)} in this folder.",
                    "Add the variant's track, or take the variant out.",
                )
            elif gpx := self._gpx(variant.file, needed=True):
                variants.append(placer.variant(variant, _track(gpx), gpx.waypoints, index))
        return tuple(variants)

    def _direct_line(self, notes: Notes, track: Track) -> Track | None:
        if any(variant.file == DIRECT for variant in notes.variants):
            return None
        gpx = self._gpx(DIRECT, needed=False)
        if gpx is None:
            return None
        line = _track(gpx)
        ends = [[t.lat[i], t.lon[i]] for i in (0, -1) for t in (track, line)]
        _, _, off = WGS84.inv(*np.array(ends[::2]).T[::-1], *np.array(ends[1::2]).T[::-1])
        if max(off) <= MAX_DIRECT_OFF_M and line.is_whole:
            return line
        self._files.advise(
            "direct-ends",
            DIRECT,
            f"The direct road begins {off[0]:,.0f} m from the route's start and ends "
            f"{off[1]:,.0f} m from its finish, or has a gap: it is not shown.",
            f"It goes from start to finish, at most {MAX_DIRECT_OFF_M:.0f} m off, in one piece.",
        )
        return None

    def _way_back(self, notes: Notes, back: Gpx | None) -> Line | None:
        if notes.return_ is not None and not (self._files.folder / RETURN).exists():
            self._report(
                "file-missing",
                ("return",),
                "`return:` has notes for a line of its own, but there is no return.gpx.",
                "Add return.gpx, or note the way back by `direction: return`.",
            )
        if notes.return_ is None and back is not None:
            self._report(
                "notes-missing",
                (),
                "There is a return.gpx, but the notes have no `return:` section.",
                "Add `return:` with `legs:` of its own.",
            )
        if back is None or notes.return_ is None:
            return None
        placer = Placer(self._source, self._files.name(NOTES), _track(back), back.waypoints)
        line = placer.line(notes.return_, ("return",))
        placer.refuse_directions(notes, ())
        placer.refuse_directions(notes.return_, ("return",))
        self._files.problems += placer.problems
        return line

    def _notes(self) -> Notes | None:
        content = self._files.content(NOTES, needed=True, at_most=MAX_BYTES + 1)
        if content is None:
            return None
        source, problems = read_yaml(content, self._files.name(NOTES))
        self._files.problems += problems
        if source is None:
            return None
        self._source = source
        notes, problems = validate(Notes, source, self._files.name(NOTES))
        self._files.problems += problems
        return notes

    def _gpx(self, name: str, *, needed: bool) -> Gpx | None:
        limits = self._settings.limits
        content = self._files.content(name, needed=needed, at_most=limits.bytes + 1)
        if content is None:
            return None
        gpx, problems = gpx_reader.read_gpx(
            content,
            self._files.name(name),
            gpx_reader.Limits(limits.bytes, limits.points, limits.depth),
        )
        self._files.problems += problems
        if gpx is None:
            return None
        if not self._settings.keep_times:
            self._files.problems += [
                Problem(
                    "gpx-private",
                    self._files.name(name),
                    line,
                    column,
                    f"The file carries {what}, which a published track must not.",
                    "Remove it before you commit: `softpedal bare` does.",
                )
                for what, line, column in gpx.private
            ]
        self._odd_steps(_track(gpx), name, is_drawn=gpx.is_drawn or name == DIRECT)
        return gpx

    def _odd_steps(self, track: Track, name: str, *, is_drawn: bool) -> None:
        if not track.is_whole:
            self._files.advise(
                "gpx-gap",
                name,
                f"Two parts of the track are {track.gaps_m.max():,.0f} m apart (more than "
                f"{MAX_GAP_M:.0f} m): the way between is not measured, nor is the detour.",
                "Join the parts, or ride the missing stretch.",
            )
        inside = track.steps_m[track.part[1:] == track.part[:-1]]
        if not is_drawn and inside.size and inside.max() > MAX_STEP_M:
            at = track.chainage_m[:-1][track.part[1:] == track.part[:-1]][inside.argmax()]
            self._files.advise(
                "gpx-step",
                name,
                f"The track jumps {inside.max():,.0f} m in one step at {at / 1000:.2f} km.",
                "A drawn line may; in a recording the receiver had lost its place.",
            )

    def _checksum(self, notes: Notes, track: Track) -> None:
        if notes.track is None or notes.track.checksum == track.checksum:
            return
        self._report(
            "track-changed",
            ("track", "checksum"),
            f"track.gpx is not the line that these notes were written for: it was "
            f"{notes.track.length:,.0f} m long and is {track.length_m:,.0f} m.",
            f"Look over every position, then write `length: {track.length_m:.0f} m` and "
            f"`checksum: {track.checksum}`.",
        )

    def _story(self) -> str:
        content = self._files.content(STORY, needed=False, at_most=MAX_STORY_BYTES + 1)
        if content is None:
            return ""
        if len(content) > MAX_STORY_BYTES:
            self._files.report(
                "file-unreadable",
                STORY,
                f"The story has more than the {MAX_STORY_BYTES:,} bytes that are read.",
                "Shorten it, or put parts of it on a page of their own.",
            )
            return ""
        file = self._files.name(STORY)
        try:
            text = read_text(content)
        except NotText as no:
            problem = Problem("file-unreadable", file, *no.mark, no.message, no.hint)
            self._files.problems.append(problem)
            return ""
        self._files.problems += story_problems(text, file)
        return text

    def _report(self, code: str, path: Path, message: str, hint: str) -> None:
        """Report something in the notes."""
        self._files.report(code, NOTES, message, hint, self._source.place(path))


def _track(gpx: Gpx) -> Track:
    return Track(gpx.lat, gpx.lon, gpx.height, gpx.part)
