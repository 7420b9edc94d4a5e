"""Where a value stands in its lines, whatever the style in which it was written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softpedal.library.written import Written, written_values

STYLES = {
    "at: 1.24 km\n": ("at: ", "1.24 km", ""),
    "at:   1.24 km   # by the baths\n": ("at:   ", "1.24 km", "   # by the baths"),
    'at: "1.24 km" # quoted\n': ('at: "', "1.24 km", '" # quoted'),
    "at: '50.1, -20.2'\n": ("at: '", "50.1, -20.2", "'"),
    "{what: Baths, at: 1.24 km }\n": ("{what: Baths, at: ", "1.24 km", " }"),
    "{at: 1.24 km, what: Baths}  # two\n": ("{at: ", "1.24 km", ", what: Baths}  # two"),
    "{what: Müllers Gaſſe ñ 🜁, at: 1 km}\n": ("{what: Müllers Gaſſe ñ 🜁, at: ", "1 km", "}"),
    "\ufeffat: 3 km": ("at: ", "3 km", ""),
}


@pytest.mark.parametrize("text", STYLES)
def test_a_value_is_cut_out_of_its_line(text) -> None:
    found = written_values(text.encode())["at",]
    assert (found.before, found.value, found.after) == STYLES[text]
    assert found.line == 1


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_counted_whatever_their_end(end) -> None:
    text = end.join(["# first", "list:", "  - at: 1 km", "    to: 2 km  # end", ""])
    found = written_values(text.encode())
    assert found["list", 0, "at"] == Written(3, "  - at: ", "1 km", "")
    assert found["list", 0, "to"] == Written(4, "    to: ", "2 km", "  # end")


@pytest.mark.parametrize(
    "text",
    ["list:\n  - at: >-\n      1.24\n      km\n    what: Baths\n", "at: >\n  1.24 km\n\n\nb: c\n"],
)
def test_a_value_over_several_lines_is_all_of_them(text) -> None:
    found = next(w for path, w in written_values(text.encode()).items() if path[-1] == "at")
    assert found.before.endswith("at: ")
    assert found.value.startswith(">")
    assert found.value.endswith("km")
    assert found.after == ""
    lines = text.split("\n")
    count = found.value.count("\n") + 1
    whole = "\n".join(lines[found.line - 1 : found.line - 1 + count])
    assert found.before + found.value + found.after == whole


def test_a_value_is_not_mixed_up_with_a_key_or_an_equal_value() -> None:
    found = written_values(b"at: at\nto: at\n")
    assert found == {("at",): Written(1, "at: ", "at", ""), ("to",): Written(2, "to: ", "at", "")}


@pytest.mark.parametrize("content", [b"at: [\n", b"at: \xff\n", b"a: &b c\n", b""])
def test_of_a_file_that_cannot_be_read_nothing_is_told(content) -> None:
    assert written_values(content) == {}


@given(
    st.text("abc é#", max_size=12),
    st.sampled_from(["1.24 km", "start", "50.01, -20.0 near 2 km"]),
    st.text(" \t", max_size=3),
    st.sampled_from(["", " # note", " # at: 9 km"]),
)
def test_the_pieces_make_the_line(key, value, room, comment) -> None:
    text = f'"{key}x": {value}{room}{comment}\nlast: 1\n'
    (found, _) = written_values(text.encode()).values()
    assert found.before + found.value + found.after == text.partition("\n")[0]
    assert found.value == value
