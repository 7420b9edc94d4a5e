"""What the table of `softpedal measure` says of a short route."""

from __future__ import annotations

from click.testing import CliRunner

from building import leg, line_east, make_route, notes
from softpedal.cli import main


def test_a_route_under_a_kilometre_has_metres_and_no_percentage(tmp_path):
    quiet = notes(legs=[leg("start", "back street"), leg("300 m", "traffic-free path")])
    make_route(tmp_path, quiet, line_east(800), id="short")
    make_route(tmp_path, quiet, line_east(1300), id="long")
    result = CliRunner().invoke(main, ["measure", "--library", str(tmp_path)])
    rows = {line.split()[0]: line for line in result.output.splitlines()[1:]}
    assert "500 m" in rows["short"]
    assert "%" not in rows["short"]
    assert "76 %" in rows["long"]
