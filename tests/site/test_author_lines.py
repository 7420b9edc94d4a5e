"""Where each position stands in the notes: what an author's page is told, and a reader's never."""

from __future__ import annotations

import json

import pytest

from building import gpx_text, line_east, line_north, load, make_route, notes
from site_building import build_site
from softpedal.library.load import load_route
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.author_lines import author_lines, author_lines_script
from softpedal.site.panels import Panels

HEAD = """title: Ferry Steps to Chapel Green
area: [Lindenferry]
start: Ferry Steps
finish: Chapel Green
summary: A way to test with.
status: published
ridden: [{on: 2026-05-16, direction: both}]
"""

#: Every kind of note that has a place, and every form and style in which one is written.
NOTES = (
    HEAD
    + """legs:   # in riding order
  - from: start
    street: Quay
    kind: back street
  - {from: 0.5km, street: "Sailmaker Row, the upper", kind: back street}   # flow
  - street: Dock Road
    from: "1.250 km"    # quoted, with a third figure
    kind: back street
  - {kind: back street, street: Alder Lane, from: 0.9321 mi}
crossings:
  - at: 310 m   # in metres
    road: Dock Road
    control: signals
  - at: 50.0, -19.99023    # by coordinates
    road: Barrel Lane
    control: none
    direction: return
dismounts: [{at: 0.62 km, why: no entry, metres: 18 m}, {at: 900 m, why: works}]
hazards:
  - at: 1.05 km
    to: finish
    what: speed humps
  - {what: hidden turn, at: 1.9 km}
landmarks:
  - at: waypoint Green gate
    what: Gate
barriers:
  - what: bollards
    at: >-
      1.1
      km
steep: [{at: 0.2 km, metres: 20 m, gradient: 8 %}]
signed: [{from: 0.4 km, to: 0.8 km, as: river route}]
skip: [{at: 1.00 km, what: a path}]
wishes: [{at: 0.61 km, what: a cut-through}]
hardest: {at: 1.3 km, text: The yards.}
best: {at: 1.4 km, text: The row of alders.}
"""
)
PLACES = {
    *(f"legs.{i}.from" for i in (1, 2, 3)),
    *("crossings.0.at", "crossings.1.at", "dismounts.0.at", "dismounts.1.at"),
    *("hazards.0.at", "hazards.0.to", "hazards.1.at", "landmarks.0.at", "barriers.0.at"),
    *("steep.0.at", "signed.0.from", "signed.0.to", "skip.0.at", "wishes.0.at"),
    *("hardest.at", "best.at"),
}


def library(tmp_path, text: str = NOTES, **more):
    waypoint = line_east(2000)[60]
    gpx = gpx_text(line_east(2000), waypoints={"Green gate": waypoint})
    return make_route(tmp_path, text, gpx=gpx, **more)


def lines_of(folder) -> dict:
    route = load(folder)
    panels = Panels(route, measure(route, Settings()), "metric")
    return author_lines(route, {view.key: panels.rows(view) for view in panels.views})


def row(lines: dict, view: str, words: str) -> list[str | None]:
    (found,) = [r["ends"] for r in lines["rows"][view] if words in r["name"]]
    return found


def replaced(text: str, place: dict, value: str) -> str:
    """Return the notes after the author has pasted the new line over the old one."""
    lines = text.split("\n")
    count = place["value"].count("\n") + 1
    old = "\n".join(lines[place["line"] - 1 : place["line"] - 1 + count])
    assert place["before"] + place["value"] + place["after"] == old
    new = place["before"] + value + place["after"]
    return "\n".join([*lines[: place["line"] - 1], new, *lines[place["line"] - 1 + count :]])


def test_every_place_of_the_notes_is_told(tmp_path) -> None:
    lines = lines_of(library(tmp_path))
    assert set(lines["places"]) == PLACES
    assert lines["file"] == "routes/ferry-steps-to-chapel-green/notes.yml"


@pytest.mark.parametrize("key", sorted(PLACES))
def test_the_line_with_a_new_value_puts_that_note_there_and_no_other(tmp_path, key) -> None:
    folder = library(tmp_path)
    before = lines_of(folder)
    place = before["places"][key]
    wanted = (place["least"] + min(place["most"], 2000)) / 2 + 7
    (folder / "notes.yml").write_text(replaced(NOTES, place, f"{wanted / 1000:.3f} km"))
    after = lines_of(folder)
    for other, was in before["places"].items():
        expected = wanted if other == key else was["at"]
        assert after["places"][other]["at"] == pytest.approx(expected, abs=0.6), other


@pytest.mark.parametrize(
    ("key", "line", "unit", "rest"),
    [
        ("legs.1.from", 12, [1000, 2, "km"], {"strict": True}),
        ("legs.2.from", 14, [1000, 3, " km"], {"strict": True}),
        ("legs.3.from", 16, [1609.344, 4, " mi"], {"strict": True}),
        ("crossings.0.at", 18, [1, 0, " m"], {}),
        ("crossings.1.at", 21, [1000, 2, " km"], {"degrees": [5, ", "]}),
        ("hazards.0.to", 28, [1000, 2, " km"], {"word": "finish"}),
        ("hazards.1.at", 30, [1000, 2, " km"], {}),
        ("landmarks.0.at", 32, [1000, 2, " km"], {}),
        ("barriers.0.at", 36, [1000, 2, " km"], {}),
    ],
)
def test_how_a_new_value_is_written_follows_the_old_one(tmp_path, key, line, unit, rest) -> None:
    place = lines_of(library(tmp_path))["places"][key]
    assert place["line"] == line
    assert place["unit"] == unit
    told = {k: v for k, v in place.items() if k in ("strict", "degrees", "word", "own")}
    assert told == rest


def test_a_stretch_has_two_ends_and_the_way_back_exchanges_them(tmp_path) -> None:
    lines = lines_of(library(tmp_path))
    for words, ends in {
        "speed humps": ["hazards.0.at", "hazards.0.to"],
        "river route": ["signed.0.from", "signed.0.to"],
        "Sailmaker": ["legs.1.from", "legs.2.from"],
        "Quay": [None, "legs.1.from"],
        "Alder Lane": ["legs.3.from", None],
        "hidden turn": ["hazards.1.at"],
    }.items():
        assert row(lines, "outbound-0", words) == ends
        assert row(lines, "return-0", words) == ends[::-1]
    assert row(lines, "return-0", "Barrel Lane") == ["crossings.1.at"]
    assert "Barrel Lane" not in str(lines["rows"]["outbound-0"])


def test_bounds_keep_legs_in_order_and_stretches_the_right_way_round(tmp_path) -> None:
    places = lines_of(library(tmp_path))["places"]
    assert (places["legs.2.from"]["least"], places["legs.2.from"]["most"]) == (500, 1500.1)
    assert (places["signed.0.from"]["least"], places["signed.0.from"]["most"]) == (0, 800)
    assert places["signed.0.to"]["least"] == 400


def test_a_way_back_of_its_own_counts_on_its_own_line(tmp_path) -> None:
    back = line_east(2000, lat=50.0002)[::-1]
    text = (
        HEAD
        + "legs: [{from: start, street: Quay, kind: back street}]\n"
        + "hazards: [{at: 0.3 km, what: a step}]\n"
        + "return:\n  legs:\n    - {from: start, street: Yard, kind: back street}\n"
        + "    - {from: 0.7 km, street: Mill, kind: back street}  # back\n"
        + "  hazards:\n    - {at: 0.25 km, what: a kerb}\n"
    )
    lines = lines_of(make_route(tmp_path, text, line_east(2000), return_gpx=gpx_text(back)))
    assert row(lines, "return-0", "Mill") == ["return.legs.1.from", None]
    assert row(lines, "return-0", "kerb") == ["return.hazards.0.at"]
    assert row(lines, "outbound-0", "step") == ["hazards.0.at"]
    place = lines["places"]["return.legs.1.from"]
    assert (place["own"], place["at"], place["line"]) == (True, 700, 13)
    assert "own" not in lines["places"]["hazards.0.at"]


def test_what_stands_in_no_row_is_listed_by_name(tmp_path) -> None:
    lines = lines_of(library(tmp_path))
    assert {other["name"]: other["ends"] for other in lines["others"]} == {
        "hardest: The yards.": ["hardest.at"],
        "best: The row of alders.": ["best.at"],
        "wish: a cut-through": ["wishes.0.at"],
        "steep: 20 m": ["steep.0.at"],
    }


def test_a_variant_s_ends_can_be_moved(tmp_path) -> None:
    text = (
        HEAD
        + "legs: [{from: start, street: Quay, kind: back street}]\nvariants:\n"
        + "  - {file: variant-a.gpx, leave: 0.4 km, rejoin: 1.0 km, why: Level., "
        + "legs: [{from: start, street: Lock path, kind: back street}]}\n"
    )
    detour = [*line_north(300)[1:], *line_east(600, lat=50.0027)]
    start = line_east(2000)[40][1] + 20
    gpx = gpx_text([(lat, lon + start) for lat, lon in detour])
    lines = lines_of(make_route(tmp_path, text, line_east(2000), files={"variant-a.gpx": gpx}))
    (other,) = lines["others"]
    assert other["ends"] == ["variants.0.leave", "variants.0.rejoin"]
    assert lines["places"]["variants.0.rejoin"]["value"] == "1.0 km"


def test_the_unit_of_a_note_without_one_is_the_usual_one_of_the_file(tmp_path) -> None:
    text = (
        HEAD
        + "legs: [{from: start, street: Quay, kind: back street}]\n"
        + "landmarks: [{at: finish, what: A}, {at: 0.5 mi, what: B}, {at: 0.62 mi, what: C}]\n"
    )
    assert lines_of(library(tmp_path, text))["places"]["landmarks.0.at"]["unit"][1:] == [2, " mi"]


def test_notes_in_lines_are_safe_inside_a_script(tmp_path) -> None:
    nasty = "</script><img src=x onerror=alert(1)>"
    text = NOTES.replace("a cut-through", f"'{nasty}'").replace("# in metres", f"# {nasty}")
    route = load_route(library(tmp_path, text), Settings()).route
    script = author_lines_script(route, {})
    assert "<" not in script
    data = json.loads(script.split(" = ", 2)[2].strip().removesuffix(";"))
    assert data["places"]["crossings.0.at"]["after"] == f"   # {nasty}"


def test_lines_of_the_notes_are_in_a_served_site_only(tmp_path) -> None:
    library(tmp_path, NOTES.replace("# in metres", "# MARK OF THE LINE"))
    make_route(tmp_path, notes(title="Weir Mill"), line_east(500), id="weir-mill")
    built, served = (build_site(tmp_path, command).files() for command in ("build", "serve"))
    script = "routes/ferry-steps-to-chapel-green/author.js"
    assert b"MARK OF THE LINE" in served[script]
    assert "assets/softpedal/softpedal-author-move.js" in served
    for path, content in built.items():
        assert "author" not in path
        for trace in (b"MARK OF THE LINE", b"softpedalNotes", b'data-sp="author"'):
            assert trace not in content, (path, trace)
