"""A library of a few folders becomes a site."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

import pytest
from mkdocs.exceptions import Abort

from building import crossing, leg, line_east, make_route, notes
from site_building import build_site, read_config
from softpedal.site import wording

FERRY = "ferry-steps-to-chapel-green"
HEADINGS = set(wording.HEADINGS.values())


@pytest.fixture
def library(tmp_path):
    """Three routes: one that uses much, one draft, one that starts where the first ends."""
    text = notes(
        legs=[
            leg("start", "filtered street", "Netmakers' Quay", closed_by="posts", cue="Set off."),
            leg("600 m", "back street", "Sailmaker Row", speed_limit="20 mph", lanes=2),
            leg("1.2 km", "protected track", "Dock <b>Road</b>"),
        ],
        area=["Old Harbour", "Chapel Side"],
        crossings=[crossing("1.18 km", "signals", vehicles_per_day=9000, lanes=2)],
        landmarks=[{"at": "900 m", "what": "Grain silo", "side": "left"}],
        was=["ferry-to-chapel"],
        alerts=[{"from": "2026-09-01", "until": "2026-10-15", "text": "Quay wall works."}],
    )
    points = line_east(2000, height=12.0)
    make_route(tmp_path, text, points, id=FERRY, files={"story.md": "It *rained*.\n\n## Then\n"})
    make_route(tmp_path, notes(status="draft", title="Weir Mill"), line_east(500), id="weir-mill")
    onward = line_east(1500, lon=points[-1][1])
    make_route(
        tmp_path,
        notes(title="Chapel to Kiln", ridden=[{"on": "2024-05-01", "direction": "outbound"}]),
        onward,
        id="chapel-to-kiln",
    )
    return tmp_path


def route_page(site, route: str = FERRY) -> str:
    return site.text(f"routes/{route}/index.html")


def test_a_route_has_a_page_with_its_figures_table_map_and_caution(library) -> None:
    site = build_site(library)
    page = route_page(site)
    assert site.warnings == []
    for heading in HEADINGS:
        assert re.search(rf"<h2[^>]*>{heading}", page), heading
    assert "70 %" in page  # 600 m filtered and 800 m track of 2,000 m
    assert "busy crossing, with signals or zebra" in page
    for sentence in wording.CAUTION[1:-1]:
        assert sentence in page
    assert "In an emergency call 112." in page
    assert "0.60 km" in page
    assert 'data-sp-map="ferry-steps-to-chapel-green"' in page
    assert "<em>rained</em>" in page
    assert "sp-slot" not in page


def test_html_in_notes_is_shown_and_never_run(library) -> None:
    page = route_page(build_site(library))
    assert "Dock &lt;b&gt;Road&lt;/b&gt;" in page
    assert "<b>Road</b>" not in page


def test_nothing_of_ours_is_inline(library) -> None:
    """Scripts and styles stand in files, so that a strict policy may be set."""
    page = route_page(build_site(library))
    ours = page[page.index('class="sp-ends"') : page.index('class="sp-where"')]
    assert len(ours) > 5000
    assert not re.search(r"<script|<style|\sstyle=|\son[a-z]+=|javascript:", ours)


def test_the_search_reads_streets_and_places_but_no_tables(library) -> None:
    site = build_site(library)
    docs = [d for d in site.search_index() if d["location"].startswith(f"routes/{FERRY}/")]
    text = " ".join(d["title"] + " " + d["text"] for d in docs)
    for word in ("Netmakers", "Sailmaker Row", "Grain silo", "Old Harbour", "Chapel Green"):
        assert word in text, word
    assert "0.60 km" not in text
    size = sum(len(str(d)) for d in docs)
    assert size <= 2500, f"{size} bytes a route"


def test_routes_stay_out_of_the_navigation(library) -> None:
    home = build_site(library).text("index.html")
    assert "routes/" in home
    assert FERRY not in home


@pytest.mark.parametrize("directories", [True, False])
def test_every_address_leads_somewhere(library, directories) -> None:
    site = build_site(library, use_directory_urls=directories)
    files = site.files()
    pages = {path: files[path].decode() for path in files if path.endswith(".html")}
    checked = 0
    for path, text in pages.items():
        if path == "404.html":
            continue
        for address in _addresses(text):
            parts = urlsplit(address)
            if parts.scheme or address.startswith("//") or not parts.path:
                continue
            target = urljoin(f"http://site/{path}", address)
            found = urlsplit(target).path.lstrip("/")
            candidates = {found, f"{found}index.html" if found.endswith("/") else found}
            assert candidates & set(files) or found in {"", "."}, (path, address)
            checked += 1
    assert checked > 100


def test_the_edit_button_opens_the_notes(library) -> None:
    page = route_page(build_site(library))
    expected = f"https://git.example/lindenferry/routes/edit/main/routes/{FERRY}/notes.yml"
    assert f'href="{expected}"' in page


def test_a_draft_is_seen_by_its_author_only(library) -> None:
    assert "routes/weir-mill/index.html" not in build_site(library).files()
    page = route_page(build_site(library, "serve"), "weir-mill")
    assert "A draft." in page


def test_the_author_s_script_is_in_no_built_site(library) -> None:
    built = build_site(library)
    assert not [path for path in built.files() if "author" in path]
    assert not [p for p, c in built.files().items() if p.endswith(".html") and b"sp-author" in c]
    served = build_site(library, "serve")
    assert "softpedal-author.js" in route_page(served)
    assert "data-sp-author" in route_page(served)


def test_a_bad_folder_is_left_out_with_a_warning(library) -> None:
    folder = make_route(library, notes(title="Broken"), id="broken")
    (folder / "notes.yml").write_text("title: Broken\nlegs: [\n", encoding="utf-8")
    site = build_site(library)
    assert "routes/broken/index.html" not in site.files()
    assert f"routes/{FERRY}/index.html" in site.files()
    (warning,) = site.warnings
    assert "Route broken is left out" in warning
    assert "routes/broken/notes.yml:3:1" in warning


def test_a_fault_stands_on_its_page_for_the_author(library) -> None:
    folder = make_route(library, notes(title="Broken"), id="broken")
    text = (folder / "notes.yml").read_text(encoding="utf-8")
    (folder / "notes.yml").write_text(text + "crosings: []\n", encoding="utf-8")
    line = len(text.splitlines()) + 1
    page = route_page(build_site(library, "serve"), "broken")
    assert f"routes/broken/notes.yml:{line}:1" in page
    assert "Did you mean `crossings`?" in page


def test_two_builds_of_one_tree_are_equal(library) -> None:
    first = build_site(library).files()
    second = build_site(library).files()
    dated = {"sitemap.xml", "sitemap.xml.gz"}  # MkDocs writes the day into them
    assert {p: c for p, c in first.items() if p not in dated} == {
        p: c for p, c in second.items() if p not in dated
    }


def test_cached_files_are_written_only_when_they_change(library) -> None:
    build_site(library, "serve")
    cache = library / ".softpedal"
    before = {path: path.stat().st_mtime_ns for path in cache.rglob("*") if path.is_file()}
    build_site(library, "serve")
    after = {path: path.stat().st_mtime_ns for path in cache.rglob("*") if path.is_file()}
    assert before
    assert after == before


def test_the_library_is_watched(library) -> None:
    (library / "softpedal.yml").write_text("title: Quiet\n", encoding="utf-8")
    config = read_config(library, "serve")
    config.plugins.on_config(config)
    assert str(library / "routes") in config.watch
    assert str(library / "softpedal.yml") in config.watch


def test_without_routes_the_message_says_what_to_make(tmp_path, caplog) -> None:
    with pytest.raises(Abort):
        build_site(tmp_path)
    assert "there is no folder routes/" in caplog.text
    assert "Make it, and put a folder in it for each route." in caplog.text


def test_the_settings_may_have_another_name(library) -> None:
    (library / "ours.yml").write_text("units: imperial\n", encoding="utf-8")
    plugins = ["search", {"softpedal": {"settings": "ours.yml"}}]
    assert "1.2 mi" in route_page(build_site(library, plugins=plugins))
    config = read_config(library, "serve", plugins=plugins)
    config.plugins.on_config(config)
    assert str(library / "ours.yml") in config.watch


def test_a_settings_file_that_is_named_must_be_there(library, caplog) -> None:
    with pytest.raises(Abort):
        build_site(library, plugins=["search", {"softpedal": {"settings": "nosuch.yml"}}])
    assert "there is no settings file nosuch.yml" in caplog.text


def test_fonts_from_another_host_are_advised_against(library) -> None:
    site = build_site(library, theme={"name": "material"})
    assert any("font: false" in info for info in site.infos)


def test_the_cache_ignores_itself_and_drafts_stay_out_of_the_built_one(library) -> None:
    build_site(library, "serve")
    build_site(library)
    cache = library / ".softpedal"
    assert (cache / ".gitignore").read_text(encoding="utf-8") == "*\n"
    assert (cache / "served" / "routes" / "weir-mill").is_dir()
    assert not (cache / "built" / "routes" / "weir-mill").exists()


def test_what_is_there_at_some_hours_only_says_when(library) -> None:
    """A hazard of other hours than the page leads with stands in the table with its hours."""
    text = notes(
        hazards=[
            {"at": "300 m", "what": "market carts", "hours": "Sa 07:00-15:00"},
            {"at": "400 m", "what": "school run", "hours": "Mo-Fr 06:00-20:00"},
        ],
        crossings=[crossing("500 m", "none", hours="Su 08:00-12:00", busy=True)],
    )
    make_route(library, text, line_east(2000), id="market")
    page = route_page(build_site(library), "market")
    assert "Only Sat 07:00–15:00." in page
    assert "Only Mon–Fri 06:00–20:00." in page
    assert "Only Sun 08:00–12:00: not in these figures." in page


def test_what_is_worse_at_other_times_is_said(library) -> None:
    text = notes(
        legs=[
            leg(
                "start",
                None,
                hours={"Sa 08:00-12:00": "busy road", "otherwise": "traffic-free path"},
            )
        ]
    )
    make_route(library, text, line_east(2000), id="market")
    page = route_page(build_site(library), "market")
    assert "At other times (Sat 08:00–12:00) it is worse: fast or heavy traffic" in page
    assert "easy harder at times" in page


def test_an_old_address_leads_to_the_new_one(library) -> None:
    page = build_site(library).text("routes/ferry-to-chapel/index.html")
    assert f'content="0; url=../{FERRY}/"' in page


def test_published_tracks_carry_no_time_and_the_way_back_only_if_ridden(library) -> None:
    site = build_site(library)
    assert f"routes/{FERRY}/{FERRY}-back.gpx" in site.files()
    assert "routes/chapel-to-kiln/chapel-to-kiln-back.gpx" not in site.files()
    assert "has not been ridden" in route_page(site, "chapel-to-kiln")
    text = site.text(f"routes/{FERRY}/{FERRY}.gpx")
    assert "<time" not in text
    assert "<extensions" not in text
    assert text.count("<trkpt") == 201


def test_routes_that_meet_are_named(library) -> None:
    page = route_page(build_site(library))
    assert '<a href="../chapel-to-kiln/">Chapel to Kiln</a>' in page


def test_lists_by_area_and_difficulty(library) -> None:
    site = build_site(library)
    assert "Ferry Steps to Chapel Green" in site.text("areas/old-harbour/index.html")
    assert "Chapel to Kiln" not in site.text("areas/old-harbour/index.html")
    grades = [site.text(f"difficulty/{g}/index.html") for g in ("easy", "moderate", "demanding")]
    assert sum("Chapel to Kiln" in page for page in grades) == 1


def test_how_we_measure_prints_the_constants(library) -> None:
    page = build_site(library).text("how-we-measure/index.html")
    assert "Mineta Transportation" in page
    assert "2,000 vehicles a day" in page
    assert "<table>" in page
    assert page.count("<tr>") > 25


def test_a_withdrawn_route_keeps_its_page_and_offers_no_line(library) -> None:
    gone = notes(
        status="withdrawn",
        title="Dock Road",
        withdrawn={"why": "The gate is shut for good.", "instead": FERRY},
    )
    make_route(library, gone, line_east(1200), id="dock-road")
    site = build_site(library)
    page = route_page(site, "dock-road")
    assert "Withdrawn: do not follow this route." in page
    assert f'href="../{FERRY}/"' in page
    assert not [path for path in site.files() if path.startswith("routes/dock-road/dock-road")]
    assert "Dock Road" not in site.text("routes/index.html").split("sp-rows")[1]


def test_a_docs_page_of_the_owner_s_stands_in_place_of_ours(library) -> None:
    page = library / "docs" / "how-we-measure" / "index.md"
    page.parent.mkdir(parents=True)
    page.write_text("# Our own words\n", encoding="utf-8")
    site = build_site(library)
    assert "Our own words" in site.text("how-we-measure/index.html")
    assert site.warnings == []
    assert any("how-we-measure/index.md of the docs" in info for info in site.infos)


class _Addresses(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in {"href", "src"} and value and tag != "base":
                self.found.append(value)


def _addresses(text: str) -> list[str]:
    parser = _Addresses()
    parser.feed(text)
    return parser.found
