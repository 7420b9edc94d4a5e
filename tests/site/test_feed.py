"""Which news the feed tells, when, and under which id; published/ holds it against the RFC."""

from __future__ import annotations

import datetime as dt
import pickle
from xml.etree import ElementTree as ET
from zoneinfo import ZoneInfo

import pytest

from building import leg, notes, route_of
from plugin.test_language import english_in, made_up
from softpedal.measure.route_measures import measure
from softpedal.problems import CannotDoError
from softpedal.settings import Settings
from softpedal.site.feed import MOST_ENTRIES, NEVER, build_day, feed_file, midnight
from softpedal.site.language import Language, use
from softpedal.site.plain_pages import Addresses
from softpedal.site.shared import shared_of

ATOM = "{http://www.w3.org/2005/Atom}"
LINK = Addresses("directory", "https://lindenferry.example/rides")
PAGE = "https://lindenferry.example/rides/routes/a-way/"
TODAY = dt.date(2026, 11, 26)
SETTINGS = Settings()


def told(settings=SETTINGS, link=LINK, id="a-way", **changes):  # noqa: A002 - the format's word
    route = route_of(notes(**changes), id=id)
    shared = shared_of(route, measure(route, settings), settings, link)
    return shared and shared.told


def read(*routes, settings=SETTINGS, today=TODAY):
    return ET.fromstring(feed_file(routes, settings, LINK, today).content)


def entries(*routes, **more):
    found = read(*routes, **more).findall(f"{ATOM}entry")
    return [{c.tag.removeprefix(ATOM): c.text for c in entry} for entry in found]


def rides(*days):
    return [{"on": day, "direction": "outbound"} for day in days]


@pytest.fixture
def _made_up():
    use(Language("en", {}, through=made_up))
    yield
    use(Language())


@pytest.mark.usefixtures("_made_up")
def test_no_english_is_left_in_a_made_up_language() -> None:
    route = told(
        title="ΑΛΦΑ",
        area=["ΒΗΤΑ"],
        start="ΓΑΜΑ",
        finish="ΔΕΛΤΑ",
        summary="ΕΨΙΛΟΝ.",
        legs=[leg("start", "busy road", "ΖΗΤΑ")],
        alerts=[{"from": "2026-09-01", "text": "ΠΙ."}],
    )
    settings = Settings(title="ΨΙ", background_attribution="ΧΙ")
    for entry in entries(route, settings=settings):
        for name in ("title", "summary", "content"):
            assert english_in(entry[name]) == [], name
    feed = read(route, settings=settings)
    assert english_in(feed.findtext(f"{ATOM}rights") or "") == []
    labels = [element.get("label", "") for element in feed.iter(f"{ATOM}category")]
    assert len(labels) == 2
    assert english_in(" ".join(labels)) == []


def test_an_id_stays_when_a_riding_grows_and_when_an_older_one_is_noted() -> None:
    before = entries(told(ridden=rides("2026-05-16")))
    after = entries(told(ridden=rides("2026-05-16", "2026-05-30", "2024-03-02")))
    assert [entry["id"] for entry in before] == [f"{PAGE}#ridden-2026-05-16"]
    assert [entry["id"] for entry in after] == [
        f"{PAGE}#ridden-2026-05-16",
        f"{PAGE}#ridden-2024-03-02",
    ]
    assert after[0]["title"].startswith("Ridden again: ")
    assert after[0]["updated"][:10] == "2026-05-30"
    assert after[0]["published"][:10] == "2026-05-16"


def test_alerts_of_one_day_have_ids_of_their_own() -> None:
    alerts = [{"from": "2026-09-01", "text": text} for text in ("Works.", "Flood.")]
    ids = [e["id"] for e in entries(told(alerts=alerts)) if "#alert" in e["id"]]
    assert ids == [f"{PAGE}#alert-2026-09-01", f"{PAGE}#alert-2026-09-01-2"]


def test_an_alert_that_begins_later_is_news_of_the_day_of_the_build() -> None:
    route = told(alerts=[{"from": "2027-02-01", "until": "2027-03-31", "text": "Works."}])
    (alert, _) = entries(route)
    assert alert["updated"][:10] == "2026-11-26"
    assert "published" not in alert
    assert alert["summary"] == "1 February 2027 to 31 March 2027: Works."
    (alert, _) = entries(route, today=dt.date(2027, 2, 14))
    assert alert["updated"][:10] == alert["published"][:10] == "2027-02-01"


def test_nothing_else_depends_on_the_day() -> None:
    route = told(alerts=[{"from": "2026-09-01", "text": "Works."}])
    days = (TODAY, TODAY + dt.timedelta(days=400))
    one, other = (feed_file([route], SETTINGS, LINK, day).content for day in days)
    assert one == other


def test_the_other_alerts_stand_in_every_entry() -> None:
    alerts = [
        {"from": "2026-09-01", "text": "Works."},
        {"from": "2026-10-01", "text": "Flood."},
    ]
    flood, works, new = entries(told(alerts=alerts))
    assert flood["content"].count("Flood.") == 1
    assert flood["content"].count("Works.") == 1
    assert works["content"].index("Works.") < works["content"].index("Flood.")
    assert new["content"].count("Works.") == new["content"].count("Flood.") == 1


def test_of_a_withdrawn_route_nothing_but_that_is_told() -> None:
    gone = {"why": "The bridge is shut.", "on": "2026-11-02", "instead": "b-way"}
    route = told(status="withdrawn", withdrawn=gone, alerts=[{"from": "2026-09-01", "text": "x"}])
    (entry,) = entries(route)
    assert entry["title"].startswith("Withdrawn: ")
    assert entry["summary"] == "The bridge is shut."
    assert "Withdrawn: do not follow this route." in entry["content"]
    assert "routes/b-way/" in entry["content"]
    assert "quiet share" not in entry["content"]
    undated = told(status="withdrawn", withdrawn={"why": "The bridge is shut."})
    assert entries(undated) == []


def test_an_entry_tells_the_figures_the_hardest_bit_and_the_caution() -> None:
    (entry,) = entries(told(Settings(cards=True)), settings=Settings(cards=True))
    for words in (
        "<strong>0 %</strong> quiet share",
        "busy crossings",
        "dismounts",
        "Hardest bit: 2.0 km of back street on Reed Lane",
        "last on 16 May 2026",
        "Quiet is not a promise of safety.",
        f'<img src="{PAGE}card.png" alt="The route as a strip and on a map.',
    ):
        assert words in entry["content"], words
    (plain,) = entries(told())
    assert "<img" not in plain["content"]


def test_the_latest_fifty_are_there_the_latest_first() -> None:
    routes = []
    for number in range(MOST_ENTRIES + 5):
        day = dt.date(2026, 1, 1) + dt.timedelta(days=number)
        routes.append(told(id=f"way-{number}", title=f"Way {number}", ridden=rides(str(day))))
    found = [entry["title"] for entry in entries(*routes)]
    assert found == [f"New: Way {number}" for number in range(54, 4, -1)]
    assert read(*routes).findtext(f"{ATOM}updated") == "2026-02-24T00:00:00+00:00"


def test_a_library_without_news_has_a_feed_that_was_never_changed() -> None:
    """RFC 4287, section 4.1.1 asks for atom:updated; a subscriber finds the file from the start."""
    feed = read()
    assert feed.findall(f"{ATOM}entry") == []
    assert feed.findtext(f"{ATOM}updated") == NEVER


def test_a_draft_and_a_site_without_an_address_tell_nothing() -> None:
    assert told(status="draft") is None
    assert told(link=Addresses()) is None


def test_it_can_be_sent_from_one_process_to_another() -> None:
    route = told(alerts=[{"from": "2026-09-01", "text": "*Works.*"}])
    assert entries(pickle.loads(pickle.dumps(route))) == entries(route)


@pytest.mark.parametrize(
    ("day", "zone", "moment"),
    [
        ("2026-05-16", "UTC", "2026-05-16T00:00:00+00:00"),
        ("2026-05-16", "Atlantic/Azores", "2026-05-16T00:00:00+00:00"),  # summer time
        ("2026-12-16", "Atlantic/Azores", "2026-12-16T00:00:00-01:00"),
        # Liberia was 44 min 30 s behind until 1972 (the IANA time zone database)
        ("1971-05-16", "Africa/Monrovia", "1971-05-16T00:44:30+00:00"),
    ],
)
def test_a_day_begins_at_midnight_in_the_library_s_zone(day, zone, moment) -> None:
    assert midnight(day, ZoneInfo(zone)) == moment


def test_the_day_of_a_build_can_be_given() -> None:
    """SOURCE_DATE_EPOCH, as reproducible-builds.org specifies it."""
    seconds = str(int(dt.datetime(2026, 5, 16, 23, 30, tzinfo=dt.UTC).timestamp()))
    given = {"SOURCE_DATE_EPOCH": seconds}
    assert build_day("UTC", given) == dt.date(2026, 5, 16)
    assert build_day("Europe/Paris", given) == dt.date(2026, 5, 17)
    now = dt.datetime.now(ZoneInfo("UTC")).date()
    assert build_day("UTC", {}) in {now, now + dt.timedelta(days=1)}
    with pytest.raises(CannotDoError, match="SOURCE_DATE_EPOCH is `soon`"):
        build_day("UTC", {"SOURCE_DATE_EPOCH": "soon"})
