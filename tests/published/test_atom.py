"""The feed against RFC 4287: its schema (atom_schema/SOURCES.md), its text, and a feed reader."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import feedparser
import pytest
import rnc2rng
from lxml import etree

from building import make_route, notes
from softpedal.site.addresses import FEED
from softpedal.site.plain_pages import Addresses
from softpedal.site.publish import publish

ROOT = Path(__file__).parents[2]
FOLDER = Path(__file__).parent / "atom_schema"
BASE = "https://lindenferry.example/rides/"
TODAY = dt.date(2026, 11, 26)
ATOM = "{http://www.w3.org/2005/Atom}"
#: RFC 3339, section 5.6, as RFC 4287, section 3.3 narrows it: capital T and Z.
RFC_3339 = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")
HOSTILE = 'Quay <Row> & "Steps" ]]> \u202eback\u202c'


def _schema() -> etree.RelaxNG:
    text = rnc2rng.dumps(rnc2rng.load(str(FOLDER / "atom.rnc")))
    # rnc2rng declares a prefix for no namespace, which XML does not know; nothing uses it
    return etree.RelaxNG(etree.fromstring(text.replace('xmlns:local=""', "").encode()))


SCHEMA = _schema()


def feed_of(library, today=TODAY) -> bytes:
    published = publish(library, Addresses("directory", BASE), today=today)
    (file,) = [file for file in published.files if file.path == FEED]
    return file.content


def is_valid(content: bytes) -> bool:
    return bool(SCHEMA.validate(etree.fromstring(content)))


@pytest.fixture
def library(tmp_path):
    """A route with two rides and alerts, one withdrawn, one whose words are hostile."""
    rides = [{"on": day, "direction": "both"} for day in ("2024-03-02", "2026-05-16")]
    alerts = [{"from": "2026-09-01", "until": "2026-10-15", "text": "Works & <mud>."}]
    make_route(tmp_path, notes(ridden=rides, alerts=alerts), id="a-way")
    make_route(tmp_path, notes(title=HOSTILE, start=HOSTILE, summary=HOSTILE), id="hostile")
    gone = {"why": "The *bridge* is shut.", "on": "2026-11-02", "instead": "a-way"}
    make_route(tmp_path, notes(status="withdrawn", withdrawn=gone, ridden=rides), id="gone")
    (tmp_path / "softpedal.yml").write_text(
        "title: Quiet & <slow>\ntime_zone: Europe/London\n"
        "background_attribution: Town & Sons, CC0\n"
    )
    return tmp_path


def test_the_schema_is_the_one_that_is_named() -> None:
    digest = hashlib.sha256((FOLDER / "atom.rnc").read_bytes()).hexdigest()
    assert digest in (FOLDER / "SOURCES.md").read_text()


def test_the_feed_is_valid_and_so_is_the_demo_s(library) -> None:
    for folder in (library, ROOT):
        content = feed_of(folder)
        assert is_valid(content), SCHEMA.error_log
        assert content.count(b"<entry>") >= 4


@pytest.mark.parametrize(
    ("what", "wrong"),
    [
        (rb"<id>https://[^<]*feed.xml</id>", b""),
        (rb"<title>Quiet[^<]*</title>", b""),
        (rb"<updated>[^<]*</updated>", b""),
        (rb"<name>[^<]*</name>", b""),
        (rb'(<link rel="self"[^>]*) href="[^"]*"', rb"\1"),
        (rb"(<updated>\d{4}-\d\d-\d\d)T[^<]*", rb"\1"),
        (rb"(<title>Withdrawn)", rb"<title/>\1"),
        (rb'term="[^"]*" ', b""),
        (rb'type="html"', b'type="wrong"'),
        (rb"<generator>", b"<generated/><generator>"),
    ],
)
def test_the_schema_refuses_what_is_not_atom(library, what, wrong) -> None:
    content = feed_of(library)
    spoilt, count = re.subn(what, wrong, content, count=1)
    assert count == 1
    assert not is_valid(spoilt)


def test_what_the_text_of_the_rfc_asks_for(library) -> None:
    feed = ET.fromstring(feed_of(library))
    # 4.1.1: exactly one id, title and updated; an author, as no entry has one
    for parent in (feed, *feed.iter(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            (element,) = parent.findall(f"{ATOM}{name}")
            assert (element.text or "").strip()
    assert feed.findtext(f"{ATOM}author/{ATOM}name")
    # 4.1.1: one link of a relation, type and language; SHOULD have one to itself
    links = [(link.get("rel"), link.get("type")) for link in feed.findall(f"{ATOM}link")]
    assert len(set(links)) == len(links)
    assert ("self", "application/atom+xml") in links
    entries = feed.findall(f"{ATOM}entry")
    for entry in entries:
        # 4.1.2: a link of rel alternate or a content; here both
        (link,) = entry.findall(f"{ATOM}link")
        assert link.get("rel") == "alternate"
        assert link.get("href", "").startswith(f"{BASE}routes/")
        assert entry.findtext(f"{ATOM}content")
        # 4.1.2: published is no later than the last change
        published = entry.findtext(f"{ATOM}published")
        if published:
            assert published <= (entry.findtext(f"{ATOM}updated") or "")
    # 4.2.6: ids are IRIs, and no two entries have the same
    ids = [entry.findtext(f"{ATOM}id") or "" for entry in entries]
    assert len(set(ids)) == len(ids)
    assert all(i.startswith(BASE) for i in ids)
    # 3.3: dates
    dates = [e.text or "" for name in ("updated", "published") for e in feed.iter(f"{ATOM}{name}")]
    assert all(RFC_3339.fullmatch(date) for date in dates), dates
    # 4.2.15: the feed was changed with its latest entry
    latest = max(dt.datetime.fromisoformat(e.findtext(f"{ATOM}updated") or "") for e in entries)
    assert dt.datetime.fromisoformat(feed.findtext(f"{ATOM}updated") or "") == latest


def test_a_feed_reader_reads_what_happened(library) -> None:
    read = feedparser.parse(feed_of(library))
    assert read.bozo == 0
    assert read.version == "atom10"
    assert read.feed.title == "Quiet & <slow>"
    assert read.feed.rights == "Map and street data: Town & Sons, CC0."
    said = [(e.title, e.updated[:10], e.tags[0].term, e.tags[0].label) for e in read.entries]
    assert said == [
        ("Withdrawn: Ferry Steps to Chapel Green", "2026-11-02", "withdrawn", "Withdrawn"),
        ("Alert: Ferry Steps to Chapel Green", "2026-09-01", "alert", "Alert"),
        ("Ridden again: Ferry Steps to Chapel Green", "2026-05-16", "re-ridden", "Ridden again"),
        (f"New: {HOSTILE}", "2026-05-16", "new", "New"),
        ("New: Ferry Steps to Chapel Green", "2024-03-02", "new", "New"),
    ]
    assert read.entries[2].updated == "2026-05-16T00:00:00+01:00"  # British summer time
    assert read.entries[0].updated == "2026-11-02T00:00:00+00:00"
    assert read.entries[1].link == f"{BASE}routes/a-way/"
    assert read.entries[1].summary == "1 September 2026 to 15 October 2026: Works & <mud>."


def test_words_stay_words_in_the_content(library) -> None:
    feed = ET.fromstring(feed_of(library))
    contents = [entry.findtext(f"{ATOM}content") or "" for entry in feed.findall(f"{ATOM}entry")]
    assert any("Quay &lt;Row&gt; &amp; " in content for content in contents)
    for content in contents:
        assert "<Row>" not in content
        assert "<mud>" not in content
        assert "Quiet is not a promise of safety." in content
        assert not re.search(r"<script|\son[a-z]+=|\sstyle=", content)
