"""Whatever an author types stays text in what travels: feed, cards, mail, embeds, reports."""

from __future__ import annotations

import email
import email.policy
import json
import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from urllib.parse import parse_qsl, unquote, urlsplit

import feedparser
import pytest
from click.testing import CliRunner

from hostile import ROUTES, SITE_URL, title_of
from html_outline import Outline
from injection.built import KINDS, texts
from softpedal.cli import main
from visible_text import visible_text

ATOM = "{http://www.w3.org/2005/Atom}"


class Elements(HTMLParser):
    """Collects the attributes of one kind of element."""

    def __init__(self, tag: str, html: str) -> None:
        super().__init__()
        self.tag, self.found = tag, []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == self.tag:
            self.found.append(dict(attrs))


def same_outlines(ours: str, theirs: str) -> Outline:
    """Check that two pages are built alike and that the first does no harm; return that."""
    first, second = Outline(ours), Outline(theirs)
    assert first.elements == second.elements
    assert first.drawn <= second.drawn | first.drawn
    assert first.faults() == []
    return first


def test_the_feed_is_atom_and_its_titles_are_text(built) -> None:
    feeds = {kind: texts(built[kind].mkdocs, "feed.xml")["feed.xml"] for kind in KINDS}
    for text in feeds.values():
        ET.fromstring(text)
        assert not feedparser.parse(text).bozo
    entries = ET.fromstring(feeds["hostile"]).findall(f"{ATOM}entry")
    titles = [entry.findtext(f"{ATOM}title") for entry in entries]
    for route in ROUTES:
        assert any(title_of(route) in title for title in titles)
    ours, theirs = (feedparser.parse(feeds[kind]) for kind in KINDS)
    assert set(ours.feed) == set(theirs.feed)
    others = {entry.id: entry for entry in theirs.entries}
    for entry in ours.entries:
        same_outlines(entry.content[0].value, others[entry.id].content[0].value)


def test_programs_read_the_titles_in_the_page_s_head(evil) -> None:
    for route in ROUTES:
        page = evil.mkdocs[f"routes/{route}/index.html"].decode()
        properties = {
            meta["property"]: meta["content"]
            for meta in Elements("meta", page).found
            if "property" in meta
        }
        assert properties["og:title"] == title_of(route)
        assert properties["og:url"] == f"{SITE_URL}routes/{route}/"
        (trip,) = [words for kind, words in Outline(page).scripts if kind == "application/ld+json"]
        assert not re.search("[<>]", trip)
        assert json.loads(trip)["name"] == title_of(route)


def test_catalogue_lines_and_sitemap(evil) -> None:
    catalogue = json.loads(evil.mkdocs["routes/catalogue.json"])
    titles = {route["id"]: route["title"] for route in catalogue["routes"]}
    lines = json.loads(evil.mkdocs["routes/routes.geojson"])
    named = {feature["properties"]["title"] for feature in lines["features"]}
    for route in ROUTES:
        assert titles[route] == title_of(route)
        assert title_of(route) in named
    for path in [path for path in evil.mkdocs if path.endswith("sitemap.xml")]:
        for node in ET.fromstring(evil.mkdocs[path]).iter():
            if node.tag.endswith("loc"):
                assert node.text.startswith(SITE_URL)


@pytest.mark.parametrize("route", ROUTES)
def test_the_embed_page_and_its_code(built, route) -> None:
    path = f"routes/{route}/embed/index.html"
    ours, theirs = (built[kind].mkdocs[path].decode() for kind in KINDS)
    outline = same_outlines(ours, theirs)
    assert title_of(route) in visible_text(ours, "body")
    assert title_of(route) in outline.title
    assert not [words for _, words in outline.scripts if words.strip()]
    found = json.loads(built["hostile"].mkdocs[f"routes/{route}/oembed.json"])
    assert found["title"] == title_of(route)
    (frame,) = Elements("iframe", found["html"]).found
    assert frame["title"].endswith(title_of(route))
    assert frame["src"] == f"{SITE_URL}routes/{route}/embed/"
    assert [tag for tag, *_ in Outline(found["html"]).elements] == ["iframe"]


@pytest.mark.parametrize("route", ROUTES)
def test_cards_for_others_pages(built, route) -> None:
    path = f"routes/{route}/card"
    ours, theirs = (built[kind].mkdocs[f"{path}-html.txt"].decode() for kind in KINDS)
    same_outlines(ours, theirs)
    assert title_of(route) in visible_text(f"<div>{ours}</div>", "div")
    plain = built["hostile"].mkdocs[f"{path}.txt"].decode()
    assert not [line for line in plain.splitlines() if line.startswith("Bcc")]


def test_the_script_of_the_share_box_is_data(evil) -> None:
    for route in ROUTES:
        script = evil.mkdocs[f"routes/{route}/share.js"].decode()
        assert not re.search(r"[<\u2028\u2029]", script)
        payloads = re.findall(r"^softpedal\w+\[.*\] = (.+);$", script, re.MULTILINE)
        assert payloads
        for payload in payloads:
            json.loads(payload)


# -- mail -----------------------------------------------------------------------------------------


def issue(library, form: str, *asked: str):
    arguments = ["newsletter", "--library", str(library), "--format", form, *asked]
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 0, result.stderr
    return result.stdout_bytes


@pytest.mark.parametrize("asked", [("--since", "2026-01-01"), *(("--routes", r) for r in ROUTES)])
def test_a_newsletter_is_built_alike_whatever_is_told(built, asked) -> None:
    ours, theirs = (issue(built[kind].library, "html", *asked).decode() for kind in KINDS)
    same_outlines(ours, theirs)
    assert title_of(asked[1] if asked[0] == "--routes" else ROUTES[0]) in visible_text(ours, "body")
    plain = issue(built["hostile"].library, "text", *asked).decode()
    assert not [line for line in plain.splitlines() if line.startswith("Bcc")]


@pytest.mark.parametrize("asked", [("--since", "2026-01-01"), *(("--routes", r) for r in ROUTES)])
def test_no_line_of_a_mail_s_head_is_its_author_s(built, asked) -> None:
    heads = {}
    for kind in KINDS:
        content = issue(built[kind].library, "eml", *asked)
        message = email.message_from_bytes(content, policy=email.policy.default)
        heads[kind] = message.keys()
        assert message.defects == []
        assert [part.get_content_type() for part in message.iter_parts()] == [
            "text/plain",
            "text/html",
        ]
        assert "Bcc" not in message
        assert not re.search("[\r\n\u202a-\u202e\u2066-\u2069]", message["Subject"])
        assert [part.defects for part in message.walk()] == [[], [], []]
    assert heads["hostile"] == heads["tame"]


def test_a_report_s_address_has_a_subject_and_a_body_and_no_more(evil) -> None:
    found = 0
    for route in ROUTES:
        page = evil.mkdocs[f"routes/{route}/index.html"].decode()
        for link in Elements("a", page).found:
            address = link.get("href") or ""
            if not address.startswith("mailto:"):
                continue
            parts = urlsplit(address)
            assert parts.path == "reports@lindenferry.example"
            assert not re.search(r"[^!-~]", address)  # RFC 6068: all else is percent-encoded
            fields = dict(parse_qsl(parts.query, strict_parsing=True))
            assert set(fields) == {"subject", "body"}
            assert fields["subject"].startswith(title_of(route))
            assert not re.search(r"[\r\n]", fields["subject"])
            assert f"{SITE_URL}routes/{route}/" in unquote(parts.query)
            found += 1
    assert found >= len(ROUTES)
