"""Every kind of fault is reported once, with its place and its remedy, and hurts no neighbour."""

import pytest

from building import line_east, make_route
from library.file_faults import FILE_FAULTS
from library.note_faults import NOTE_FAULTS
from library.place_faults import PLACE_FAULTS
from library.small_library import BROKEN, GOOD, NOTES
from library.yaml_faults import YAML_FAULTS
from softpedal.problems import CODES
from softpedal.upkeep.check import check_library

FAULTS = [*YAML_FAULTS, *NOTE_FAULTS, *PLACE_FAULTS, *FILE_FAULTS]


@pytest.fixture(scope="module")
def library(tmp_path_factory):
    folder = tmp_path_factory.mktemp("library")
    for name in GOOD:
        make_route(folder, id=name)
    return folder


@pytest.mark.parametrize("fault", FAULTS, ids=[fault.name for fault in FAULTS])
def test_a_fault_is_reported_at_its_place_and_harms_no_other_route(fault, tmp_path):
    for name in GOOD:
        make_route(tmp_path, points=line_east(2000, step=400), id=name)
    fault.make(tmp_path)
    problems = check_library(tmp_path)
    assert [(p.code, p.line, p.column, p.severity) for p in problems] == [
        (fault.code, *fault.place, fault.severity)
    ], [str(p) for p in problems]
    (problem,) = problems
    assert fault.hint in problem.hint
    assert problem.hint
    assert fault.says in problem.message
    assert problem.route == fault.route
    assert problem.file == "/".join(part for part in ("routes", fault.route, fault.file) if part)


def test_the_notes_that_faults_are_made_in_have_none(library):
    make_route(library, NOTES, id=BROKEN)
    assert check_library(library) == []


def test_every_code_but_those_of_tracks_maps_zones_lists_and_settings_has_a_fault_here():
    tested = {fault.code for fault in FAULTS}
    elsewhere = {"settings-value", "private-zone", "site-address", "reports-value", "alerts-value"}
    elsewhere |= {code for code in CODES if code.startswith(("gpx-", "map-"))}
    assert set(CODES) - elsewhere - tested == set()


def test_names_of_faults_are_not_used_twice():
    assert len({fault.name for fault in FAULTS}) == len(FAULTS)
