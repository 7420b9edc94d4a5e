"""A cell of a CSV file is text or a number, never a formula (OWASP "CSV Injection", CWE-1236)."""

from __future__ import annotations

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from building import leg, load, make_route, measured, notes
from softpedal.library.csv_table import csv_table
from softpedal.measure.document import measures_csv

STARTS = "=+-@\t\r"


def cells(text: str, cut: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=cut))


@pytest.mark.parametrize("start", [*STARTS, "＝", " =", "\u00a0+"], ids=ascii)
def test_text_that_starts_a_formula_gets_an_apostrophe(start) -> None:
    assert cells(csv_table([[f"{start}1+1"]])) == [[f"'{start}1+1"]]


@pytest.mark.parametrize("value", [-5, -0.25, "-20.00000", "+5", 1e-7, 0])
def test_a_number_stays_a_number(value) -> None:
    ((cell,),) = cells(csv_table([[value]]))
    assert float(cell) == float(value)


def test_nothing_is_an_empty_cell() -> None:
    assert csv_table([["a", None, "b"]]) == "a,,b\r\n"


@given(
    rows=st.lists(
        st.lists(st.text('=+-@\t\r\n;," 1a.＝') | st.text(), min_size=1, max_size=3), max_size=3
    )
)
def test_no_cell_starts_a_formula_however_it_is_cut(rows) -> None:
    text = csv_table(rows)
    for cut in ",;\t":
        for row in cells(text.replace("\0", ""), cut):
            for cell in row:
                assert not re.match(r"\s*[=@＝]|\s*[+-](?!\d+(\.\d+)?[,\r\n]*)", cell)


def test_the_table_of_measures_has_no_formula(tmp_path) -> None:
    words = notes(
        title='=HYPERLINK("http://x.example")',
        area=["-2+3", "@here"],
        start="+cmd",
        legs=[leg("start", "back street", '=1+1"')],
    )
    folder = make_route(tmp_path, words)
    (_, row, *_) = cells(measures_csv([(load(folder), measured(folder))]))
    assert row[1] == '\'=HYPERLINK("http://x.example")'
    assert "'-2+3;' @here" in row
    assert "'+cmd" in row
