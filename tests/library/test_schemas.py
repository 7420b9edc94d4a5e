"""The JSON Schemas for editors are those of the models, and say of notes what the models say."""

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

import softpedal
from building import notes
from library.note_faults import NOTE_FAULTS
from library.worked_example import NOTES
from softpedal.cli import main
from softpedal.library.notes import Notes
from softpedal.library.yaml_source import read_yaml

PACKAGE = Path(softpedal.__file__).parent
FILES = {
    "notes": "library/notes.schema.json",
    "settings": "library/settings.schema.json",
    "measures": "measure/measures.schema.json",
    "catalogue": "site/catalogue.schema.json",
}


def schema(what):
    return json.loads((PACKAGE / FILES[what]).read_text(encoding="utf-8"))


def errors(data, what="notes"):
    validator = jsonschema.Draft202012Validator(schema(what))
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(data)]


def example(text=NOTES):
    source, problems = read_yaml(text.encode(), "notes.yml")
    assert problems == []
    return source.data


@pytest.mark.parametrize("what", FILES)
def test_a_schema_is_in_step_with_its_model(what):
    printed = CliRunner().invoke(main, ["schema", what]).stdout
    committed = (PACKAGE / FILES[what]).read_text(encoding="utf-8")
    command = f"softpedal schema {what} > plugin/softpedal/{FILES[what]}"
    assert committed == printed, f"The models have changed. Run `{command}` and commit the file."


@pytest.mark.parametrize("what", FILES)
def test_a_schema_is_a_schema(what):
    jsonschema.Draft202012Validator.check_schema(schema(what))
    assert schema(what)["additionalProperties"] is False


def test_the_worked_example_is_valid():
    assert errors(example()) == []


def test_a_misspelt_key_is_not():
    (error,) = errors(example(NOTES.replace("crossings:", "crosings:")))
    assert "'crosings' was unexpected" in error


def test_a_misspelt_key_of_a_leg_is_not():
    (error,) = errors(
        example(NOTES.replace("    lanes: 2\n    surface", "    lans: 2\n    surface"))
    )
    assert error.startswith("$.legs[2]")
    assert "'lans' was unexpected" in error


@pytest.mark.parametrize("key", ["title", "area", "start", "finish", "summary", "status", "legs"])
def test_a_required_key_is_required(key):
    (error,) = errors(notes(**{key: None}))
    assert f"'{key}' is a required property" in error


@pytest.mark.parametrize(
    "changes",
    [
        {"area": "Old Harbour"},
        {"closed": "21:00-06:00", "avoids": "Dock gyratory", "was": "m", "next": "n"},
        {"legs": [{"from": "start", "street": "Quay", "kind": "on foot", "cue": "Push."}]},
        {"legs": [{"from": "start", "street": "Q", "kind": "on foot", "cue": {"return": "Push."}}]},
        {"legs": [{"from": "start", "street": "Q", "kind": "on foot", "lane_width": 1.4}]},
        {"planned": [{"text": "x", "expected": 2027}, {"text": "y", "expected": "some day"}]},
        {"ridden": [{"on": "2026-05-16", "direction": "both", "moving": 19, "standing": 2.5}]},
        {"dismounts": [{"at": "start", "why": "x", "metres": 15}]},
        {"thanks": None, "hardest": None},
        {"hazards": [{"at": "1 km", "what": "x", "source": "map", "note": "y", "film": "4:10"}]},
        {"hazards": [{"at": "1 km", "what": "x", "source": {"outbound": "ridden"}}]},
    ],
    ids=repr,
)
def test_what_the_models_take_the_schema_takes(changes):
    data = {**notes(), **changes}
    Notes.model_validate(data)
    assert errors(data) == []


@pytest.mark.parametrize(
    "changes",
    [
        {"status": "publised"},
        {"title": 3},
        {"title": ""},
        {"area": []},
        {"legs": []},
        {"legs": [{"from": 0, "street": "Q", "kind": "on foot"}]},
        {"legs": [{"from": "start", "street": "Q", "kind": "onfoot"}]},
        {"legs": [{"from": "start", "street": "Q", "kind": "on foot", "lanes": "2"}]},
        {"legs": [{"from": "start", "street": "Q", "kind": "on foot", "speed_limit": 30}]},
        {"crossings": [{"at": "1 km", "road": "Q", "control": "light"}]},
        {"crossings": [{"at": "1 km", "road": "Q", "control": "none", "wait": 75}]},
    ],
    ids=repr,
)
def test_what_the_schema_refuses_the_models_refuse(changes):
    data = {**notes(), **changes}
    assert errors(data)
    with pytest.raises(ValueError, match="validation error"):
        Notes.model_validate(data)


def test_an_editor_finds_many_faults_by_the_schema_alone(tmp_path):
    """Hours, dates and what depends on other keys are left to `softpedal check`."""
    found = 0
    for fault in NOTE_FAULTS:
        content = (fault.make(tmp_path) / "notes.yml").read_bytes()
        found += bool(errors(read_yaml(content, "notes.yml")[0].data))
    assert found > len(NOTE_FAULTS) / 2


def test_descriptions_for_editors_are_there():
    keys = schema("notes")["$defs"]["Leg"]["properties"]
    assert keys["closed_by"]["description"] == "what keeps motor traffic from driving through"
    assert "1.24 km" in keys["from"]["examples"]
