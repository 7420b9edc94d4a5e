"""The pages by which readers find a route, as they are built."""

from __future__ import annotations

import json

import pytest

from building import leg, line_east, make_route, notes
from site_building import build_site


def data_of(site) -> dict:
    text = site.text("routes/library.js")
    return json.loads(text.removeprefix("window.softpedalLibrary = ").removesuffix(";\n"))


def test_a_library_without_routes_says_so_and_builds(tmp_path) -> None:
    (tmp_path / "routes").mkdir()
    site = build_site(tmp_path)
    page = site.text("routes/index.html")
    assert site.warnings == []
    assert "There is no route here yet." in page
    assert "data-sp-library" not in page
    assert "routes/library.js" not in site.files()


def test_a_library_of_one_route(tmp_path) -> None:
    make_route(tmp_path)
    site = build_site(tmp_path)
    assert site.warnings == []
    assert site.text("routes/index.html").count("data-sp-row=") == 1
    data = data_of(site)
    assert len(data["routes"]) == 1
    assert data["words"]["count"] == "{n} of 1 route"


def test_drafts_and_withdrawn_routes_are_in_no_data(tmp_path) -> None:
    make_route(tmp_path, id="shown")
    make_route(tmp_path, notes(status="draft"), id="draft")
    gone = notes(status="withdrawn", withdrawn={"why": "Shut."})
    make_route(tmp_path, gone, id="gone")
    site = build_site(tmp_path)
    assert [route["id"] for route in data_of(site)["routes"]] == ["shown"]
    assert 'data-sp-row="gone"' not in site.text("routes/index.html")


def test_rows_and_data_stand_in_the_same_order(tmp_path) -> None:
    for name, kind in (("a", "painted lane"), ("b", "traffic-free path"), ("c", "back street")):
        make_route(tmp_path, notes(title=name, legs=[leg("start", kind)]), id=name)
    site = build_site(tmp_path)
    page = site.text("routes/index.html")
    ids = [route["id"] for route in data_of(site)["routes"]]
    assert sorted(ids, key=lambda one: page.index(f'data-sp-row="{one}"')) == ids


@pytest.mark.parametrize(
    ("order", "ids"),
    [("title", ["x", "y", "z"]), ("length", ["y", "x", "z"]), ("quiet-share", ["z", "x", "y"])],
)
def test_fixed_orders_for_readers_without_script(tmp_path, order, ids) -> None:
    for name, metres, kind in (
        ("x", 2000, "back street"),
        ("y", 1000, "back street"),
        ("z", 3000, "traffic-free path"),
    ):
        text = notes(title=name, legs=[leg("start", kind)])
        make_route(tmp_path, text, line_east(metres), id=name)
    page = build_site(tmp_path).text(f"lists/by-{order}/index.html")
    assert sorted(ids, key=lambda one: page.index(f'data-sp-row="{one}"')) == ids


def test_the_page_of_all_routes_has_nothing_inline(tmp_path) -> None:
    import re

    make_route(tmp_path)
    page = build_site(tmp_path).text("routes/index.html")
    ours = page[page.index('class="sp-library"') : page.index('class="sp-caution-short"')]
    assert not re.search(r"<script|<style|\sstyle=|\son[a-z]+=|javascript:", ours)


def test_imperial_lengths_are_offered_in_miles(tmp_path) -> None:
    make_route(tmp_path)
    (tmp_path / "softpedal.yml").write_text("units: imperial\n", encoding="utf-8")
    page = build_site(tmp_path).text("routes/index.html")
    assert '<option value="1609">1 mi</option>' in page
