"""The catalogue of all routes: valid by its own schema, and true to the measures."""

from __future__ import annotations

import datetime as dt
import json

import jsonschema
import pytest

from building import crossing, document, leg, line_east, make_route, notes
from demo_site import ROOT
from softpedal.library.load import load_settings
from softpedal.site import wording
from softpedal.site.addresses import CATALOGUE, CATALOGUE_SCHEMA
from softpedal.site.catalogue_json import catalogue_schema
from softpedal.site.plain_pages import Addresses
from softpedal.site.publish import publish

BASE = "https://lindenferry.example/rides"
LINK = Addresses("directory", BASE)
TODAY = dt.date(2026, 11, 26)


def files_of(library, link=LINK):
    return {file.path: file.content for file in publish(library, link, today=TODAY).files}


def catalogue_of(library):
    return json.loads(files_of(library)[CATALOGUE])


def faults(catalogue):
    return [e.json_path for e in jsonschema.Draft202012Validator(SCHEMA).iter_errors(catalogue)]


SCHEMA = catalogue_schema()


@pytest.fixture
def library(tmp_path):
    """One of three kinds of street, one of them shut for good, and one draft."""
    legs = [
        leg("start", "filtered street", "Quay", closed_by="posts"),
        leg("600 m", "back street", "Row", speed_limit="20 mph", lanes=2),
        leg("1.2 km", "busy road", "Dock Road"),
    ]
    rides = [{"on": "2024-03-02", "direction": "both"}, {"on": "2026-05-16", "direction": "return"}]
    out = notes(
        legs=legs,
        ridden=rides,
        summary="Along the *water*.",
        crossings=[crossing("590 m", "signals", vehicles_per_day=9000, lanes=2)],
        alerts=[{"from": "2026-09-01", "text": "Works."}],
    )
    make_route(tmp_path, out, id="a-way")
    gone = {"why": "The *bridge* is shut.", "instead": "a-way", "on": "2026-11-02"}
    make_route(tmp_path, notes(status="withdrawn", withdrawn=gone), id="gone")
    make_route(tmp_path, notes(status="draft"), id="draft")
    (tmp_path / "softpedal.yml").write_text("cards: true\nbackground_attribution: Town, CC0\n")
    return tmp_path


def test_it_is_valid_and_so_is_the_demo_s(library) -> None:
    assert faults(catalogue_of(library)) == []
    demo = catalogue_of(ROOT)
    assert faults(demo) == []
    assert len(demo["routes"]) >= 10


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (["schema"], 2),
        (["address"], "routes/"),
        (["routes", 0, "status"], "draft"),
        (["routes", 0, "bounds"], [1.0, 2.0]),
        (["routes", 0, "last_ridden_on"], "May"),
        (["routes", 0, "directions", "outbound", "states", 0, "quietness"], 1.5),
        (["routes", 0, "rating"], 5),
    ],
)
def test_the_schema_refuses_what_is_wrong(library, path, value) -> None:
    catalogue = catalogue_of(library)
    inner = catalogue
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    assert faults(catalogue)


def test_it_names_its_schema_which_is_published_beside_it(library) -> None:
    catalogue, files = catalogue_of(library), files_of(library)
    assert catalogue["$schema"] == f"{BASE}/{CATALOGUE_SCHEMA}"
    assert json.loads(files[CATALOGUE_SCHEMA]).pop("$schema").endswith("2020-12/schema")
    assert {
        k: v for k, v in json.loads(files[CATALOGUE_SCHEMA]).items() if k != "$schema"
    } == SCHEMA


def test_a_route_s_record(library) -> None:
    (route, _) = catalogue_of(library)["routes"]
    page = f"{BASE}/routes/a-way/"
    assert route["addresses"] == {
        "page": page,
        "embed": f"{page}embed/index.html",
        "oembed": f"{page}oembed.json",
        "gpx": f"{page}a-way.gpx",
        "gpx_back": f"{page}a-way-back.gpx",
        "geojson": f"{page}a-way.geojson",
        "card": f"{page}card.png",
    }
    assert route["summary"] == "Along the water."
    assert (route["first_ridden_on"], route["last_ridden_on"]) == ("2024-03-02", "2026-05-16")
    assert route["alerts"] == [{"from": "2026-09-01", "until": None, "text": "Works."}]
    assert route["hardest"].startswith("800 m of busy road on Dock Road")
    assert wording.CAUTION_SHORT in route["caution"]
    assert "last on 16 May 2026" in route["caution"]
    assert route["attribution"] == "Town, CC0"
    lons = [lon for _, lon in line_east(2000)]
    assert route["bounds"] == pytest.approx([min(lons), 50.0, max(lons), 50.0], abs=1e-6)


def test_every_address_of_a_file_is_that_of_a_file(library) -> None:
    files = files_of(library)
    for route in catalogue_of(library)["routes"]:
        for name, address in route["addresses"].items():
            if address and name != "page":
                assert address.removeprefix(f"{BASE}/") in files, address


def test_its_measures_are_the_measures_and_no_share_is_rounded_up(library) -> None:
    settings, _ = load_settings(library / "softpedal.yml")
    (exact,) = document(library / "routes" / "a-way", settings)["routes"]
    (told, _) = catalogue_of(library)["routes"]
    assert told["difficulty"] == exact["difficulty"]
    pairs = list(_numbers(told["directions"], exact["directions"]))
    assert len(pairs) > 40
    for name, short, whole in pairs:
        assert short == pytest.approx(whole, abs=0.051), name
        if name in {"quietness", "confirmed_share"}:
            assert whole - 1e-4 < short <= whole + 1e-9, name


def _numbers(told, exact, name=""):
    """Yield numbers by name; what is not a number must be equal."""
    if isinstance(exact, dict):
        assert list(told) == list(exact)
        for key in exact:
            yield from _numbers(told[key], exact[key], key)
    elif isinstance(exact, list):
        assert len(told) == len(exact)
        for one, other in zip(told, exact, strict=True):
            yield from _numbers(one, other, name)
    elif isinstance(exact, float):
        yield name, told, exact
    else:
        assert told == exact


def test_a_withdrawn_route_says_why_and_gives_no_figures(library) -> None:
    (_, gone) = catalogue_of(library)["routes"]
    assert gone["status"] == "withdrawn"
    told = {"why": "The bridge is shut.", "on": "2026-11-02", "instead": "a-way"}
    assert gone["withdrawn"] == told
    assert gone["directions"] is gone["difficulty"] is None
    given = {name for name, address in gone["addresses"].items() if address}
    assert given == {"page", "embed"}


def test_a_site_without_an_address_has_none(library) -> None:
    assert not {CATALOGUE, CATALOGUE_SCHEMA} & set(files_of(library, Addresses()))


def test_a_library_without_routes_has_an_empty_one(tmp_path) -> None:
    (tmp_path / "routes").mkdir()
    catalogue = catalogue_of(tmp_path)
    assert catalogue["routes"] == []
    assert faults(catalogue) == []
