"""The news of a library as an Atom feed (RFC 4287): new, ridden again, alerts, withdrawn."""

from __future__ import annotations

import datetime as dt
import os
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET
from zoneinfo import ZoneInfo

from markupsafe import Markup

from softpedal.problems import CannotDoError
from softpedal.site import wording
from softpedal.site.addresses import ALL_ROUTES, FEED
from softpedal.site.language import tr
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.render import render
from softpedal.site.text import inline

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from softpedal.settings import Settings
    from softpedal.site.mail_words import CardWords
    from softpedal.site.news import News, NewsSort
    from softpedal.site.published import Link

NAMESPACE = "http://www.w3.org/2005/Atom"
#: Entries at most; a reader that comes by once a season misses none of a town's.
MOST_ENTRIES = 50
#: When a feed without an entry was last changed: RFC 4287 asks for a time, and there is none.
NEVER = "1970-01-01T00:00:00Z"

#: Title of an entry, and the label of its category.
TITLES: dict[NewsSort, tuple[str, str]] = {
    "new": ("New: {title}", "New"),
    "re-ridden": ("Ridden again: {title}", "Ridden again"),
    "alert": ("Alert: {title}", "Alert"),
    "withdrawn": ("Withdrawn: {title}", "Withdrawn"),
}
#: In an entry's id both rides are one sort: an earlier ride that is noted later changes no id.
_ID_WORDS: dict[NewsSort, str] = {"new": "ridden", "re-ridden": "ridden"}


@dataclass(frozen=True, slots=True)
class Told:
    """What a route gives to the feed.

    Attributes:
        words: what is said of it.
        news: what has happened to it; of a withdrawn route that it is withdrawn, and no more.
    """

    words: CardWords
    news: tuple[News, ...]


@dataclass(frozen=True, slots=True)
class _Entry:
    id: str
    updated: str
    news: News
    words: CardWords


def feed_file(routes: Iterable[Told], settings: Settings, link: Link, today: dt.date) -> StaticFile:
    """Return the feed, the latest entries first.

    Args:
        routes: those with a page of their own.
        settings: of the library; an entry's day begins at midnight in its time zone.
        link: knows the site's address.
        today: the day of the build. No entry is dated after it: an alert that will begin later is
            news of that day.
    """
    entries = [entry for told in routes for entry in _entries(told, today)]
    entries.sort(key=lambda e: (e.words.title.casefold(), e.id))
    entries.sort(key=lambda e: e.updated, reverse=True)
    zone = ZoneInfo(settings.time_zone)
    shown = entries[:MOST_ENTRIES]
    feed = ET.Element("feed", {"xmlns": NAMESPACE, "xml:lang": settings.language})
    _put(feed, "id", absolute_address(link, FEED))
    _put(feed, "title", settings.title)
    _put(feed, "updated", midnight(shown[0].updated, zone) if shown else NEVER)
    _link(feed, "self", "application/atom+xml", absolute_address(link, FEED))
    _link(feed, "alternate", "text/html", absolute_address(link, ALL_ROUTES))
    _put(ET.SubElement(feed, "author"), "name", settings.title)
    _put(feed, "generator", "softpedal")
    if settings.background_attribution:
        _put(feed, "rights", rights(settings))
    for entry in shown:
        _write(ET.SubElement(feed, "entry"), entry, zone)
    ET.indent(feed)
    return StaticFile(FEED, ET.tostring(feed, encoding="utf-8", xml_declaration=True) + b"\n")


def rights(settings: Settings) -> str:
    """Return whose map and street data the figures and pictures are made from."""
    text = "Map and street data: {attribution}."
    return tr(text, attribution=settings.background_attribution.rstrip("."))


def build_day(zone: str, environment: Mapping[str, str] = os.environ) -> dt.date:
    """Return the day of a build in a time zone: of SOURCE_DATE_EPOCH where it is set, else today.

    SOURCE_DATE_EPOCH is that of reproducible-builds.org: seconds since 1970 in UTC.

    Raises:
        CannotDoError: it is set and no whole number of seconds.
    """
    seconds = environment.get("SOURCE_DATE_EPOCH", "")
    if not seconds:
        return dt.datetime.now(ZoneInfo(zone)).date()
    try:
        return dt.datetime.fromtimestamp(int(seconds), ZoneInfo(zone)).date()
    except (ValueError, OverflowError, OSError) as error:
        raise CannotDoError(
            f"SOURCE_DATE_EPOCH is `{seconds[:40]}`, which is no time.",
            "Give whole seconds since 1970, or unset it.",
        ) from error


def midnight(day: str, zone: ZoneInfo) -> str:
    """Return the moment at which a day begins, as RFC 3339 writes it.

    A zone's offset of long ago has seconds, which RFC 3339 does not know: it is in UTC then.
    """
    moment = dt.datetime.combine(dt.date.fromisoformat(day), dt.time(), zone)
    offset = moment.utcoffset() or dt.timedelta()
    if offset % dt.timedelta(minutes=1):
        moment = moment.astimezone(dt.UTC)
    return moment.isoformat()


def _entries(told: Told, today: dt.date) -> list[_Entry]:
    """Return a route's entries; ids of several on one day are numbered by their words."""
    seen: Counter[str] = Counter()
    found = []
    for news in sorted(told.news, key=lambda n: (n.first, n.text)):
        mark = f"{_ID_WORDS.get(news.sort, news.sort)}-{news.first}"
        seen[mark] += 1
        number = f"-{seen[mark]}" if seen[mark] > 1 else ""
        updated = min(news.on, today.isoformat())
        found.append(_Entry(f"{told.words.address}#{mark}{number}", updated, news, told.words))
    return found


def _write(element: ET.Element, entry: _Entry, zone: ZoneInfo) -> None:
    news, words = entry.news, entry.words
    title, label = TITLES[news.sort]
    _put(element, "id", entry.id)
    _put(element, "title", tr(title, title=words.title))
    _put(element, "updated", midnight(entry.updated, zone))
    if news.first <= entry.updated:
        _put(element, "published", midnight(news.first, zone))
    _link(element, "alternate", "text/html", words.address)
    ET.SubElement(element, "category", {"term": news.sort, "label": tr(label)})
    told = news_words(news)
    _put(element, "summary", (told or words.summary).striptags())
    others = [(when, text) for when, text in words.alerts if _alert(when, text) != told]
    content = render("feed_entry.html", told=told, alerts=others, card=words)
    _put(element, "content", content).set("type", "html")


def news_words(news: News) -> Markup:
    """Return an author's words on what has happened, with the days of an alert."""
    if news.sort != "alert":
        return inline(news.text)
    return _alert(wording.span_words(news.on, news.until), inline(news.text))


def _alert(when: str, text: Markup) -> Markup:
    return Markup("{}: {}").format(when, text)


def _put(parent: ET.Element, name: str, text: str) -> ET.Element:
    element = ET.SubElement(parent, name)
    element.text = str(text)
    return element


def _link(parent: ET.Element, rel: str, kind: str, address: str) -> None:
    ET.SubElement(parent, "link", {"rel": rel, "type": kind, "href": address})
