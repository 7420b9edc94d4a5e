"""What stands in a page's head for programs.

Open Graph: the protocol's page at ogp.me. TouristTrip: the vocabulary at schema.org.
"""

from __future__ import annotations

import json
from html.parser import HTMLParser

import pytest

from building import leg, line_east, measures_of, notes, route_of
from plugin.test_language import english_in, made_up
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import wording
from softpedal.site.head import feed_head, locale_of, route_head, site_head
from softpedal.site.language import Language, use
from softpedal.site.plain_pages import Addresses

BASE = "https://lindenferry.example/rides"
LINK = Addresses("directory", BASE)
PAGE = f"{BASE}/routes/ferry-steps-to-chapel-green/"
HOSTILE = "Quay </script><b>\"'&amp;</title> {{ x }}"

#: Properties by type, those of Thing with each: what schema.org defines and we may use.
_THING = {"@context", "@id", "@type", "name", "description", "url", "image", "mainEntityOfPage"}
SCHEMA_ORG = {
    "TouristTrip": _THING | {"touristType", "itinerary", "provider", "offers", "subTrip"},
    "Audience": _THING | {"audienceType"},
    "ItemList": _THING | {"numberOfItems", "itemListElement"},
    "ListItem": _THING | {"position", "item"},
    "Place": _THING | {"geo"},
    "GeoCoordinates": _THING | {"latitude", "longitude"},
    "WebPage": _THING | {"inLanguage", "isPartOf"},
    "WebSite": _THING | {"inLanguage", "isPartOf"},
}


class Head(HTMLParser):
    """Reads the elements, each tag closed."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.meta: list[tuple[str, str]] = []
        self.links: list[dict[str, str]] = []
        self.data: list[str] = []
        self.tags: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.tags.append(tag)
        if tag == "meta":
            self.meta.append((given["property"], given["content"]))
        elif tag == "link":
            self.links.append(given)
        elif tag == "script":
            assert given == {"type": "application/ld+json"}

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1] == "script" and data.strip():
            self.data.append(data)


def head_of(settings=Settings(), link=LINK, **changes) -> Head:  # noqa: B008 - it is frozen
    route = route_of(notes(**changes))
    return Head(route_head(route, measure(route, settings), settings, link))


def trip_of(**changes) -> dict:
    (data,) = head_of(Settings(cards=True), **changes).data
    return json.loads(data)


def test_open_graph_has_its_four_required_properties_and_the_picture_s() -> None:
    """ogp.me: og:title, og:type, og:image and og:url are required of every page."""
    meta = dict(head_of(Settings(cards=True, title="Quiet", country="GB")).meta)
    assert meta["og:title"] == "Ferry Steps to Chapel Green"
    assert meta["og:type"] == "article"
    assert meta["og:url"] == PAGE
    assert meta["og:image"] == f"{PAGE}card.png"
    size = (meta["og:image:width"], meta["og:image:height"], meta["og:image:type"])
    assert size == ("1200", "630", "image/png")
    assert "2.0 km" in meta["og:image:alt"]
    assert meta["og:site_name"] == "Quiet"
    assert meta["og:locale"] == "en_GB"
    for words in ("A way along the water.", "2.0 km: 0 % quiet share", wording.CAUTION_SHORT):
        assert words in meta["og:description"]


def test_a_picture_s_properties_follow_it() -> None:
    """ogp.me, arrays: structured properties stand after their root tag."""
    names = [name for name, _ in head_of(Settings(cards=True)).meta]
    at = names.index("og:image")
    assert all(name.startswith("og:image:") for name in names[at + 1 : at + 5])
    assert len(set(names)) == len(names)


def test_without_a_card_there_is_no_picture() -> None:
    found = head_of(Settings(cards=False))
    assert not [name for name, _ in found.meta if "image" in name]
    assert "image" not in json.loads(found.data[0])


@pytest.mark.parametrize(
    ("language", "country", "locale"),
    [
        ("en", "GB", "en_GB"),
        ("en", None, "en_US"),
        ("de", None, "de_DE"),
        ("de", "CH", "de_CH"),
        ("pt-BR", "PT", "pt_BR"),
        ("qqq", None, ""),
    ],
)
def test_a_locale_is_a_language_and_a_territory(language, country, locale) -> None:
    assert locale_of(Settings(language=language, country=country)) == locale


def test_the_trip_uses_what_schema_org_defines_and_no_more() -> None:
    seen = []

    def walk(value: object) -> None:
        if isinstance(value, dict):
            assert set(value) <= SCHEMA_ORG[value["@type"]], value
            seen.append(value["@type"])
            for inner in value.values():
                walk(inner)
        elif isinstance(value, list):
            for inner in value:
                walk(inner)

    walk(trip_of())
    assert set(seen) == set(SCHEMA_ORG)


def test_the_trip_leads_from_end_to_end() -> None:
    trip = trip_of()
    first, last = (item["item"] for item in trip["itinerary"]["itemListElement"])
    assert (first["name"], last["name"]) == ("Ferry Steps", "Chapel Green")
    (lat, lon), (end_lat, end_lon) = line_east(2000)[0], line_east(2000)[-1]
    assert first["geo"]["latitude"] == pytest.approx(lat, abs=1e-6)
    assert first["geo"]["longitude"] == pytest.approx(lon, abs=1e-6)
    assert last["geo"]["latitude"] == pytest.approx(end_lat, abs=1e-6)
    assert last["geo"]["longitude"] == pytest.approx(end_lon, abs=1e-6)
    assert (trip["url"], trip["image"]) == (PAGE, f"{PAGE}card.png")
    assert wording.CAUTION_SHORT in trip["description"]


def test_the_other_forms_of_the_page_are_named() -> None:
    links = {(link["type"], link["href"]) for link in head_of().links}
    name = f"{PAGE}ferry-steps-to-chapel-green"
    assert links == {
        ("application/atom+xml", f"{BASE}/feed.xml"),
        ("application/gpx+xml", f"{name}.gpx"),
        ("application/gpx+xml", f"{name}-back.gpx"),
        ("application/geo+json", f"{name}.geojson"),
        ("application/json+oembed", f"{PAGE}oembed.json"),
    }
    outbound = head_of(ridden=[{"on": "2026-05-16", "direction": "outbound"}]).links
    assert f"{name}-back.gpx" not in {link["href"] for link in outbound}


def test_a_withdrawn_route_is_named_and_offers_nothing() -> None:
    gone = {"status": "withdrawn", "withdrawn": {"why": "The *bridge* is shut."}}
    found = head_of(Settings(cards=True), **gone)
    assert found.data == []
    assert [link["type"] for link in found.links] == ["application/atom+xml"]
    meta = dict(found.meta)
    assert "og:image" not in meta
    words = "Withdrawn: do not follow this route. The bridge is shut."
    assert meta["og:description"].startswith(words)


def test_a_draft_and_a_site_without_an_address_have_none() -> None:
    route, measures = route_of(notes(status="draft")), measures_of(notes(status="draft"))
    assert route_head(route, measures, Settings(), LINK) == ""
    for nowhere in (Addresses(), lambda target, source: f"{source}/{target}"):
        assert head_of(link=nowhere).tags == []
        assert site_head(Settings(), nowhere, "routes/index.md") == ""
        assert feed_head(Settings(), nowhere) == ""


def test_words_stay_words() -> None:
    found = head_of(Settings(title=HOSTILE), title=HOSTILE, summary=HOSTILE, start=HOSTILE)
    assert set(found.tags) == {"link", "meta", "script"}
    meta = dict(found.meta)
    assert meta["og:title"] == HOSTILE
    assert meta["og:site_name"] == HOSTILE
    (data,) = found.data
    assert json.loads(data)["name"] == HOSTILE
    assert "<" not in data


@pytest.fixture
def _made_up():
    use(Language("en", {}, through=made_up))
    yield
    use(Language())


@pytest.mark.usefixtures("_made_up")
def test_no_english_is_left_in_a_made_up_language() -> None:
    # a card is set in the font of ours, which has no Greek
    words = {"title": "1", "start": "2", "finish": "3", "summary": "4."}
    legs = [leg("start", "busy road", "ΖΗΤΑ")]
    found = head_of(Settings(title="ΨΙ", cards=True), legs=legs, **words)
    names = {"og:title", "og:description", "og:site_name", "og:image:alt"}
    shown = [content for name, content in found.meta if name in names]
    assert len(shown) == 4
    trip = json.loads(found.data[0])
    shown += [trip["description"], trip["touristType"]["audienceType"]]
    shown += [link.get("title", "") for link in found.links]
    assert english_in(" ".join(shown)) == []


def test_another_page_is_named_and_names_the_feed() -> None:
    found = Head(site_head(Settings(title="Quiet"), LINK, "areas/index.md", "By area"))
    meta = dict(found.meta)
    assert (meta["og:title"], meta["og:type"]) == ("By area", "website")
    assert meta["og:url"] == f"{BASE}/areas/"
    assert [link["href"] for link in found.links] == [f"{BASE}/feed.xml"]
    only = Head(feed_head(Settings(title="Quiet"), LINK))
    assert (only.meta, len(only.links)) == ([], 1)
