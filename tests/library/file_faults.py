"""Faults of files, of names that routes give each other, and of claims, each as it is reported."""

from building import gpx_text, line_east, make_route
from library.pictures import picture
from library.small_library import (
    BROKEN,
    GOOD,
    NOTES,
    RETURN,
    Fault,
    broken,
    changed,
    in_notes,
)

PHOTO = "photos: [{file: lock.jpg, at: 1 km, alt: A lock gate}]\n"


def _without_file(name, notes=NOTES, **more):
    def make(library):
        (broken(notes, **more)(library) / name).unlink()

    return make


def _linked(name, notes=NOTES, **more):
    """Write the folder with one file or folder of it moved away and a link in its place."""

    def make(library):
        path = broken(notes, **more)(library) / name
        path.rename(library / "elsewhere")
        path.symlink_to(library / "elsewhere")

    return make


def _folder_for_file(name):
    def make(library):
        path = broken()(library) / name
        path.unlink()
        path.mkdir()

    return make


def _file(name, code, file, hint, make, **more):
    return Fault(name, code, more.pop("place", (0, 0)), hint, make, file=file, **more)


def _named(id_):
    return lambda library: make_route(library, NOTES, id=id_)


def _story(name, place, text, hint="Markdown", code="notes-html"):
    return _file(name, code, "story.md", hint, broken(files={"story.md": text}), place=place)


def _photo(name, says, hint, notes=NOTES + PHOTO, **more):
    make = more.pop("make", None) or broken(notes, **more)
    return Fault(name, "photo-file", (16, 17), hint, make, says)


_MISSING = [
    _file("no notes.yml", "file-missing", "notes.yml", "Add it", _without_file("notes.yml")),
    _file("no track.gpx", "file-missing", "track.gpx", "Add it", _without_file("track.gpx")),
    in_notes(
        "no return.gpx",
        "file-missing",
        (17, 3),
        "`direction: return`",
        NOTES + RETURN,
        says="no return.gpx",
    ),
    Fault(
        "no return section",
        "notes-missing",
        (1, 1),
        "`return:`",
        broken(return_gpx=gpx_text(line_east(1500)[::-1])),
        "There is a return.gpx",
    ),
    in_notes(
        "no variant's track",
        "file-missing",
        (17, 11),
        "take the variant out",
        f"{NOTES}variants:\n  - file: quay.gpx\n    leave: 1.0 km\n    rejoin: 1.2 km\n"
        "    why: Level.\n    legs: [{from: start, street: Quay, kind: busy road}]\n",
        says="no quay.gpx",
    ),
]

_STRAYS = [
    _file(
        "a raw recording",
        "file-unknown",
        "ride.gpx",
        "`variants`",
        broken(files={"ride.gpx": gpx_text(line_east(100))}),
        says="raw recording",
    ),
    _file(
        "a raw recording in capitals",
        "file-unknown",
        "RIDE.GPX",
        "Remove it",
        broken(files={"RIDE.GPX": "x"}),
    ),
    _file(
        "a raw recording among photos",
        "file-unknown",
        "photos/ride.gpx",
        "Remove it",
        broken(files={"photos/ride.gpx": "x"}),
    ),
    _file(
        "another file",
        "file-unknown",
        "plan.odt",
        "not published",
        broken(files={"plan.odt": "x"}),
        severity="advice",
    ),
    _file(
        "another folder",
        "file-unknown",
        "pictures",
        "not published",
        broken(files={"pictures/lock.jpg": "x"}),
        severity="advice",
    ),
    _file(
        "a photo without a note",
        "file-unknown",
        "photos/lock.jpg",
        "`photos`",
        broken(files={"photos/lock.jpg": "x"}),
        severity="advice",
    ),
    _file(
        "a direct road to elsewhere",
        "direct-ends",
        "direct.gpx",
        "from start to finish",
        broken(files={"direct.gpx": gpx_text(line_east(1500))}),
        says="begins 0 m from the route's start and ends 500 m from its finish",
        severity="advice",
    ),
]

_LINKS = [
    *(
        _file(f"a link for {name}", "file-unreadable", name, "file itself", _linked(name))
        for name in ("notes.yml", "track.gpx")
    ),
    _file(
        "a link for story.md",
        "file-unreadable",
        "story.md",
        "file itself",
        _linked("story.md", files={"story.md": "x"}),
    ),
    _file(
        "a link for the photos",
        "file-unreadable",
        "photos",
        "file itself",
        _linked("photos", NOTES + PHOTO, files={"photos/lock.jpg": "x"}),
    ),
    _file("a link for the folder", "file-unreadable", "", "file itself", _linked("")),
    _photo(
        "a link for a photo",
        "is a link",
        "Put the photo there",
        make=_linked("photos/lock.jpg", NOTES + PHOTO, files={"photos/lock.jpg": "x"}),
    ),
    *(
        _file(f"a folder for {name}", "file-unreadable", name, "Take it", _folder_for_file(name))
        for name in ("notes.yml", "track.gpx")
    ),
]

_PHOTOS = [
    _photo("no photo", "no photos/lock.jpg", "large and small"),
    _photo(
        "a photo of an odd kind",
        "photos/lock.tiff",
        ".jpg, .jpeg, .png, .webp",
        NOTES + PHOTO.replace(".jpg", ".tiff"),
        files={"photos/lock.tiff": "x"},
    ),
    _photo(
        "a photo without a suffix",
        "photos/lock",
        ".webp",
        NOTES + PHOTO.replace(".jpg", ""),
        files={"photos/lock": "x"},
    ),
]

_PHOTOS += [
    in_notes(
        "a photo that is none",
        "photo-file",
        (16, 17),
        "Save it anew",
        NOTES + PHOTO,
        files={"photos/lock.jpg": "x"},
        severity="advice",
        says="is left out",
    ),
    in_notes(
        "a PNG by another name",
        "photo-file",
        (16, 17),
        "Save it anew",
        NOTES + PHOTO,
        files={"photos/lock.jpg": picture("PNG")},
        severity="advice",
    ),
    in_notes(
        "a photo that says where it was taken",
        "photo-private",
        (16, 17),
        "git remembers",
        NOTES + PHOTO,
        files={"photos/lock.jpg": picture(position=True)},
    ),
]

_STORIES = [
    _story("a block of HTML", (3, 1), "Once.\n\n<div>\nx\n</div>\n"),
    _story("HTML in a line", (2, 5), "Once\nthe <b>mill</b> stood.\n"),
    _story("a script", (1, 1), "<script>alert(1)</script>\n"),
    _story("HTML in a list", (1, 3), "- <i>x</i>\n"),
    _story("HTML in a heading", (1, 3), "# <i>x</i>\n"),
    _story("an HTML comment", (1, 6), "Once <!-- x --> more.\n"),
    _story("a story that is not UTF-8", (2, 3), b"Once\nMi\xe9 x\n", "UTF-8", "file-unreadable"),
    _story("a story with an escape", (1, 2), "a\x1b[31m\n", "Delete", "file-unreadable"),
    _story("a story over 256 KiB", (0, 0), "x" * (256 * 1024 + 1), "Shorten", "file-unreadable"),
]

_NAMES = [
    *(
        _file(
            f"a folder named {name}",
            "folder-name",
            "",
            "a-z",
            _named(name),
            says=f"`{name}`",
            route=name,
        )
        for name in (
            "Mill-Lane",
            "mill_lane",
            "mill--lane",
            "mill-",
            "-mill",
            "mühle",
            "a b",
            "a.b",
        )
    ),
    in_notes(
        "an old id that another route has",
        "id-taken",
        (16, 13),
        "one route only",
        f"{NOTES}was: [mill, {GOOD[0]}]\n",
        says=f"`{GOOD[0]}`",
    ),
    in_notes(
        "an old id that is its own",
        "id-taken",
        (16, 6),
        "one route only",
        f"{NOTES}was: {BROKEN}\n",
    ),
    in_notes(
        "a next route that is unknown",
        "claim-next",
        (17, 5),
        f"`{GOOD[0]}`",
        f"{NOTES}next:\n  - {GOOD[0][:-1]}\n",
        says=f"no route `{GOOD[0][:-1]}`",
    ),
    in_notes(
        "a next route like no other",
        "claim-next",
        (16, 35),
        "folder under routes/",
        f"{NOTES}next: [{GOOD[0]}, zzz]\n",
    ),
    in_notes(
        "an area that differs in capitals only",
        "area-twice",
        (2, 21),
        "the same way",
        changed("Chapel Side", "lindenferry"),
        severity="advice",
    ),
    in_notes(
        "a crossing of which nothing is said",
        "claim-crossing",
        (17, 5),
        "`busy: true`",
        NOTES + "crossings:\n  - {at: 1 km, road: Dock Road, control: zebra}\n",
        severity="advice",
    ),
    in_notes(
        "a route instead that is unknown",
        "claim-next",
        (16, 36),
        "folder",
        changed("status: published", "status: withdrawn")
        + "withdrawn: {why: Flooded, instead: zzz}\n",
    ),
]

_CLAIMS = [
    in_notes(
        "a track that was changed",
        "track-changed",
        (16, 35),
        "`length: 2000 m`",
        NOTES + "track: {length: 1990 m, checksum: '000000000000'}\n",
        says="was 1,990 m long and is 2,000 m",
    ),
    in_notes(
        "a child on a busy road",
        "claim-child",
        (16, 14),
        "`child: no`",
        changed("kind: back street", "kind: busy road") + "who: {child: with care}\n",
    ),
    in_notes(
        "a filtered street without evidence",
        "claim-evidence",
        (10, 5),
        "`closed_by: …`",
        changed("kind: back street", "kind: filtered street"),
        severity="advice",
    ),
    in_notes(
        "a published draft with no words of its own",
        "claim-draft",
        (2, 7),
        "Write it",
        changed("area: [Old Harbour, Chapel Side]", "area: Area to be named"),
    ),
    in_notes(
        "a level that raises nothing",
        "claim-level",
        (13, 5),
        "leave it out",
        NOTES + "    level: 1\n    why: It feels safe.\n",
        severity="advice",
    ),
    in_notes(
        "a busy bridge",
        "claim-busy",
        (17, 5),
        "Leave `busy` out",
        NOTES + "crossings:\n  - {at: 1 km, road: Dock Road, control: bridge, busy: true}\n",
        severity="advice",
    ),
    in_notes(
        "a crossing that is pushed over, and a dismount",
        "claim-twice",
        (19, 5),
        "Leave this dismount out",
        NOTES + "crossings:\n  - {at: 1 km, road: Dock Road, control: zebra, busy: true}\n"
        "dismounts:\n  - {at: 1.01 km, why: the zebra}\n",
        severity="advice",
    ),
]

FILE_FAULTS = [*_MISSING, *_STRAYS, *_LINKS, *_PHOTOS, *_STORIES, *_NAMES, *_CLAIMS]
