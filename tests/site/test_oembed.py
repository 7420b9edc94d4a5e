"""oEmbed 1.0: what a program is told, field by field, and where it is told of it.

The sections are those of the specification at oembed.com.
"""

from __future__ import annotations

import json
from urllib.parse import urlsplit

import pytest

from building import load, make_route, notes
from site_building import build_site
from softpedal.settings import Settings
from softpedal.site.embed_code import iframe_code
from softpedal.site.oembed import oembed_files, oembed_head, oembed_json
from softpedal.site.plain_pages import Addresses

ID = "ferry-steps-to-chapel-green"
SITE = "https://lindenferry.example/rides"
LINK = Addresses("directory", SITE)
#: Section 2.3.4: required of every answer; 2.3.4.4: of the type `rich` besides.
REQUIRED = {"type": str, "version": str, "html": str, "width": int, "height": int}
#: Section 2.3.4: optional, for every type.
OPTIONAL = {
    "title": str,
    "provider_name": str,
    "provider_url": str,
    "thumbnail_url": str,
    "thumbnail_width": int,
    "thumbnail_height": int,
}
NASTY = "</script><b>\"x\"</b> & 'y'\u2028\u202e"


@pytest.fixture
def route(tmp_path):
    return lambda **changes: load(make_route(tmp_path, notes(**changes)))


def answer(route, settings=None, link=LINK) -> dict:
    return json.loads(oembed_json(route, settings or Settings(title="Quiet ways"), link))


@pytest.mark.parametrize("cards", [True, False])
def test_every_field_is_one_of_the_specification_s(route, cards) -> None:
    found = answer(route(), Settings(title="Quiet ways", cards=cards))
    fields = REQUIRED | OPTIONAL
    assert REQUIRED.keys() <= found.keys() <= fields.keys()
    for name, value in found.items():
        assert type(value) is fields[name], name
    assert found["type"] == "rich"
    assert found["version"] == "1.0"


def test_it_embeds_the_route(route) -> None:
    shown = route()
    found = answer(shown)
    assert found["html"] == iframe_code(shown, LINK)
    assert f'src="{SITE}/routes/{ID}/embed/"' in found["html"]
    assert f'height="{found["height"]}"' in found["html"]
    assert found["title"] == "Ferry Steps to Chapel Green"
    assert found["provider_name"] == "Quiet ways"
    assert found["provider_url"] == f"{SITE}/"


def test_a_thumbnail_is_told_whole_or_not_at_all(route) -> None:
    """Section 2.3.4: if one of its three fields is there, all must be."""
    shown = route()
    with_card = answer(shown, Settings(cards=True))
    told = {name: value for name, value in with_card.items() if name.startswith("thumbnail")}
    assert told == {
        "thumbnail_url": f"{SITE}/routes/{ID}/card.png",
        "thumbnail_width": 1200,
        "thumbnail_height": 630,
    }
    assert not [name for name in answer(shown) if name.startswith("thumbnail")]


def test_no_field_breaks_out(route) -> None:
    shown = route(title=NASTY)
    text = oembed_json(shown, Settings(title="<i>Quiet</i>"), LINK)
    assert "<" not in text
    assert "\u2028" not in text
    found = json.loads(text)
    assert found["title"] == shown.notes.title
    assert found["html"].count("<") == 2
    assert found["html"].startswith("<iframe ")


def test_a_page_names_the_file(route) -> None:
    """Section 4: a link element of this type, in the head."""
    assert oembed_head(route(), LINK) == (
        '<link rel="alternate " type="application/json+oembed" '
        f'href="{SITE}/routes/{ID}/oembed.json" title="Ferry Steps to Chapel Green">'
    )
    assert oembed_head(route(title='"><b>'), LINK).endswith('title="&#34;&gt;&lt;b&gt;">')


@pytest.mark.parametrize(
    ("changes", "link"),
    [
        ({}, Addresses("directory")),
        ({"status": "withdrawn", "withdrawn": {"why": "The bridge is gone."}}, LINK),
        ({"status": "draft"}, LINK),
    ],
)
def test_what_is_not_shared_has_neither_file_nor_link(route, changes, link) -> None:
    shown = route(**changes)
    assert oembed_json(shown, Settings(), link) == ""
    assert oembed_files(shown, Settings(), link) == []
    assert oembed_head(shown, link) == ""


def test_the_built_page_leads_to_the_file_and_the_file_to_the_page(tmp_path) -> None:
    make_route(tmp_path, notes())
    site = build_site(tmp_path)
    assert site.warnings == []
    head = site.text(f"routes/{ID}/index.html").partition("</head>")[0]
    at = head.index("application/json+oembed")
    address = head[at:].partition('href="')[2].partition('"')[0]
    assert address == f"{SITE}/routes/{ID}/oembed.json"
    found = json.loads(site.text(urlsplit(address).path.removeprefix("/rides/")))
    source = found["html"].partition('src="')[2].partition('"')[0]
    assert source == f"{SITE}/routes/{ID}/embed/"
    assert site.text(f"routes/{ID}/embed/index.html").lstrip().startswith("<!doctype html>")


def test_without_site_url_nothing_is_named_or_written(tmp_path) -> None:
    make_route(tmp_path, notes())
    site = build_site(tmp_path, site_url="", theme={"name": "material", "font": False})
    assert "oembed" not in site.text(f"routes/{ID}/index.html")
    assert not (site.folder / "routes" / ID / "oembed.json").exists()
    assert (site.folder / "routes" / ID / "embed" / "index.html").is_file()
