"""The page that others put into theirs: what it says, in every state of a route."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from building import crossing, leg, load, make_route, notes
from softpedal.library.names import Names
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import wording
from softpedal.site.embed import embed_files
from softpedal.site.embed_code import embed_address, iframe_code
from softpedal.site.language import Language, use
from softpedal.site.plain_pages import Addresses
from softpedal.site.redirects import redirect_files

ID = "ferry-steps-to-chapel-green"
SITE = "https://lindenferry.example/rides"
LINK = Addresses("directory", SITE)
NASTY = "</title><script>alert(1)</script> \" ' & \u202eabc"


class Read(HTMLParser):
    """The elements of a document with their attributes, and its text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.words = ""
        self.feed(html)

    def handle_starttag(self, tag, attrs) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data) -> None:
        self.words = " ".join(f"{self.words} {data}".split())

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.found if name == tag]


@pytest.fixture
def embed(tmp_path):
    """Return a function that makes the embed page of a route with these notes."""

    def make(link=LINK, settings=None, *, background=False, **changes) -> str:
        settings = settings or Settings(title="Quiet ways")
        route = load(make_route(tmp_path, notes(**changes)))
        [file] = embed_files(route, measure(route, settings), settings, link, background=background)
        assert file.path == f"routes/{ID}/embed/index.html"
        return file.content.decode()

    return make


def test_it_is_a_whole_document_with_the_facts(embed) -> None:
    html = embed(crossings=[crossing("1 km", "none", vehicles_per_day=9000)])
    page = Read(html)
    assert html.lstrip().startswith("<!doctype html>")
    assert page.all("html") == [{"lang": "en", "dir": "ltr"}]
    assert {"charset": "utf-8"} in page.all("meta")
    assert {"name": "viewport", "content": "width=device-width, initial-scale=1"} in page.all(
        "meta"
    )
    assert {"name": "robots", "content": "noindex"} in page.all("meta")
    assert {"rel": "canonical", "href": f"{SITE}/routes/{ID}/"} in page.all("link")
    for words in (
        "Ferry Steps to Chapel Green – Quiet ways",
        "From Ferry Steps to Chapel Green",
        "busy crossing, without signals or zebra",
        "quiet share",
        "dismounts",
        "Hardest bit:",
        wording.CAUTION_SHORT,
        "Last ridden 16 May 2026",
        "All cues, hours and the full caution on Quiet ways",
    ):
        assert words in page.words, words
    strip = next(a for a in page.all("svg") if a.get("class") == "sp-strip")
    assert (strip["aria-label"] or "").startswith("2.0 km")
    assert "busy crossing" in (strip["aria-label"] or "")
    assert [a["data-sp-map"] for a in page.all("div") if "data-sp-map" in a] == [ID]


def test_nothing_stands_in_it_that_a_strict_policy_stops(embed) -> None:
    page = Read(embed(background=True))
    assert all(a.get("src") for a in page.all("script"))
    assert page.all("style") == []
    for tag, attrs in page.found:
        assert not [name for name in attrs if name == "style" or name.startswith("on")], tag
        for name in ("src", "href"):
            address = attrs.get(name) or ""
            assert not address.startswith(("http:", "//", "data:", "javascript:")), address


def test_every_link_opens_a_window(embed) -> None:
    html = embed(
        alerts=[{"from": "2026-09-01", "text": "See [the notice](https://works.example/1)."}],
        hardest={"at": "1 km", "text": "The [bridge](https://bridge.example/)."},
    )
    links = [a for a in Read(html).all("a") if not (a.get("data-sp") or a.get("class"))]
    assert [a["href"] for a in links] == [
        "../",
        "https://works.example/1",
        "https://bridge.example/",
        "../",
    ]
    assert all((a["target"], a["rel"]) == ("_blank", "noopener") for a in links)


def test_the_map_is_that_of_the_route_s_page(embed) -> None:
    with_ground = {
        a["data-sp"]: a["href"] for a in Read(embed(background=True)).all("a") if a.get("data-sp")
    }
    assert with_ground["route"] == "../map.js"
    assert with_ground["background"] == "../background.js"
    assert with_ground["leaflet"].endswith("/leaflet.js")
    assert "background.js" not in embed()


def test_without_the_site_s_address_it_still_leads_back(embed) -> None:
    page = Read(embed(Addresses("file")))
    assert all(a["rel"] != "canonical" for a in page.all("link"))
    assert page.all("a")[0]["href"] == "../index.html"


def test_alerts_carry_their_days(embed) -> None:
    html = embed(
        alerts=[
            {"from": "2026-09-01", "until": "2026-10-15", "text": "Works."},
            {"from": "2026-11-01", "text": "Flood."},
        ]
    )
    days = [(a["data-sp-from"], a["data-sp-until"]) for a in Read(html).all("li")[:2]]
    assert days == [("2026-09-01", "2026-10-15"), ("2026-11-01", "")]
    assert "softpedal-dates.js" in html


def test_a_withdrawn_route_says_why_and_has_nothing_to_follow(embed) -> None:
    html = embed(
        status="withdrawn", withdrawn={"why": "The bridge is gone.", "instead": "mill-way"}
    )
    page = Read(html)
    assert "Withdrawn: do not follow this route. The bridge is gone." in page.words
    assert "../../mill-way/" in [a["href"] for a in page.all("a")]
    assert "The page of this route on Quiet ways" in page.words
    assert wording.CAUTION_SHORT in page.words
    for absent in ("sp-figures", "sp-strip", "data-sp-map", "softpedal-map.js", "map.svg"):
        assert absent not in html, absent


def test_a_shut_route_shows_no_figures(embed) -> None:
    html = embed(closed=["24/7"])
    assert "Shut at all times: this way cannot be ridden." in html
    assert "sp-strip-shut" in html
    assert "<dd>" not in html
    assert "Hardest bit" not in html


def test_hours_at_which_it_is_shut_stand_beside_the_figures(embed) -> None:
    words = Read(embed(closed=["21:00-06:00"])).words
    assert "Shut 21:00–06:00: this way cannot be ridden then." in words
    assert "at other hours they differ" not in words


def test_it_says_at_which_hours_its_figures_hold(embed) -> None:
    by_day = {"Mo-Fr 08:00-18:00": "on foot", "otherwise": "filtered street"}
    first = leg("start", None, hours=by_day, closed_by="posts")
    words = Read(embed(legs=[first])).words
    assert "These figures hold Mon–Fri 08:00–18:00; at other hours they differ." in words


def test_what_an_author_writes_stays_text(embed) -> None:
    html = embed(
        title=NASTY,
        start=NASTY,
        settings=Settings(title="<b>Quiet</b> & ways"),
        alerts=[{"from": "2026-09-01", "text": f"<img src=x onerror=alert(1)> {NASTY}"}],
    )
    page = Read(html)
    assert [a for a in page.all("script") if not (a.get("src") or "").startswith("../")] == []
    assert {tag for tag, _ in page.found} & {"b"} == set()
    assert all("onerror" not in a for a in page.all("img"))
    assert "<script>alert(1)</script>" in page.words


def test_it_is_in_the_language_of_the_site(embed) -> None:
    texts = {"Hardest bit:": "Schwerste Stelle:", "quiet share": "ruhiger Anteil"}
    use(Language("de", texts))
    try:
        page = Read(embed())
    finally:
        use(Language())
    assert page.all("html") == [{"lang": "de", "dir": "ltr"}]
    assert "Schwerste Stelle:" in page.words
    assert "ruhiger Anteil" in page.words


@pytest.mark.parametrize(
    ("style", "end"), [("directory", f"{ID}/embed/"), ("file", f"{ID}/embed/index.html")]
)
def test_its_address_ends_as_the_route_s_does(style, end) -> None:
    assert embed_address(ID, Addresses(style, SITE)) == f"{SITE}/routes/{end}"
    assert embed_address(ID, Addresses(style)) == ""


def test_the_frame_s_code_is_one_element_without_style(tmp_path) -> None:
    route = load(make_route(tmp_path, notes(title=NASTY)))
    code = iframe_code(route, LINK)
    [(tag, attrs)] = Read(code).found
    assert tag == "iframe"
    assert attrs == {
        "src": f"{SITE}/routes/{ID}/embed/",
        "title": f"Cycling route: {route.notes.title}",
        "width": "100%",
        "height": "900",
        "loading": "lazy",
        "sandbox": "allow-scripts allow-popups allow-popups-to-escape-sandbox",
    }
    assert not re.search("allow-same-origin", code)
    assert iframe_code(route, Addresses()) == ""


def test_what_was_embedded_under_an_old_name_moves_too() -> None:
    files = {
        f.path: f.content.decode()
        for f in redirect_files(
            [("Mill way", Names("mill-way", "published", (("old-way", (1, 1)),), ()))], LINK
        )
    }
    assert sorted(files) == ["routes/old-way/embed/index.html", "routes/old-way/index.html"]
    assert 'url=../../mill-way/embed/index.html"' in files["routes/old-way/embed/index.html"]
