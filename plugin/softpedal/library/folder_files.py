"""The files that a route folder may hold, and those that do not belong there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.faults import shown
from softpedal.library.photo_file import FORMATS, has_position, is_picture
from softpedal.library.plain_text import printable
from softpedal.problems import Problem, Severity

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.library.notes import Notes
    from softpedal.library.yaml_source import Mark, YamlSource

ROUTES = "routes"
NOTES, TRACK, RETURN, DIRECT, STORY, PHOTOS = (
    "notes.yml",
    "track.gpx",
    "return.gpx",
    "direct.gpx",
    "story.md",
    "photos",
)

_NOWHERE = (0, 0)
_RAW = "This track is named nowhere; a raw recording must not enter the library."


class FolderFiles:
    """The files of one route folder.

    Attributes:
        folder: where it is.
        id: its name, which is the route's id.
        problems: what has been found wrong so far.
        pictures: names of the photos that are named in the notes and open as pictures.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.id = folder.name
        self.problems: list[Problem] = []
        self.pictures: set[str] = set()

    def name(self, file: str) -> str:
        """Return a file's name for messages, relative to the library."""
        return printable("/".join(part for part in (ROUTES, self.id, file) if part))

    def report(self, code: str, file: str, message: str, hint: str, place: Mark = _NOWHERE) -> None:
        """Add an error."""
        self.problems.append(Problem(code, self.name(file), *place, message, hint))

    def advise(self, code: str, file: str, message: str, hint: str) -> None:
        """Add a piece of advice about a file."""
        problem = Problem(code, self.name(file), 0, 0, message, hint, severity="advice")
        self.problems.append(problem)

    def is_followed(self) -> bool:
        """Whether the folder is a folder, and not a link to one: that is reported."""
        if self.folder.is_symlink():
            self._refuse_link("")
            return False
        return True

    def content(self, name: str, *, needed: bool, at_most: int) -> bytes | None:
        """Return the first `at_most` bytes of a file; None, reported if needed, without one."""
        path = self.folder / name
        if path.is_symlink():
            self._refuse_link(name)
        elif path.is_file():
            with path.open("rb") as file:
                return file.read(at_most)
        elif path.exists():
            self.report("file-unreadable", name, "This is not a plain file.", "Take it away.")
        elif needed:
            self.report(
                "file-missing",
                name,
                f"There is no {shown(name)} in this folder.",
                f"Add it, or take the folder out of {ROUTES}/.",
            )
        return None

    def refuse_strays(self, notes: Notes | None, source: YamlSource | None) -> None:
        """Report files that do not belong in the folder, and photos that are not there.

        Which files belong is only known with the notes, so nothing is said without them.
        """
        if notes is None or source is None:
            return
        known = {NOTES, TRACK, RETURN, DIRECT, STORY, PHOTOS, *(v.file for v in notes.variants)}
        for path in sorted(self.folder.iterdir()):
            if path.name not in known and not path.name.startswith("."):
                self._refuse_stray(path.name, "Move it away, or leave it: it is not published.")
        self._photos(notes, source)

    def _photos(self, notes: Notes, source: YamlSource) -> None:
        photos = self.folder / PHOTOS
        if photos.is_symlink():
            self._refuse_link(PHOTOS)
            return
        for index, photo in enumerate(notes.photos):
            fault = _photo_fault(photos / photo.file, f"{PHOTOS}/{shown(photo.file)}")
            if fault is None:
                self.pictures.add(photo.file)
            else:
                place = source.place(("photos", index, "file"))
                code, severity, wrong, hint = fault
                file = self.name(NOTES)
                self.problems.append(Problem(code, file, *place, wrong, hint, severity=severity))
        if not photos.is_dir():
            return
        listed = {photo.file for photo in notes.photos}
        for path in sorted(photos.iterdir()):
            if path.name not in listed and not path.name.startswith("."):
                self._refuse_stray(f"{PHOTOS}/{path.name}", "Name it under `photos`, with `alt`.")

    def _refuse_stray(self, name: str, hint: str) -> None:
        if name.lower().endswith(".gpx"):
            self.report("file-unknown", name, _RAW, "Remove it, or name it under `variants`.")
        else:
            what = "This file is named nowhere, and no part of a route folder."
            self.advise("file-unknown", name, what, hint)

    def _refuse_link(self, name: str) -> None:
        self.report(
            "file-unreadable",
            name,
            "This is a link to another place, which is not followed.",
            "Put the file itself here.",
        )


def _photo_fault(path: Path, name: str) -> tuple[str, Severity, str, str] | None:
    """Return code, severity, message and hint of what is wrong with a photo, if anything."""
    if path.is_symlink():
        wrong = f"{name} is a link, which is not followed."
        return "photo-file", "error", wrong, "Put the photo there."
    if not path.is_file():
        hint = "Names are as written, large and small."
        return "photo-file", "error", f"There is no {name}.", hint
    if path.suffix.lower() not in FORMATS:
        wrong = f"{name} is not a JPEG, PNG or WebP file by its name."
        return "photo-file", "error", wrong, f"Names end in {', '.join(FORMATS)}."
    if not is_picture(path):
        wrong = f"{name} does not open as the picture that its name says, and is left out."
        return "photo-file", "advice", wrong, "Save it anew from a picture program."
    if has_position(path):
        wrong = f"{name} says in its EXIF or XMP data where it was taken."
        hint = "Remove the position before you commit (`softpedal bare` does): git remembers it."
        return "photo-private", "error", wrong, hint
    return None
