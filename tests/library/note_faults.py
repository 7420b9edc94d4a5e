"""Faults in what the notes say, each with the place and the remedy that must be reported."""

from library.small_library import NOTES, changed, in_notes

_LEG = "    kind: traffic-free path\n"

#: What each list's items need, and a whole item without any one of them.
_ITEMS = {
    "crossings": {"at": "1 km", "road": "Dock Road", "control": "none"},
    "dismounts": {"at": "1 km", "why": "a lock gate"},
    "hazards": {"at": "1 km", "what": "speed humps"},
    "landmarks": {"at": "1 km", "what": "Grain silo"},
    "barriers": {"at": "1 km", "what": "chicane gate"},
    "steep": {"at": "1 km", "metres": "20 m", "gradient": "8 %"},
    "skip": {"at": "1 km", "what": "a path that ends"},
    "wishes": {"at": "1 km", "what": "a cut-through"},
    "signed": {"from": "1 km", "to": "1.2 km", "as": "river route"},
    "photos": {"file": "lock.jpg", "at": "1 km", "alt": "A lock gate"},
    "alerts": {"from": "2026-09-01", "text": "Quay wall works"},
    "changed": {"on": "2025-04", "text": "Sailmaker Row closed"},
    "planned": {"text": "A wider towpath"},
    "ridden": {"on": "2026-05-16", "direction": "both"},
}
_MAPPINGS = {
    "hardest": {"at": "1 km", "text": "Past the yards"},
    "best": {"at": "1 km", "text": "The alders"},
    "direct": {"km": "4.6"},
    "video": {"link": '"https://video.example/w/12"'},
    "track": {"length": "2000 m", "checksum": '"000000000000"'},
}


def _braces(keys, without):
    return "{" + ", ".join(f"{k}: {v}" for k, v in keys.items() if k != without) + "}"


def _without(text, key):
    """Return one required key's line, with all that belongs to it, taken out of the notes."""
    lines = text.splitlines(keepends=True)
    start = next(i for i, line in enumerate(lines) if line.startswith(f"{key}:"))
    end = start + 1
    while end < len(lines) and lines[end].startswith(" "):
        end += 1
    return "".join(lines[:start] + lines[end:])


def _value(name, hint, line, column=None, *, says="", code="notes-value"):
    """A fault in one more line at the end of the notes, by default at its value."""
    if column is None:
        column = line.index(": ") + 3
    return in_notes(name, code, (16, column), hint, f"{NOTES}{line}\n", says=says)


_REQUIRED = [
    *(
        in_notes(
            f"no {key}",
            "notes-missing",
            (1, 1),
            f"`{key}: …`",
            _without(NOTES, key),
            says=f"`{key}` is missing",
        )
        for key in ("title", "area", "start", "finish", "summary", "status", "legs")
    ),
    in_notes(
        "published without a ride",
        "notes-missing",
        (6, 1),
        "`status: draft`",
        _without(NOTES, "ridden"),
        says="no ride",
    ),
    in_notes(
        "a leg without from",
        "notes-missing",
        (13, 5),
        "`from: …`",
        changed("  - from: 1.00 km\n    street", "  - street"),
    ),
    in_notes(
        "a leg without street",
        "notes-missing",
        (13, 5),
        "`street: …`",
        changed("    street: Sailmaker Row\n", ""),
    ),
    in_notes(
        "a leg without kind or hours", "notes-missing", (13, 5), "`hours:`", changed(_LEG, "")
    ),
    *(
        in_notes(
            f"{name} without {key}",
            "notes-missing",
            (17, 5),
            f"`{key}: …`",
            f"{_without(NOTES, name) if name == 'ridden' else NOTES}{name}:\n"
            f"  - {_braces(keys, key)}\n",
        )
        for name, keys in _ITEMS.items()
        for key in keys
        if name != "ridden"
    ),
    *(
        in_notes(
            f"a ride without {key}",
            "notes-missing",
            (8, 5),
            f"`{key}: …`",
            changed("{on: 2026-05-16, direction: both}", _braces(_ITEMS["ridden"], key)),
        )
        for key in _ITEMS["ridden"]
    ),
    *(
        in_notes(
            f"{name} without {key}",
            "notes-missing",
            (17, 3),
            f"`{key}: …`",
            f"{NOTES}{name}:\n  {_braces(keys, key)}\n",
        )
        for name, keys in _MAPPINGS.items()
        for key in keys
    ),
    in_notes(
        "no area in the list", "notes-value", (2, 7), "one", changed("Old Harbour, Chapel Side", "")
    ),
    in_notes(
        "no leg in the list",
        "notes-value",
        (9, 7),
        "At least one",
        _without(NOTES, "legs") + "legs: []\n",
    ),
    in_notes(
        "withdrawn without why",
        "notes-missing",
        (16, 12),
        "`why: …`",
        changed("status: published", "status: withdrawn") + "withdrawn: {}\n",
    ),
    in_notes(
        "status withdrawn alone",
        "notes-missing",
        (6, 1),
        "`withdrawn: {why: …}`",
        changed("status: published", "status: withdrawn"),
    ),
    in_notes(
        "withdrawn alone",
        "notes-missing",
        (6, 1),
        "`status: withdrawn`",
        NOTES + "withdrawn: {why: The bridge is gone.}\n",
    ),
    in_notes("a level without why", "notes-missing", (16, 5), "`why:`", NOTES + "    level: 3\n"),
    in_notes(
        "a crossing's level without why",
        "notes-missing",
        (17, 48),
        "`why:`",
        NOTES + "crossings:\n  - {at: 1 km, road: Dock Road, control: none, level: 3}\n",
    ),
]

_KINDS_AND_HOURS = [
    in_notes(
        "an unknown kind",
        "notes-value",
        (12, 11),
        "`back street`",
        changed("kind: back street", "kind: bak street"),
        says="protected track, traffic-free path",
    ),
    in_notes(
        "a kind for one direction",
        "notes-missing",
        (12, 11),
        "one kind for both",
        changed("kind: back street", "kind: {outbound: back street}"),
        says="`return`",
    ),
    in_notes(
        "hours without otherwise",
        "notes-missing",
        (12, 12),
        "`otherwise:`",
        changed("kind: back street", 'hours: {"Mo-Sa 08:00-18:00": on foot}'),
    ),
    in_notes(
        "days of three letters",
        "notes-hours",
        (12, 37),
        "`Mo-Sa 08:00-18:00`",
        changed(
            "kind: back street", 'hours: {otherwise: back street, "Mon-Sat 08:00-18:00": on foot}'
        ),
    ),
    in_notes(
        "no hours at all",
        "notes-hours",
        (12, 13),
        "`21:00-06:00`",
        changed("kind: back street", "hours: {by day: on foot, otherwise: back street}"),
    ),
    in_notes(
        "hours that may be either",
        "notes-hours",
        (12, 13),
        "plain hours",
        changed(
            "kind: back street", "hours: {'Mo 08:00-09:00 unknown': on foot, otherwise: on foot}"
        ),
    ),
    in_notes(
        "a kind by hours for one direction",
        "notes-missing",
        (12, 34),
        "one kind for both",
        changed(
            "kind: back street",
            'hours: {"Mo-Fr 08:00-18:00": {return: on foot}, otherwise: back street}',
        ),
        says="`outbound`",
    ),
    in_notes(
        "an unknown kind by hours",
        "notes-value",
        (12, 34),
        "`on foot`",
        changed(
            "kind: back street", 'hours: {"Mo-Fr 08:00-18:00": onfoot, otherwise: back street}'
        ),
    ),
    in_notes(
        "a kind that is none of those by hours",
        "notes-value",
        (12, 5),
        "leave `kind` out",
        changed(
            "kind: back street",
            'kind: busy road\n    hours: {"Mo-Fr 08:00-18:00": on foot, otherwise: back street}',
        ),
        says="`busy road`",
    ),
    _value(
        "closed at no hours",
        "`Mo 08:00-18:00`",
        'closed: ["Monday 08:00-18:00"]',
        10,
        code="notes-hours",
    ),
    _value("closed at one wrong hour", "`21:00-06:00`", 'closed: "at night"', code="notes-hours"),
    _value("hours with an open end", "plain hours", 'closed: "Mo 17:00+"', code="notes-hours"),
    _value(
        "hours of 256 characters",
        "typical week",
        f"closed: {'Mo,' * 86}Tu",
        code="notes-hours",
        says="longer than 255",
    ),
    in_notes(
        "a hazard at wrong hours",
        "notes-hours",
        (17, 39),
        "`Sa 08:00-12:00`",
        NOTES + "hazards:\n  - {at: 1 km, what: a market, hours: Sat 08:00-12:00}\n",
    ),
]

_WORDS = [
    in_notes(
        "an unknown state",
        "notes-value",
        (6, 9),
        "`published`",
        changed("status: published", "status: publised"),
        says="draft, published, withdrawn",
    ),
    in_notes(
        "an unknown direction of a ride",
        "notes-value",
        (8, 33),
        "one of these",
        changed("direction: both", "direction: home"),
        says="outbound, return, both",
    ),
    in_notes(
        "a key without a value",
        "notes-value",
        (5, 9),
        "Write one",
        changed(" A level way along the water.", ""),
    ),
    in_notes(
        "a list without entries",
        "notes-value",
        (16, 11),
        "leave the key out",
        NOTES + "crossings:\n",
        says="has no value",
    ),
    _value("a list that is none", "hyphen", "crossings: none"),
    _value("a mapping that is none", "braces", "direct: 4.6 km"),
    in_notes(
        "an item that is none",
        "notes-value",
        (17, 5),
        "braces",
        NOTES + "crossings:\n  - Dock Road\n",
    ),
    in_notes(
        "hours that are no mapping",
        "notes-value",
        (16, 12),
        "key: value",
        NOTES + "    hours: Mo-Fr\n",
    ),
    _value("a title that is a list", "quotes", "thanks: [a]", says="`thanks: a list`"),
    in_notes(
        "an empty text",
        "notes-value",
        (1, 8),
        "Write a text",
        changed("Mill Lane to North Quay", '""'),
    ),
    in_notes(
        "a title of 121 characters",
        "notes-value",
        (1, 8),
        "story.md",
        changed("Mill Lane to North Quay", "x" * 121),
        says="longer than 120",
    ),
    in_notes(
        "an unknown surface", "notes-value", (16, 14), "`cobbles`", NOTES + "    surface: cobles\n"
    ),
    in_notes(
        "an unknown surface by direction",
        "notes-value",
        (16, 25),
        "one of these",
        NOTES + "    surface: {outbound: mud}\n",
    ),
    _value("an address without a scheme", "`https://", "video: {link: video.example}", 15),
    _value("an address that runs a script", "`https://", 'video: {link: "javascript:x"}', 15),
    _value(
        "a jump without seconds",
        "second goes",
        'video: {link: "https://a.example/w", jump: "https://a.example/w"}',
        38,
    ),
    _value("an old id with capitals", "`ferry-steps-to-weir-mill`", "was: [Ferry-Steps]", 7),
    _value(
        "a photo outside the folder",
        "`lock.jpg`",
        "photos: [{file: ../lock.jpg, at: 1 km, alt: A lock}]",
        17,
    ),
    _value(
        "a photo by a path", "`lock.jpg`", "photos: [{file: a/lock.jpg, at: 1 km, alt: A lock}]", 17
    ),
    in_notes(
        "a variant outside the folder",
        "notes-value",
        (17, 12),
        "`lock.jpg`",
        NOTES + "variants:\n  - {file: ../track.gpx, leave: 1 km, rejoin: 1.2 km, why: x, "
        "legs: [{from: start, street: Quay, kind: busy road}]}\n",
    ),
    _value("a time in no film", "`4:10`", 'hazards: [{at: 1 km, what: a gap, film: "410"}]', 41),
    _value("a checksum that is none", "[0-9a-f]", "track: {length: 2 km, checksum: xyz}", 33),
]

_TYPES = [
    in_notes(
        "lanes in quotes",
        "notes-value",
        (16, 12),
        "without quotes",
        NOTES + '    lanes: "2"\n',
        says="whole number",
    ),
    in_notes(
        "lanes of 010",
        "notes-value",
        (16, 12),
        "without quotes",
        NOTES + "    lanes: 010\n",
        says="`lanes: 010`",
    ),
    in_notes(
        "lanes of 1:30",
        "notes-value",
        (16, 12),
        "whole number",
        NOTES + "    lanes: 1:30\n",
        says="`lanes: 1:30`",
    ),
    in_notes("lanes of 2.5", "notes-value", (16, 12), "whole number", NOTES + "    lanes: 2.5\n"),
    in_notes("no lanes", "notes-value", (16, 12), "from 1", NOTES + "    lanes: 0\n"),
    in_notes("13 lanes", "notes-value", (16, 12), "up to 12", NOTES + "    lanes: 13\n"),
    in_notes("true lanes", "notes-value", (16, 12), "whole number", NOTES + "    lanes: true\n"),
    in_notes(
        "yes for true",
        "notes-value",
        (16, 14),
        "true or false",
        NOTES + "    parking: yes\n",
        says="`parking: yes`",
    ),
    in_notes("1 for true", "notes-value", (16, 12), "true or false", NOTES + "    steps: 1\n"),
    in_notes("true for a word", "notes-value", (16, 10), "one of these", NOTES + "    lit: true\n"),
    in_notes("a number for a text", "notes-value", (16, 10), "quotes", NOTES + "    wet: 12\n"),
    _value("not a number", "plain number", "direct: {km: .nan}", 14),
    _value("an infinite number", "plain number", "direct: {km: .inf}", 14),
    _value("a number beyond all", "measured", "direct: {km: 1e999}", 14),
    _value("a number with a unit", "without quotes or a unit", "direct: {km: 4.6 km}", 14),
    _value("no distance", "greater than 0", "direct: {km: 0}", 14),
    _value("yes for a number", "plain number", "direct: {km: yes}", 14),
    in_notes(
        "a speed without a unit",
        "notes-value",
        (16, 18),
        "`30 mph` or `50 km/h`",
        NOTES + "    speed_limit: 30\n",
    ),
    in_notes(
        "a width in no unit",
        "notes-value",
        (16, 17),
        "`15 m`",
        NOTES + "    lane_width: 1.4 paces\n",
        says="m, km, mi, ft, yd, cm",
    ),
    in_notes(
        "a width below nothing", "notes-value", (16, 17), "`15 m`", NOTES + "    lane_width: -1\n"
    ),
    _value(
        "a wait without a unit",
        "`75 s`",
        "crossings: [{at: 1 km, road: Dock Road, control: none, wait: 75}]",
        62,
    ),
    _value(
        "a gradient beyond streets", "%", "steep: [{at: 1 km, metres: 20 m, gradient: 60 %}]", 44
    ),
    _value(
        "a gradient without a unit", "`8 %`", "steep: [{at: 1 km, metres: 20 m, gradient: 8}]", 44
    ),
    _value(
        "a negative gradient of nothing",
        "`8 %`",
        'steep: [{at: 1 km, metres: 20 m, gradient: "-"}]',
        44,
    ),
]

_DATES = [
    in_notes(
        "a day that never was",
        "notes-value",
        (8, 10),
        "`2026-05-16`",
        changed("2026-05-16", "2026-02-30"),
    ),
    in_notes(
        "a date of other digits",
        "notes-value",
        (8, 10),
        "`2026-05-16`",
        changed("2026-05-16", "16.5.2026"),
    ),
    in_notes(
        "a date with short numbers",
        "notes-value",
        (8, 10),
        "`2026-05-16`",
        changed("2026-05-16", "2026-5-16"),
    ),
    in_notes(
        "a date with a time",
        "notes-value",
        (8, 10),
        "`2026-05-16`",
        changed("on: 2026-05-16", "on: 2026-05-16T10:00:00"),
    ),
    in_notes("a year for a date", "notes-value", (8, 10), "quotes", changed("2026-05-16", "2026")),
    _value("a thirteenth month", "`2025-04`", "changed: [{on: 2025-13, text: x}]", 16),
    _value(
        "an alert that ends first",
        "`from`",
        "alerts: [{from: 2026-09-02, until: 2026-09-01, text: x}]",
        29,
        says="(2026-09-01) before it begins (2026-09-02)",
    ),
    _value("an alert from no date", "`2026-05-16`", "alerts: [{from: soon, text: x}]", 17),
]

NOTE_FAULTS = [*_REQUIRED, *_KINDS_AND_HOURS, *_WORDS, *_TYPES, *_DATES]
