"""What the pages show of the files is right: softpedal takes each block of YAML."""

from __future__ import annotations

from textwrap import indent

import pytest
import yaml

from building import gpx_text, line_east, make_route, notes_text
from building import notes as notes_of
from guide.guide_texts import GUIDE, blocks
from library.pictures import picture
from softpedal.library.format_keys import name_of
from softpedal.library.library_alerts import LibraryAlert, read_alerts
from softpedal.library.load import load_route, load_settings
from softpedal.library.notes import Leg, Notes
from softpedal.library.private_zones import LEAST_OFFSET, MOST_OFFSET, NO_ZONES, USUAL_M
from softpedal.library.reports import Report, read_reports
from softpedal.library.values import Text, Title
from softpedal.measure.ride_reasons import MONTHS
from softpedal.settings import Settings
from softpedal.site.dated import AHEAD_DAYS, OLD_MONTHS
from softpedal.site.language import language_of
from softpedal.upkeep.check import check_library

SHOWN = [block for block in blocks() if block.language == "yaml"]
#: Pages whose examples are tried elsewhere: those of problems.md are wrong on purpose.
ELSEWHERE = {"problems.md"}
#: Positions by film and clock are for drafting alone: tests/draft has them.
FOR_DRAFTING = "at: video 4:10"
KEYS = {name_of(f, info) for f, info in Notes.model_fields.items()}
OF_MKDOCS = {"site_url", "use_directory_urls"}
WHOLE = line_east(5000)
#: What an example needs that is not shown with it.
BESIDE = {"status": "withdrawn", "withdrawn": {"why": "Gone."}}


def _errors_in_notes(text, keys, tmp_path):
    """Return what is wrong with whole notes in which these lines stand as they are shown."""
    data = notes_of(video={"link": "https://video.example/w/12"})
    data |= BESIDE if "withdrawn" in keys else {}
    text = notes_text({key: data[key] for key in data if key not in keys}) + text
    variant = gpx_text([*WHOLE[210:291], *WHOLE[290:209:-1], *WHOLE[210:291]])
    files = {"variant-quay.gpx": variant} if "variants" in keys else {}
    files |= {"photos/lock.jpg": picture()} if "photos" in keys else {}
    back = gpx_text(WHOLE[::-1]) if "return" in keys else None
    folder = make_route(tmp_path, text, WHOLE, return_gpx=back, files=files)
    problems = load_route(folder, Settings()).problems
    # the checksum of an invented line is no track's
    return [p for p in problems if p.is_error and p.code != "track-changed"]


def _errors_in_list(text, keys, tmp_path):
    is_alert = keys <= LibraryAlert.model_fields.keys() | {"from"}
    assert is_alert or keys <= Report.model_fields.keys()
    (tmp_path / ("alerts.yml" if is_alert else "reports.yml")).write_text(text, encoding="utf-8")
    return (read_alerts if is_alert else read_reports)(tmp_path)[1]


@pytest.mark.parametrize(
    "block", [b for b in SHOWN if b.page not in ELSEWHERE], ids=lambda block: block.place
)
def test_an_example_is_taken(block, tmp_path):
    shown = yaml.load(block.text, yaml.BaseLoader)
    if isinstance(shown, list):
        problems = _errors_in_list(block.text, set().union(*shown), tmp_path)
    elif FOR_DRAFTING in block.text or shown.keys() <= OF_MKDOCS:
        problems = []
    elif shown.keys() <= Settings.model_fields.keys():
        (tmp_path / "softpedal.yml").write_text(block.text, encoding="utf-8")
        _, problems = load_settings(tmp_path / "softpedal.yml")
    elif shown.keys() <= KEYS:
        problems = _errors_in_notes(block.text, shown.keys(), tmp_path)
    elif shown.keys() <= Leg.model_fields.keys():
        lines = f"legs:\n  - from: start\n    street: Quay\n{indent(block.text, '    ')}"
        problems = _errors_in_notes(lines, {"legs"}, tmp_path)
    else:
        (tmp_path / "languages").mkdir()
        (tmp_path / "languages" / "de.yml").write_text(block.text, encoding="utf-8")
        assert language_of("de", tmp_path).texts.keys() >= shown.keys()
        problems = []
    assert [str(problem) for problem in problems] == []


def test_the_smallest_route_has_no_problem(tmp_path):
    by_language = {block.language: block for block in blocks() if block.page == "guide.md"}
    folder = tmp_path / "routes" / "mill-lane-to-weir-mill"
    folder.mkdir(parents=True)
    (folder / "track.gpx").write_text(by_language["xml"].text, encoding="utf-8")
    (folder / "notes.yml").write_text(by_language["yaml"].text, encoding="utf-8")
    assert [str(p) for p in check_library(tmp_path, [], None, NO_ZONES)] == []


_NAME, _TEXT = (kind.__metadata__[0].max_length for kind in (Title, Text))


@pytest.mark.parametrize(
    ("page", "said"),
    [
        ("notes-format", f"A name has up to {_NAME:,} characters, a text up to {_TEXT:,}."),
        ("upkeep", f"last ridden {MONTHS} months ago or longer"),
        ("upkeep", f"{MONTHS} months for you and {OLD_MONTHS} for readers"),
        ("upkeep", f"that ride was {OLD_MONTHS} months ago or longer"),
        ("upkeep", f"from {AHEAD_DAYS} days before it begins"),
        ("privacy", f"by {LEAST_OFFSET} to {MOST_OFFSET} of its radius"),
        ("privacy", f"as {1 - MOST_OFFSET:.1f} of the radius"),
        ("privacy", f"({USUAL_M:.0f} m unless you say otherwise)"),
    ],
)
def test_a_number_is_that_of_the_package(page, said):
    assert said in " ".join((GUIDE / f"{page}.md").read_text(encoding="utf-8").split())
