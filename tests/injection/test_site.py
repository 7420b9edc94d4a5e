"""Whatever an author types stays text, in every file of a site, through both doors.

A library of attacks (`hostile.py`) and a harmless one are built side by side. Each file is read by
a parser of its format, and must be built alike in both; and the route's title must be found in it
as text. What a browser makes of it is in `browser/test_injection.py`, and what travels further in
`test_shared.py`.
"""

from __future__ import annotations

import csv
import io
import json
import re
import xml.etree.ElementTree as ET
from html import unescape
from pathlib import Path

import gpxpy
import pytest
import xmlschema
from click.testing import CliRunner
from markdown_it import MarkdownIt

from building import load
from hostile import NAMES, ROUTES, SITE_URL, WITHDRAWN, title_of
from html_outline import Outline
from injection.built import KINDS, pages, texts
from softpedal.cli import main
from softpedal.library.load import load_settings
from softpedal.measure.document import measures_csv, measures_document
from softpedal.measure.route_measures import measure
from softpedal.site.text import front_text
from visible_text import visible_text

GPX = xmlschema.XMLSchema(Path(__file__).parents[1] / "published" / "gpx_schema" / "gpx.xsd")
HTML = MarkdownIt("commonmark").enable("table")
EVERY = [*ROUTES, WITHDRAWN]


def flat(text: str) -> str:
    return " ".join(text.split())


# -- pages ----------------------------------------------------------------------------------------


def test_no_page_has_a_handler_or_an_address_that_runs(built) -> None:
    faults = {path: Outline(html).faults() for path, html in pages(built["hostile"]).items()}
    assert {path: found for path, found in faults.items() if found} == {}


def test_pages_are_built_of_the_same_elements(built) -> None:
    hostile, tame = (pages(built[kind]) for kind in KINDS)
    shared = sorted(set(hostile) & set(tame))
    assert len(shared) > 2 * len(EVERY)
    for path in shared:
        ours, theirs = Outline(hostile[path]), Outline(tame[path])
        assert ours.elements == theirs.elements, path
    every = [Outline(html) for html in tame.values()]
    known = {seen for outline in every for seen in [*outline.elements, *outline.drawn]}
    for path, html in hostile.items():
        outline = Outline(html)
        assert {*outline.elements, *outline.drawn} <= known, path


def test_no_script_of_a_page_came_from_the_notes(built) -> None:
    known = {words for html in pages(built["tame"]).values() for _, words in Outline(html).scripts}
    for path, html in pages(built["hostile"]).items():
        for kind, words in Outline(html).scripts:
            if kind in {"application/json", "application/ld+json"}:
                json.loads(words)
            else:
                assert words in known, path


@pytest.mark.parametrize("route", EVERY)
def test_a_title_is_read_as_it_was_written(evil, route) -> None:
    title = title_of(route)
    here = f"routes/{route}/index"
    page = Outline(evil.mkdocs[f"{here}.html"].decode())
    assert flat(page.heading.replace("¶", "")) == title
    assert page.title == f"{json.loads(front_text(title))} - Lindenferry"
    assert flat(Outline(pages(evil)[f"plain/{here}.md"]).heading) == title
    listed = visible_text(evil.mkdocs["lists/by-title/index.html"].decode(), "article")
    assert (title in listed) is (route != WITHDRAWN)


def test_no_page_s_source_has_a_template_s_tag(evil) -> None:
    """Many generators look for them in Markdown; the front matter is not looked at."""
    for path, text in texts(evil.plain, ".md").items():
        body = text.split("\n---\n", 1)[1]
        assert not re.search(r"\{[{%#]", body), path


# -- data -----------------------------------------------------------------------------------------


def test_json_is_json_and_says_the_same(built) -> None:
    hostile, tame = (texts(built[kind].mkdocs, ".json", ".geojson") for kind in KINDS)
    for path, text in hostile.items():
        data = json.loads(text)
        if path in tame and "search_index" not in path:
            assert _keys(data) == _keys(json.loads(tame[path])), path
    for route in ROUTES:
        data = json.loads(hostile[f"routes/{route}/{route}.geojson"])
        assert data["title"] == title_of(route)
    found = json.loads(hostile["search/search_index.json"])["docs"]
    assert not [doc for doc in found if "<" in doc["title"]]  # the theme takes it for HTML
    assert {title_of(route) for route in EVERY} <= {unescape(doc["title"]) for doc in found}


def test_the_scripts_of_maps_and_lists_are_data(built) -> None:
    found = 0
    for path, text in texts(built["hostile"].mkdocs, ".js").items():
        if not path.startswith("routes/") or path.endswith("share.js"):
            continue
        assert not re.search(r"[<>&\u2028\u2029]", text.replace("&&", "")), path
        for name, payload in re.findall(r"^(softpedal\w+)\[?[^=]*\]? = (.+);$", text, re.MULTILINE):
            json.loads(payload)
            found += bool(name)
    assert found >= len(ROUTES)


@pytest.mark.parametrize("route", ROUTES)
@pytest.mark.parametrize("ending", [".gpx", "-back.gpx"])
def test_a_track_is_valid_and_has_its_name(evil, route, ending) -> None:
    content = evil.mkdocs[f"routes/{route}/{route}{ending}"]
    GPX.validate(io.BytesIO(content))
    name = gpxpy.parse(content.decode()).tracks[0].name
    assert name.startswith(title_of(route))
    assert content.count(b"<!--") == content.count(b"-->") == 1


def test_drawings_are_xml_and_draw_only(built) -> None:
    hostile, tame = (texts(built[kind].mkdocs, ".svg") for kind in KINDS)
    known = {node.tag for text in tame.values() for node in ET.fromstring(text).iter()}
    for path, text in hostile.items():
        for node in ET.fromstring(text).iter():
            assert node.tag in known, path
            assert not [name for name in node.attrib if name.startswith("on")], path


def test_a_code_holds_the_page_s_address_and_no_more(evil) -> None:
    for route in ROUTES:
        drawing = ET.fromstring(evil.mkdocs[f"routes/{route}/qr.svg"])
        title = drawing.find("{http://www.w3.org/2000/svg}title")
        assert title.text == f"{SITE_URL}routes/{route}/"


def test_no_cell_starts_a_formula(built) -> None:
    sizes = {}
    for kind in KINDS:
        library = built[kind].library
        settings = load_settings(library / "softpedal.yml")[0]
        good = [load(library / "routes" / route, settings) for route in EVERY]
        tables = [measures_csv([(r, measure(r, settings)) for r in good])]
        tables += texts(built[kind].mkdocs, ".csv").values()
        rows = [list(csv.reader(io.StringIO(table, newline=""))) for table in tables]
        sizes[kind] = [[len(row) for row in table] for table in rows]
        cells = [cell for table in rows for row in table for cell in row]
        assert not [c for c in cells if re.match(r"\s*[=+@\t\r]|\s*-(?!\d+(\.\d+)?$)", c)]
        if kind == "hostile":
            assert any(cell.startswith("'=HYPERLINK") for cell in cells)
            assert "-20.00000" in cells or any(re.fullmatch(r"-\d+\.\d+", c) for c in cells)
    assert sizes["hostile"] == sizes["tame"]


def test_the_document_of_measures_keeps_titles(evil) -> None:
    settings = load_settings(evil.library / "softpedal.yml")[0]
    routes = [load(evil.library / "routes" / route, settings) for route in EVERY]
    text = json.dumps(measures_document([(r, measure(r, settings)) for r in routes]))
    assert [r["title"] for r in json.loads(text)["routes"]] == [title_of(r) for r in EVERY]


# -- words for readers ----------------------------------------------------------------------------


@pytest.mark.parametrize("route", ROUTES)
def test_a_cue_sheet_has_no_line_of_its_author_s(built, route) -> None:
    path = f"routes/{route}/{route}-cues"
    plain = built["hostile"].mkdocs[f"{path}.txt"].decode("utf-8-sig")
    assert not [line for line in plain.splitlines() if line.startswith(("Bcc", "x@y"))]
    assert not re.search(r"[^\n -\ufffd\U00010000-\U0010ffff]", plain)
    assert max(map(len, plain.splitlines())) <= 76
    seen = {}
    for kind in KINDS:
        text = built[kind].mkdocs[f"{path}.md.txt"].decode()
        seen[kind] = Outline(HTML.render(text))
    assert seen["hostile"].elements == seen["tame"].elements
    assert seen["hostile"].faults() == []
    assert seen["hostile"].heading == title_of(route)


@pytest.mark.parametrize("form", ["text", "markdown"])
@pytest.mark.parametrize("route", ROUTES)
def test_the_words_under_a_film_likewise(built, route, form) -> None:
    said = {}
    for kind in KINDS:
        library = built[kind].library
        arguments = [route, "--library", str(library), "--base", SITE_URL, "--format", form]
        result = CliRunner().invoke(main, ["chapters", *arguments])
        assert result.exit_code == 0, result.stderr
        assert len(result.stdout) <= 5001
        said[kind] = result.stdout
    assert not [line for line in said["hostile"].splitlines() if line.startswith("Bcc")]
    assert "<script>" not in said["hostile"]
    if form == "markdown":
        ours, theirs = (Outline(HTML.render(said[kind])) for kind in KINDS)
        assert set(ours.elements) == set(theirs.elements)
        assert ours.faults() == []


def _keys(data: object) -> object:
    """Return the shape of JSON: keys and kinds of values, without the values."""
    if isinstance(data, dict):
        # A card is drawn only of what its font has letters for.
        return {key: _keys(value) for key, value in data.items() if key != "card"}
    if isinstance(data, list):
        return sorted({json.dumps(_keys(value), sort_keys=True) for value in data})
    return type(data).__name__


def test_the_attacks_are_still_there() -> None:
    """What the tests above look for is what the notes hold."""
    together = "".join(NAMES)
    for piece in (
        "<script>", "onerror=", "&amp;", "\r\nBcc:", "\u202e", "\u2066", "\u200f", "]]>", "-->",
        "</textarea></title></style>", "=HYPERLINK(", "{{7*7}}", "${x}", "%0d%0a", "\\",
        "javascript:", "\U0001f6b2", "\u0301",
    ):  # fmt: skip
        assert piece in together
