"""Our tracks against the schema of GPX 1.1 as TopoGrafix publishes it (gpx_schema/SOURCES.md)."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pytest
import xmlschema

from building import crossing, leg, load, notes, route_of
from softpedal.library.load import load_settings
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site.downloads import gpx_files

ROOT = Path(__file__).parents[2]
FOLDER = Path(__file__).parent / "gpx_schema"
SCHEMA = xmlschema.XMLSchema(FOLDER / "gpx.xsd")
READ_SETTINGS = load_settings(ROOT / "softpedal.yml")[0]
ROUTES = sorted(path.parent for path in (ROOT / "routes").glob("*/notes.yml"))


def tracks(route, settings=Settings()) -> dict[str, bytes]:  # noqa: B008 - it is frozen
    files = gpx_files(route, measure(route, settings), settings)
    return {file.path: file.content for file in files if file.path.endswith(".gpx")}


def test_the_schema_is_the_one_that_is_named() -> None:
    digest = hashlib.sha256((FOLDER / "gpx.xsd").read_bytes()).hexdigest()
    assert digest in (FOLDER / "SOURCES.md").read_text()


@pytest.mark.parametrize("folder", ROUTES, ids=lambda folder: folder.name)
def test_the_demo_s_tracks_are_valid(folder) -> None:
    route = load(folder, READ_SETTINGS)
    found = tracks(route, READ_SETTINGS)
    assert found or route.notes.status == "withdrawn"
    for content in found.values():
        SCHEMA.validate(io.BytesIO(content))


def test_a_track_with_hostile_words_is_valid() -> None:
    words = notes(
        title='Quay <Row> & "Steps" ]]> --',
        legs=[leg("start", "back street", cue="Left -- <b>into</b> Kiln & Tar Lane")],
        crossings=[crossing("0.5 km", "zebra", road="Dock & <Grain> Road")],
    )
    settings = Settings(background_attribution="Town & <i>Sons</i> --> <x/> --- CC0 -")
    found = tracks(route_of(words), settings)
    assert len(found) == 2
    for content in found.values():
        SCHEMA.validate(io.BytesIO(content))


def test_the_schema_refuses_what_is_not_gpx() -> None:
    (content, _) = tracks(route_of()).values()
    for wrong in (
        content.replace(b'version="1.1"', b'version="1.0"'),
        content.replace(b'lat="50.0"', b'lat="95.0"'),
        content.replace(b"<trkseg>", b"<trkseg><speed>3</speed>"),
    ):
        assert wrong != content
        assert not SCHEMA.is_valid(io.BytesIO(wrong))
