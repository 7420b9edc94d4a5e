"""Positions that name no place on their line, each with the place and remedy to be reported."""

from building import gpx_text, line_east
from library.pictures import picture
from library.small_library import NOTES, RETURN, Fault, broken, changed, in_notes, out_and_back

WEIR_GATE = "50.000010, -19.994000"


def _at(name, code, hint, at, *, says="", **more):
    """A crossing at a place that is none; the place is in line 17, column 10."""
    notes = f"{NOTES}crossings:\n  - {{at: {at}, road: Dock Road, control: none}}\n"
    return Fault(name, code, (17, 10), hint, broken(notes, **more), says)


def _more(name, place, hint, notes, *, says="", code="position-order", **more):
    return Fault(name, code, place, hint, broken(notes, **more), says)


def _with_waypoints(*names):
    named = {name: (50.0, -19.99 - index / 1000) for index, name in enumerate(names)}
    return gpx_text(line_east(2000), waypoints=named)


_FORMS = [
    _at("a number without a unit", "position-form", "`1.24 km` or `1.24 m`", "1.24"),
    _at("a place in words", "position-form", "`start`, `finish`, a chainage", "half way"),
    _at("a place in the film", "position-form", "drafting", '"video 4:10"'),
    _at("a clock time", "position-form", "drafting", '"09:14:05"'),
    _at("a chainage in yards", "position-form", "`1.24 km`", "300 yd", says="(km, m, mi)"),
    _at("a chainage below nothing", "position-form", "`start`", "-5 m"),
    _at("a chainage in a list", "position-form", "`start`", "[1 km]", says="`a list`"),
    _at("a chainage that is none", "position-form", "`start`", "km"),
    _at("the start in capitals", "position-form", "`start`", "Start"),
    _at("the word waypoint alone", "position-form", "`waypoint` and its name", "waypoint"),
    _at("a latitude of 95", "position-form", "Latitude first", '"95.0, -20.0"'),
    _at("a longitude of 181", "position-form", "Latitude first", '"50.0, 181"'),
    _at("near in yards", "position-form", "near 2.5 km`", '"50.0, -19.99 near 2 yd"'),
    _at("near nothing", "position-form", "`start`", '"50.0, -19.99 near"'),
]

_NOWHERE = [
    _at(
        "coordinates off the track",
        "position-off-track",
        "at 0.72 km",
        '"50.0003, -19.99"',
        says="is 33 m from the track; at most 30 m",
    ),
    _at(
        "coordinates before the start",
        "position-off-track",
        "at 0.00 km",
        '"50.0, -20.0005"',
        says="36 m",
    ),
    _at(
        "coordinates passed twice",
        "position-ambiguous",
        "Write `50.00001, -19.99400 near 0.43 km` or `50.00001, -19.99400 near 1.57 km`.",
        f'"{WEIR_GATE}"',
        says="at `0.43 km` and `1.57 km`",
        gpx=out_and_back(),
    ),
    _at(
        "a waypoint passed twice",
        "position-ambiguous",
        "Write `50.00002, -19.99440 near 0.40 km` or `50.00002, -19.99440 near 1.60 km`.",
        "waypoint Weir gate",
        says="`waypoint Weir gate`",
        gpx=out_and_back(),
    ),
    _at(
        "a place beyond the end",
        "position-beyond",
        "`2.00 km`, or `finish`",
        "2.0105 km",
        says="2.00 km long",
    ),
    _at("a place in miles beyond the end", "position-beyond", "`finish`", "1.3 mi"),
    _at("a waypoint without any", "position-waypoint", "there: none", "waypoint Weir gate"),
    _at(
        "an unknown waypoint",
        "position-waypoint",
        "there: `Lock`, `Baths`",
        "waypoint Weir gate",
        says="no waypoint named `Weir gate`",
        gpx=_with_waypoints("Lock", "Baths"),
    ),
    _at(
        "a waypoint in other letters",
        "position-waypoint",
        "`Weir Gate`",
        "waypoint Weir gate",
        gpx=_with_waypoints("Weir Gate"),
    ),
    _at(
        "a waypoint twice",
        "position-waypoint",
        "Rename",
        "waypoint Weir gate",
        says="2 waypoints",
        gpx=_with_waypoints("Weir gate", "Lock").replace("Lock", "Weir gate"),
    ),
    in_notes(
        "a hardest bit beyond the end",
        "position-beyond",
        (16, 15),
        "`finish`",
        NOTES + "hardest: {at: 3 km, text: x}\n",
    ),
    _more(
        "a photo beyond the end",
        (16, 32),
        "`finish`",
        NOTES + "photos: [{file: lock.jpg, at:  3 km, alt: x}]\n",
        code="position-beyond",
        files={"photos/lock.jpg": picture()},
    ),
]

_ORDER = [
    in_notes(
        "legs out of order",
        "position-order",
        (16, 11),
        "riding order",
        NOTES + "  - from: 0.50 km\n    street: Kiln Road\n    kind: back street\n",
        says="0.50 km, not after the leg before it (1.00 km)",
    ),
    in_notes(
        "two legs from one place",
        "position-order",
        (16, 11),
        "riding order",
        NOTES + "  - from: 1000 m\n    street: Kiln Road\n    kind: back street\n",
    ),
    in_notes(
        "a first leg that starts late",
        "position-order",
        (10, 11),
        "`from: start`",
        changed("from: start", "from: 11 m"),
        says="0.01 km",
    ),
    in_notes(
        "a last leg without length",
        "position-order",
        (16, 11),
        "Leave it out",
        NOTES + "  - from: finish\n    street: Kiln Road\n    kind: back street\n",
    ),
    in_notes(
        "a hazard that ends before it starts",
        "position-order",
        (17, 23),
        "Exchange",
        NOTES + "hazards:\n  - {at: 1.30 km, to: 1.05 km, what: speed humps}\n",
        says="ends at 1.05 km, before it starts at 1.30 km",
    ),
    in_notes(
        "a sign that ends before it starts",
        "position-order",
        (16, 28),
        "Exchange",
        NOTES + "signed: [{from: 2 km,  to: 1 km, as: river route}]\n",
    ),
    _more(
        "a variant that comes back before it leaves",
        (19, 13),
        "the later one",
        f"{NOTES}variants:\n  - file: quay.gpx\n    leave: 1.2 km\n    rejoin: 1.0 km\n"
        "    why: Level.\n    legs: [{from: start, street: Quay, kind: busy road}]\n",
        says="1.00 km, not after it leaves at 1.20 km",
        files={"quay.gpx": gpx_text(line_east(300))},
    ),
    _more(
        "a variant's leg beyond the variant's end",
        (23, 16),
        "`0.30 km`",
        f"{NOTES}variants:\n  - file: quay.gpx\n    leave: 1.0 km\n    rejoin: 1.2 km\n"
        "    why: Level.\n    legs:\n      - {from: start, street: Quay, kind: busy road}\n"
        "      - {from: 0.4 km, street: Quay, kind: busy road}\n",
        code="position-beyond",
        files={"quay.gpx": gpx_text(line_east(300))},
    ),
]

_WAY_BACK = [
    _more(
        "a direction in the outbound list beside a return.gpx",
        (22, 59),
        "list of that direction",
        f"{NOTES}{RETURN}crossings:\n"
        "  - {at: 1 km, road: Dock Road, control: none, direction: outbound}\n",
        code="direction-twice",
        return_gpx=gpx_text(line_east(1500)[::-1]),
    ),
    _more(
        "a direction in the way back's list",
        (22, 42),
        "Leave `direction` out",
        f"{NOTES}{RETURN}  hazards:\n    - {{at: 1 km, what: humps, direction: return}}\n",
        code="direction-twice",
        return_gpx=gpx_text(line_east(1500)[::-1]),
    ),
    _more(
        "both directions in the way back's list",
        (22, 47),
        "Leave `direction` out",
        f"{NOTES}{RETURN}  dismounts:\n    - {{at: 1 km, why: a lock gate, direction: both}}\n",
        code="direction-twice",
        return_gpx=gpx_text(line_east(1500)[::-1]),
    ),
    _more(
        "a place beyond the way back's end",
        (22, 12),
        "`1.50 km`",
        f"{NOTES}{RETURN}  barriers:\n    - {{at: 1.8 km, what: a chicane}}\n",
        code="position-beyond",
        return_gpx=gpx_text(line_east(1500)[::-1]),
    ),
]

PLACE_FAULTS = [*_FORMS, *_NOWHERE, *_ORDER, *_WAY_BACK]
