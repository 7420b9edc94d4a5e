"""The one way to report a fault: a Problem, with its place and its remedy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Iterable

Severity = Literal["error", "advice"]

#: Every code that the tool can report, with the rule behind it. Codes are stable.
CODES: dict[str, str] = {
    # the folder and its files
    "folder-name": "A route folder's name is its id: a-z, 0-9 and single hyphens.",
    "file-missing": "A route folder holds notes.yml and track.gpx.",
    "file-unknown": "A route folder holds only files that the format names.",
    "file-unreadable": "Files are readable UTF-8 text within the size limits.",
    "id-taken": "An id, or an old id under `was`, belongs to one route only.",
    # YAML
    "yaml-syntax": "The file is well-formed YAML.",
    "yaml-hash": "A # straight after a space cuts a value short: quote the text.",
    "yaml-duplicate": "A key stands once in its mapping.",
    "yaml-refused": "Anchors, aliases, merge keys, tags and several documents are not used.",
    "yaml-too-big": "The file is at most 256 KiB and not deeply nested.",
    # notes
    "notes-unknown-key": "Only known keys are used.",
    "notes-missing": "Required keys are present.",
    "notes-value": "A value has the form that its key asks for.",
    "notes-hours": "Hours are opening_hours expressions that are plainly open or closed.",
    "notes-html": "story.md is Markdown without raw HTML.",
    # positions
    "position-form": "A position has one of the forms that the format names.",
    "position-off-track": "Coordinates lie within 30 m of the track.",
    "position-ambiguous": "Coordinates passed twice name the chainage that is meant.",
    "position-beyond": "A position lies on the track.",
    "position-waypoint": "A waypoint that is named exists once in the track file.",
    "position-order": "Legs stand in riding order; a stretch ends after it starts.",
    "direction-twice": "Items of the way back's own lists carry no direction.",
    # GPX
    "gpx-syntax": "The track is well-formed XML without a DTD.",
    "gpx-not-gpx": "The track is GPX 1.1, GPX 1.0 or GPX without a namespace.",
    "gpx-limit": "The track stays within the limits of size, points and depth.",
    "gpx-coordinate": "Latitude and longitude are decimal degrees within range.",
    "gpx-height": "Heights are decimal numbers.",
    "gpx-time": "Times are ISO 8601.",
    "gpx-empty": "The track has at least two different points.",
    "gpx-several": "The file holds one line, recorded or drawn.",
    "gpx-private": "A published track carries no times, extensions or device data.",
    "gpx-gap": "Parts of a track that are more than 50 m apart leave the way between unknown.",
    "gpx-step": "A recording has no step of more than 500 m.",
    "track-changed": "The track is the one that the notes were written for.",
    "direct-ends": "direct.gpx, the direct road, leads from the route's start to its finish.",
    # what the notes claim
    "claim-child": "A route at level 3 or more is not offered to children.",
    "claim-draft": "A published route has words of its author's, and no guesses left.",
    "claim-evidence": "A filtered street names what closes it.",
    "claim-level": "An author's level raises the computed one, with a reason.",
    "claim-busy": "A bridge or an underpass is not a busy crossing.",
    "claim-twice": "A crossing that is pushed over needs no dismount of its own.",
    "claim-next": "Routes named under `next` and `withdrawn` exist and are published.",
    "claim-crossing": "A crossing says something of its road, so that it can be told busy.",
    "area-twice": "Areas differ in more than capitals and punctuation.",
    # notes against the map
    "map-off": "A route lies on the ways that the map has.",
    "map-kind": "Notes and map say the same kind of street.",
    "map-filtered": "A filtered street is one on the map too.",
    "map-oneway": "A route goes with one-way streets, or says that one pushes.",
    "map-turn": "A route makes no banned turn without saying so.",
    "map-control": "Notes and map say the same control of a crossing.",
    "map-crossing": "The notes name each main road that is crossed.",
    "map-changed": "The map is as it was when the route was drafted.",
    # photos
    "photo-file": "A photo is a JPEG, PNG or WebP file in the route's photos folder.",
    "photo-private": "A committed photo does not say where it was taken.",
    # what an author keeps private
    "private-zone": "Nothing of a route folder lies in a private zone of its author's.",
    # what readers report
    "reports-value": "reports.yml is a list of reports, each with known keys and a key of its own.",
    # what holds for all routes that pass a place
    "alerts-value": "alerts.yml is a list of alerts, each with a place, a radius, days and a text.",
    # settings
    "settings-value": "softpedal.yml holds known settings with sensible values.",
    # the site
    "site-address": "The site knows its own address.",
}


@dataclass(frozen=True, slots=True)
class Problem:
    """A fault in what an author wrote, or advice about it.

    Attributes:
        code: one of `CODES`.
        file: path of the file, relative to the library folder.
        line: 1-based line, 0 where the file as a whole is meant.
        column: 1-based column, 0 where the line as a whole is meant.
        message: what was found and what was expected.
        hint: what to write instead; may be empty.
        route: id of the route, "" where the library as a whole is meant.
        severity: "error" keeps the route off the site, "advice" does not.
    """

    code: str
    file: str
    line: int
    column: int
    message: str
    hint: str = ""
    route: str = ""
    severity: Severity = "error"

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"unknown problem code {self.code!r}")

    @property
    def is_error(self) -> bool:
        """Whether the route must not be published as it is."""
        return self.severity == "error"

    def __str__(self) -> str:
        place = self.file
        if self.line:
            place += f":{self.line}:{self.column}" if self.column else f":{self.line}"
        hint = f" ({self.hint})" if self.hint else ""
        return f"{place}: {self.severity} {self.code}: {self.message}{hint}"


class CannotDoError(Exception):
    """What was asked for cannot be done with what was given; a door says so, and how to go on.

    Attributes:
        hint: what to do about it; may be empty.
    """

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.hint = hint


def sort_problems(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems in the order in which an author reads: by file, line and column."""
    return sorted(problems, key=lambda p: (p.route, p.file, p.line, p.column, p.code))
