"""`softpedal cues`: the cue sheet on the terminal is the one beside the page."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from building import leg, make_route, notes
from softpedal.cli import main
from softpedal.site.plain_pages import Addresses
from softpedal.site.publish import publish


def run(library, *arguments):
    return CliRunner().invoke(main, ["cues", "a-way", "--library", str(library), *arguments])


@pytest.fixture
def library(tmp_path):
    legs = [leg("start", "back street", cue={"outbound": "Go *on*.", "return": "Go home."})]
    make_route(tmp_path, notes(legs=legs), id="a-way")
    (tmp_path / "softpedal.yml").write_text("background_attribution: Town map\n")
    (tmp_path / "mkdocs.yml").write_text("site_url: https://site.example/rides/\n")
    return tmp_path


@pytest.mark.parametrize(("form", "ending"), [("text", "txt"), ("markdown", "md.txt")])
def test_it_is_the_published_sheet(library, form, ending) -> None:
    result = run(library, "--format", form)
    assert (result.exit_code, result.stderr) == (0, "")
    published = publish(library, Addresses("directory", "https://site.example/rides/"))
    files = {file.path: file.content.decode("utf-8-sig") for file in published.files}
    assert result.stdout == files[f"routes/a-way/a-way-cues.{ending}"]
    assert "https://site.example/rides/routes/a-way/" in result.stdout
    assert "Go on." in result.stdout


def test_one_way_only(library) -> None:
    out = run(library, "--direction", "outbound").stdout
    back = run(library, "--direction", "return").stdout
    assert ("Go on." in out, "Go home." in out) == (True, False)
    assert ("Go on." in back, "Go home." in back) == (False, True)


def test_whose_map_it_is_stands_there_even_if_nobody_wrote_it(library) -> None:
    (library / "softpedal.yml").write_text("extract: town.osm\n")
    assert "© OpenStreetMap contributors" in run(library).stdout


def test_without_an_address_that_is_said(library) -> None:
    (library / "mkdocs.yml").unlink()
    result = run(library)
    assert "://" not in result.stdout
    assert "Give --base" in result.stderr


@pytest.mark.parametrize(
    ("changes", "arguments", "said"),
    [
        ({"ridden": [{"on": "2026-05-16", "direction": "outbound"}]}, ["--direction", "return"],
         "the way back has not been ridden"),
        ({"status": "withdrawn", "withdrawn": {"why": "Gone."}}, [], "is withdrawn"),
        ({"title": ""}, [], "has errors"),
    ],
)  # fmt: skip
def test_what_is_not_offered_is_refused(library, changes, arguments, said) -> None:
    make_route(library, notes(**changes), id="a-way")
    result = run(library, *arguments)
    assert (result.exit_code, result.stdout) == (1, "")
    assert said in result.stderr


def test_an_unknown_route_is_a_usage_error(library) -> None:
    result = CliRunner().invoke(main, ["cues", "nowhere", "--library", str(library)])
    assert result.exit_code == 2
    assert "no route `nowhere`" in result.stderr
