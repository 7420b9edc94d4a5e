"""Every problem has its place in the guide, and its examples lead to it and away from it."""

from __future__ import annotations

import re

import pytest

from building import line_east, make_route, notes_text
from building import notes as notes_of
from softpedal.library.private_zones import NO_ZONES
from softpedal.library.problems_page import problems_page, remedies
from softpedal.problems import CODES
from softpedal.upkeep.check import check_library

SHOWN = {code: remedy for code, remedy in remedies().items() if remedy.bad}


def _problems(library, lines):
    make_route(library, f"{notes_text(notes_of())}{lines}\n", line_east(2000))
    return check_library(library, [], None, NO_ZONES)


def test_every_code_has_a_heading_of_its_own():
    headings = re.findall(r"^### (\S+)$", problems_page(), re.MULTILINE)
    assert sorted(headings) == sorted(CODES)


def test_the_page_fails_where_a_code_has_no_remedy(monkeypatch):
    monkeypatch.setitem(CODES, "new-code", "A rule.")
    with pytest.raises(ValueError, match="new-code"):
        problems_page()


@pytest.mark.parametrize("code", CODES)
def test_a_remedy_says_more_than_the_rule(code):
    remedy = remedies()[code]
    assert remedy.usual.endswith((".", "`"))
    assert remedy.do.endswith((".", "`", ")"))
    assert len({CODES[code], remedy.usual, remedy.do}) == 3


@pytest.mark.parametrize("code", SHOWN)
def test_the_bad_example_leads_to_the_problem(code, tmp_path):
    assert code in {problem.code for problem in _problems(tmp_path, SHOWN[code].bad)}


@pytest.mark.parametrize("code", [code for code in SHOWN if SHOWN[code].good])
def test_the_good_example_leads_to_none(code, tmp_path):
    assert [str(p) for p in _problems(tmp_path, SHOWN[code].good)] == []
