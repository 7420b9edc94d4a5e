"""The pages of the formats are those of the models, and every example in them is right."""

from __future__ import annotations

import copy
import re
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from building import gpx_text, line_east, make_route, notes
from library.pictures import picture
from softpedal.cli import main
from softpedal.library import format_page
from softpedal.library.format_keys import example_of, hints_of, keys, model_in, name_of, smallest
from softpedal.library.format_page import PAGES, models_below
from softpedal.library.library_alerts import LibraryAlert, read_alerts
from softpedal.library.load import load_route, load_settings
from softpedal.library.note_items import Conditional, Item
from softpedal.library.notes import Leg, LineNotes, Notes, Plan, Ride, TrackMark
from softpedal.library.reports import Report, read_reports
from softpedal.settings import Settings

GUIDE = Path(__file__).parents[2] / "site_demo"
COMMITTED = {
    "notes": "notes-format.md",
    "settings": "settings.md",
    "problems": "problems.md",
    "commands": "commands.md",
}
ALL = {name: model for roots in PAGES.values() for name, model in models_below(roots).items()}
FIELDS = [(model, field) for model in ALL.values() for field in model.model_fields]
#: Told of several models at once: their keys are tried on those.
SHARED = {Item, Conditional}
#: What an example needs beside it.
WITH = {"level": {"why": "Lorries use it."}, "withdrawn": {"status": "withdrawn"}}
WHOLE = line_east(5000)
FILES = {
    "photos/lock.jpg": picture(),
    "variant-quay.gpx": gpx_text([*WHOLE[210:291], *WHOLE[290:209:-1], *WHOLE[210:291]]),
}


def _name(pair):
    return f"{pair[0].__name__}.{pair[1]}"


@pytest.mark.parametrize("page", COMMITTED)
def test_a_page_is_in_step_with_the_models(page):
    printed = CliRunner().invoke(main, ["guide", page])
    assert printed.exit_code == 0, printed.exception
    committed = (GUIDE / COMMITTED[page]).read_text(encoding="utf-8")
    message = f"Run `make guide`, or `softpedal guide {page} > site_demo/{COMMITTED[page]}`."
    assert committed == printed.stdout, message


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("{keys Steep}", ""), "tells nothing of Steep"),
        (("{keys Steep}", "{keys Step}"), "names Step"),
    ],
)
def test_prose_that_forgets_or_invents_a_list_is_refused(change, said, tmp_path, monkeypatch):
    prose = (Path(format_page.__file__).parent / "format" / "notes.md").read_text("utf-8")
    assert change[0] in prose
    (tmp_path / "notes.md").write_text(prose.replace(*change), encoding="utf-8")
    monkeypatch.setattr(format_page, "_PROSE", tmp_path)
    with pytest.raises(ValueError, match=said):
        format_page.format_page("notes")


@pytest.mark.parametrize(
    ("model", "said"),
    [
        (Leg, "Takes a whole number from 1 to 12."),
        (Ride, "Takes a number above 0."),
        (Ride, "Takes a number from 0 and below 10,000."),
        (Plan, "Takes a whole number from 2000 to 2200 or a text."),
        (Settings, "Takes a country code."),
        (Settings, "Takes a number from 6 to 40; left out, `15`."),
        (Notes, "Takes a list ([its keys](#rides))."),
    ],
)
def test_a_key_tells_its_limits_and_where_its_own_keys_are(model, said):
    assert said in keys(model, [], {(Notes, "ridden"): "rides"})


def test_every_page_is_in_the_navigation():
    """A page that nobody links to is a page that nobody finds."""
    nav = yaml.safe_load((GUIDE.parent / "mkdocs.yml").read_text(encoding="utf-8"))["nav"]
    named = set(re.findall(r"[\w-]+\.md", str(nav)))
    assert {page.name for page in GUIDE.glob("*.md")} - named == set()


@pytest.mark.parametrize("pair", FIELDS, ids=_name)
def test_every_field_says_what_it_is_and_has_an_example(pair):
    model, field = pair
    info = model.model_fields[field]
    assert info.description
    assert not info.description.endswith(".")
    assert info.examples or model_in(hints_of(model)[field])
    assert example_of(model, field) not in (None, "", [], {})


def _tried():
    """Return each example of the notes: the model, its key and the value."""
    for model, field in FIELDS:
        if model.__name__ in models_below((Notes,)) and model not in SHARED:
            info = model.model_fields[field]
            for example in info.examples or [example_of(model, field)]:
                yield model, name_of(field, info), example


def _data(model, key, example):
    """Return whole notes in which the key of the model has the value."""
    data = notes(video={"link": "https://video.example/w/12"})
    if model in (Notes, LineNotes):
        return {**data, **WITH.get(key, {}), key: example}
    item = {**smallest(model), **WITH.get(key, {}), key: example}
    if model is Leg:
        first = [] if item["from"] == "start" else [smallest(Leg)]
        if key == "hours":
            del item["kind"]
        return {**data, "legs": [*first, item]}
    holder = next(f for f in Notes.model_fields if model_in(hints_of(Notes)[f]) is model)
    as_list = isinstance(example_of(Notes, holder), list)
    name = name_of(holder, Notes.model_fields[holder])
    return {**data, **WITH.get(name, {}), name: [item] if as_list else item}


@pytest.mark.parametrize(
    "tried", list(_tried()), ids=lambda t: f"{t[0].__name__}.{t[1]}={t[2]}"[:60]
)
def test_an_example_of_the_notes_is_right(tried, tmp_path):
    model, key, example = tried
    data = copy.deepcopy(_data(model, key, example))
    back = gpx_text(WHOLE[::-1]) if "return" in data else None
    used = {k: v for k, v in FILES.items() if k.split(".")[0].split("/")[0] in str(data)}
    folder = make_route(tmp_path, data, WHOLE, return_gpx=back, files=used)
    errors = {p.code for p in load_route(folder, Settings()).problems if p.is_error}
    is_mark = model is TrackMark or key == "track"
    assert errors == ({"track-changed"} if is_mark else set())  # an invented line's checksum


def test_every_example_of_the_settings_is_right(tmp_path):
    path = tmp_path / "softpedal.yml"
    whole = {}
    for field in Settings.model_fields:
        holder = model_in(hints_of(Settings)[field])
        whole[field] = (
            {f: example_of(holder, f) for f in holder.model_fields}
            if holder
            else example_of(Settings, field)
        )
    path.write_text(yaml.safe_dump(whole), encoding="utf-8")
    settings, problems = load_settings(path)
    assert problems == []
    assert settings != Settings()


def test_every_example_of_the_lists_is_right(tmp_path):
    for model, name in ((LibraryAlert, "alerts.yml"), (Report, "reports.yml")):
        fields = model.model_fields
        item = {name_of(f, fields[f]): example_of(model, f) for f in fields}
        (tmp_path / name).write_text(yaml.safe_dump([item]), encoding="utf-8")
    alerts, problems = read_alerts(tmp_path)
    assert (len(alerts), problems) == (1, [])
    reports, problems = read_reports(tmp_path)
    assert problems == []
    assert reports is not None
    assert len(reports.reports) == 1
