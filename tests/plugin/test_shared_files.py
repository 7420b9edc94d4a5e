"""Feed, catalogue, lines, heads and sitemap, by way of MkDocs and of the plain pages."""

from __future__ import annotations

import json
import re
from urllib.parse import urljoin
from xml.etree import ElementTree as ET

import pytest
from mkdocs.exceptions import Abort

from building import line_east, make_route, notes
from site_building import CONFIG, build_site
from softpedal.site.addresses import CATALOGUE, CATALOGUE_SCHEMA, FEED, ROUTES_GEOJSON
from softpedal.site.plain_pages import HEAD, README, Addresses, write_pages
from softpedal.site.policy import policy
from softpedal.site.publish import publish
from softpedal.site.sitemap import NAMESPACE, SITEMAP

FERRY, BASE = "ferry-steps-to-chapel-green", CONFIG["site_url"]
SHARED = {FEED, CATALOGUE, CATALOGUE_SCHEMA, ROUTES_GEOJSON}
SITE_ADDRESS = "advice site-address: The site's address is not known."


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path)
    make_route(tmp_path, notes(title="Salt Road"), line_east(1500), id="salt-road")
    make_route(tmp_path, notes(status="draft", title="Weir Mill"), id="weir-mill")
    gone = {"why": "Shut.", "on": "2026-11-02"}
    make_route(tmp_path, notes(status="withdrawn", withdrawn=gone, title="Old"), id="old")
    (tmp_path / "softpedal.yml").write_text("cards: true\n")
    return tmp_path


def head(text: str) -> str:
    return text[: text.index("</head>")]


def locations(content: bytes) -> dict[str, str | None]:
    """Return what a sitemap lists, each with the day of its last change."""
    root = ET.fromstring(content)
    name = f"{{{NAMESPACE}}}"
    assert root.tag == f"{name}urlset"
    return {
        url.findtext(f"{name}loc") or "": url.findtext(f"{name}lastmod")
        for url in root.findall(f"{name}url")
    }


@pytest.mark.parametrize("directories", [True, False])
def test_every_address_that_programs_are_given_leads_to_a_file(library, directories) -> None:
    site = build_site(library, use_directory_urls=directories)
    assert site.warnings == []
    files = set(site.files())
    assert files >= SHARED
    texts = [head(site.text(p)) for p in files if p.endswith(".html") and p != "404.html"]
    texts += [site.text(path) for path in SHARED]
    found = {a for text in texts for a in re.findall(rf"{BASE}[^\"\s<#&]*", text)}
    assert len(found) > 30
    for address in found:
        path = address.removeprefix(BASE)
        assert (f"{path}index.html" if path.endswith("/") or not path else path) in files, address


def test_the_head_of_each_page_says_what_it_is(library) -> None:
    site = build_site(library)
    route = head(site.text(f"routes/{FERRY}/index.html"))
    assert f'<meta property="og:url" content="{BASE}routes/{FERRY}/">' in route
    (data,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', route)
    assert json.loads(data)["@type"] == "TouristTrip"
    everything = head(site.text("routes/index.html"))
    assert '<meta property="og:type" content="website">' in everything
    measure_page = head(site.text("how-we-measure/index.html"))
    assert '<meta property="og:title" content="How we measure">' in measure_page
    feed = f'type="application/atom+xml" title="News of Quiet routes" href="{BASE}{FEED}"'
    own = head(site.text("index.html"))
    for text in (route, everything, measure_page, own):
        assert text.count(feed) == 1
    assert "og:" not in own


def test_the_page_of_all_routes_links_what_is_there(library) -> None:
    words = "Take all of them along:"
    page = build_site(library).text("routes/index.html")
    line = page[page.index(words) :].split("</p>")[0]
    assert re.findall(r'href="([^"]+)"', line) == [
        "../feed.xml",
        "catalogue.json",
        "routes.geojson",
    ]
    assert words not in build_site(library, site_url="").text("routes/index.html")


def test_a_missing_address_is_a_warning_and_the_files_are_left_out(library) -> None:
    site = build_site(library, site_url=None)
    (warning,) = [text for text in site.warnings if "softpedal" in text or "site-address" in text]
    assert SITE_ADDRESS in warning
    assert "Set `site_url`" in warning
    assert not SHARED & set(site.files())
    for path in (f"routes/{FERRY}/index.html", "routes/index.html", "index.html"):
        assert not re.search(r"og:|ld\+json|atom\+xml|oembed", head(site.text(path)))


def test_an_address_left_empty_on_purpose_is_told_only(library) -> None:
    site = build_site(library, site_url="")
    assert site.warnings == []
    assert [text for text in site.infos if SITE_ADDRESS in text]
    assert not SHARED & set(site.files())


def test_an_author_who_serves_is_not_warned(library) -> None:
    """`mkdocs serve` gives the site the address at which it serves."""
    assert build_site(library, "serve", site_url=None).warnings == []
    served = build_site(library, "serve", site_url="http://127.0.0.1:8000/")
    assert served.warnings == []
    assert 'href="http://127.0.0.1:8000/feed.xml"' in head(served.text("index.html"))
    assert "og:" not in head(served.text("routes/weir-mill/index.html"))
    assert "weir-mill" not in "".join(served.text(path) for path in SHARED)


def test_the_sitemap_lists_routes_and_lists_and_no_draft(library) -> None:
    found = set(locations(build_site(library).files()["sitemap.xml"]))
    names = [f"routes/{FERRY}/", "routes/salt-road/", "routes/old/", "routes/", "areas/"]
    names += ["areas/lindenferry/", "difficulty/easy/", "lists/by-title/", "gaps/", ""]
    assert found >= {urljoin(BASE, name) for name in names}
    assert not [address for address in found if "weir-mill" in address or "embed" in address]


def test_a_strict_policy_is_the_same_with_and_without_our_heads(library) -> None:
    """A script of a type that no browser runs is data: it is in no policy, and none stops it."""
    site = build_site(library)
    before = policy(site.folder)
    pages = [path for path in site.folder.rglob("*.html") if "ld+json" in path.read_text()]
    assert len(pages) == 2
    for path in pages:
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub(r'<script type="application/ld.*?</script>', "", text))
    assert policy(site.folder) == before


def test_the_time_of_a_build_must_be_one(library, monkeypatch, caplog) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1790000000")
    build_site(library)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    with pytest.raises(Abort):
        build_site(library)
    assert "SOURCE_DATE_EPOCH is `soon`, which is no time." in caplog.text


@pytest.fixture
def plain(library, tmp_path):
    link, to = Addresses("directory", BASE), tmp_path / "pages"
    write_pages(publish(library, link), to, link)
    return to


def test_both_doors_put_the_same_into_a_head(library, plain) -> None:
    site = build_site(library)
    heads = sorted(plain.rglob(f"*{HEAD}"))
    assert len(heads) == len(list(plain.rglob("*.md")))
    for path in heads:
        page = path.relative_to(plain).as_posix().removesuffix(HEAD)
        whole = head(site.text(f"{page}.html"))
        lines = path.read_text(encoding="utf-8").splitlines()
        assert len(lines) >= 5
        for line in lines:
            assert line in whole, (page, line)


def test_both_doors_write_the_same_files_for_all(library, plain) -> None:
    site = build_site(library).files()
    for path in SHARED:
        # MkDocs leaves index.html out of an address
        ours = (plain / path).read_bytes().replace(b"/embed/index.html", b"/embed/")
        assert ours == site[path], path


def test_the_readme_says_where_a_head_belongs(plain) -> None:
    text = (plain / README).read_text(encoding="utf-8")
    assert "mill/index.head.html belongs into the <head> of mill/index.md" in text
    assert "sitemap.xml" in text


def test_no_template_language_finds_its_tags_in_a_head(library, tmp_path) -> None:
    make_route(library, notes(title="Ferry {{ Steps }} {% x %}"), id="braces")
    link, to = Addresses("directory", BASE), tmp_path / "pages"
    write_pages(publish(library, link), to, link)
    text = (to / "routes/braces/index.head.html").read_text(encoding="utf-8")
    assert not re.search(r"\{[{%#]", text)
    (data,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', text)
    assert json.loads(data)["name"] == "Ferry {{ Steps }} {% x %}"


def test_the_plain_pages_have_a_sitemap_of_their_own(plain) -> None:
    """The sitemaps.org protocol 0.9: urlset, url, loc; lastmod is a W3C date."""
    found = locations((plain / SITEMAP).read_bytes())
    pages = {path.relative_to(plain).as_posix() for path in plain.rglob("*.md")}
    link = Addresses("directory", BASE)
    assert set(found) == {link.absolute(page) for page in pages}
    assert found[f"{BASE}routes/{FERRY}/"] == "2026-05-16"
    assert found[f"{BASE}routes/"] is None
    assert not [address for address in found if "weir-mill" in address]
