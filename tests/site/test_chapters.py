"""Chapters of a film, and where a route's page links to its seconds."""

from __future__ import annotations

import pytest

from building import crossing, leg, notes, route_of
from softpedal.library.film_time import film_seconds, film_text
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.chapters import NoFilmError, chapters_of, one_line
from softpedal.site.timetable import Timetable


def found(**changes):
    route = route_of(notes(**changes))
    return chapters_of(route, measure(route, Settings()), "metric")


def legs(*films):
    return [
        leg("start" if i == 0 else f"{i * 300} m", "back street", f"Lane {i}", film=film)
        for i, film in enumerate(films)
    ]


@pytest.mark.parametrize(("text", "second"), [("0:07", 7), ("4:10", 250), ("1:02:03", 3723)])
def test_a_time_in_the_film_is_a_second_and_back(text, second) -> None:
    assert (film_seconds(text), film_text(second)) == (second, text)


def test_chapters_begin_at_nought_and_rise() -> None:
    told = [str(c) for c in found(legs=legs("0:20", "1:00", "1:00:05")).chapters]
    assert told[0] == "0:00 Start: Ferry Steps"
    assert [line.split()[0] for line in told] == ["0:00", "0:20", "1:00", "1:00:05"]
    assert told[1] == "0:20 Lane 0, back street"


def test_of_two_within_ten_seconds_the_busy_crossing_stays() -> None:
    busy = crossing("310 m", "toucan", road_class="primary", film="1:09")
    told = found(legs=legs("0:20", "1:00"), crossings=[busy])
    assert [c.second for c in told.chapters] == [0, 20, 69]
    assert any("1:00 Lane 1" in remark for remark in told.remarks)
    later = found(legs=legs("0:20", "1:00"), crossings=[{**busy, "film": "1:10"}])
    assert [c.second for c in later.chapters] == [0, 20, 60, 70]


def test_a_time_against_the_order_of_the_line_is_left_out_and_said() -> None:
    told = found(legs=legs("0:20", "9:00", "1:00", "2:00"))
    assert [c.second for c in told.chapters] == [0, 20, 60, 120]
    assert [r for r in told.remarks if r.startswith("9:00 Lane 1")]


def test_two_chapters_are_no_list() -> None:
    told = found(legs=legs("0:20"))
    assert told.chapters == ()
    assert "2 of at least 3" in told.remarks[-1]


def test_nothing_on_film_is_said_with_a_hint() -> None:
    with pytest.raises(NoFilmError) as error:
        found()
    assert 'film: "4:10"' in error.value.hint


def test_markup_and_angle_brackets_do_not_come_through() -> None:
    made = legs("0:20", "1:00")
    made[0]["street"] = "*Old* <b>Lane</b>"
    assert found(legs=made).chapters[1].words == "Old ‹b›Lane‹/b›, back street"
    assert one_line("one two three", 9) == "one two…"


@pytest.mark.parametrize(
    ("video", "address"),
    [
        (
            {"jump": "https://video.example/w?t={seconds}", "chapters": True},
            "https://video.example/w?t=250",
        ),
        ({"jump": "https://video.example/w?t={seconds}"}, ""),
        ({"chapters": True}, ""),
    ],
)
def test_a_row_links_to_its_second_only_where_the_notes_ask(video, address) -> None:
    link = {"link": "https://video.example/w", **video}
    route = route_of(notes(legs=legs("4:10"), video=link))
    rows = {}
    for way in ("outbound", "return"):
        measured = measure(route, Settings()).of(way)
        rows[way] = Timetable(route, measured, measured.leading, "metric").rows()[0]
    assert rows["outbound"].film.address == address
    assert rows["return"].film is None  # the film shows the ride out
