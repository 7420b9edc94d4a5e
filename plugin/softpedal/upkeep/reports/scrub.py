"""Takes out of a message what says who sent it: what is quoted, greetings, names, addresses.

What can be told by its form is taken out. A name in the middle of a sentence cannot: the author
reads what was added before committing it.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from softpedal.authored_text import direction_closed
from softpedal.library.plain_text import UNPRINTABLE
from softpedal.library.report_reference import REFERENCE
from softpedal.library.reports import MAX_TEXT
from softpedal.upkeep.reports.mail_manners import own_words
from softpedal.upkeep.reports.messages import MAX_CHARACTERS

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Signs without width or shape, with which an address could be written and not be seen.
_UNSEEN = re.compile("[\u00ad\u061c\u180e\u200b-\u200d\u2060-\u2064\ufeff]")
_AT = "@\uff20\ufe6b"
#: An address in words: ada (at) mail.example, ada [at] mail dot example.
_AT_IN_WORDS = re.compile(
    r"\S{1,64}\s*[\[({<]\s*(?:at|ät|a)\s*[\])}>]\s*\S{1,64}"
    r"(?:\s*(?:[\[({<]\s*)?\bdot\b(?:\s*[\])}>])?\s*\w{2,20}){0,3}"
    r"|\b[\w.+-]{1,64}\s+at\s+[\w-]{1,64}(?:\s+dot\s+\w{2,20}){1,3}",
    re.IGNORECASE,
)
_SPACED_AT = re.compile(rf"\S{{1,64}}\s+[{_AT}]\s*\S{{1,64}}\.\w{{2,20}}")
_QUOTED_AT = re.compile(rf'"[^"\n]{{1,64}}"[{_AT}]\S{{1,200}}')
_WORD = re.compile(r"\S+")
#: A link that stands by itself says nothing: the page's own, for the most part.
_LINK_ALONE = re.compile(r"\[link\]|https?://\S+")
_LINK = re.compile(r"(?:https?|ftp|mailto|tel|sms):/*\S+|\bwww\.\S+", re.IGNORECASE)

_PHONE = re.compile(r"\+?[\d(][\s\d().\-/\u2010-\u2015\u2212\u00b7]{0,60}\d")
_SAID_PHONE = re.compile(
    r"(?i)\b(?:tel|telephone|phone|mobile|mob|cell|ring me on|call me on|handy|telefon|fax)\b"
    r"[\s.:]{0,9}\+?[\d(][\d\s()./-]{0,60}\d"
)
#: Figures with a unit, and hours from and to, are what was seen and no telephone number.
_MEASURED = re.compile(
    r"(?i)(?:\d{1,3}(?:[.,]\d{1,2})?(?:\s?[-/\u2013]\s?\d{1,3}(?:[.,]\d{1,2})?){1,2}\s*"
    r"(?:km/h|mph|k?m|cm|mm|min|cars?|bikes?|vans?)\b"
    r"|[0-2]?\d[.:][0-5]\d\s?[-\u2013]\s?[0-2]?\d[.:][0-5]\d(?![\d\s().-]*\d))"
)
#: Fewer digits than this are no telephone number by themselves.
_PHONE_DIGITS = 6
_DATE = re.compile(
    r"(?<!\d)(?:(?:19|20)\d\d-[01]\d-[0-3]\d|[0-3]?\d[./]\s?[01]?\d[./]\s?(?:19|20)\d\d)(?!\d)"
)
_COORDINATES = re.compile(
    r"[-\u2212]?\d{1,2}\.\d{3,20}(?:\s*°)?(?:\s*[NS]\b)?\s*[,; ]\s*"
    r"[-\u2212]?\d{1,3}\.\d{3,20}(?:\s*°)?(?:\s*[EW]\b)?"
)
_STREETS = (
    "street|st|road|rd|lane|avenue|ave|close|drive|way|place|court|crescent|terrace|row|"
    "gardens|grove|hill|walk|quay|square|mews|green"
)
_NUMBERED = re.compile(
    rf"\b\d{{1,4}}\s?[a-zA-Z]?,?\s+(?=(?:[A-Z][\w'’]+\s+){{1,3}}(?i:{_STREETS})\b)"
)
_NUMBERED_BEHIND = re.compile(
    r"(?i:(\b[\w-]{3,40}(?:straße|strasse|str\.|weg|gasse|platz|allee|ufer|ring|damm)))\s+"
    r"\d{1,4}\s?[a-zA-Z]?\b(?!\s*(?:km|m|mi|%))"
)
_HOUSE = re.compile(
    r"(?i)\b(?:number|no\.|nr\.|house number|house|flat|hausnummer)\s+\d{1,4}[a-z]?\b"
)
_POSTCODE = re.compile(r"\b[A-Z]{1,2}\d[A-Z\d]?\s?\d[A-Z]{2}\b")
_TITLED = re.compile(
    r"\b(?:Mr|Mrs|Ms|Miss|Dr|Prof|Herrn?|Frau|Familie)\b\.?\s+(?:[A-Z]\w+[-\s]?){1,3}"
)
_I_AM = re.compile(
    r"(?i:\b(?:my name is|my name's|this is|i['’]m|i am|mein name ist|ich heiße|ich bin|"
    r"i am called|reported by|signed|gemeldet von))[\s:]+"
    r"[A-Z][\w'’-]+(?:\s+[A-Z][\w'’-]+){0,2}"
)


def scrub(
    message: str, names: Sequence[str] = (), own_site: str = "", said: Sequence[str] = ()
) -> str:
    """Return a message's own words, without what says who wrote it.

    Args:
        message: with all that mail programs put around it.
        names: of the sender.
        own_site: address of the published site: links to it are kept.
        said: sentences that were there before the reader began to write.
    """
    text = message[:MAX_CHARACTERS].replace("\r\n", "\n").replace("\r", "\n")
    text = UNPRINTABLE.sub("", _UNSEEN.sub("", text)).replace("\xa0", " ")
    text = REFERENCE.sub("", text)
    for sentence in said:
        words = r"[\s>]+".join(map(re.escape, sentence.split()))
        text = re.sub(words, "", text, flags=re.IGNORECASE)
    text = own_words(text)
    text = _without_addresses(text, own_site)
    text = _without_names(text, names)
    lines = [" ".join(line.split()) for line in text.split("\n")]
    lines = [line for line in lines if not _LINK_ALONE.fullmatch(line)]
    text = re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip()
    if len(text) > MAX_TEXT - 10:
        text = f"{text[: MAX_TEXT - 10].rstrip()} …"
    return direction_closed(text)


def _without_addresses(text: str, own_site: str) -> str:
    host = urlsplit(own_site).netloc

    def link(match: re.Match[str]) -> str:
        is_own = host and match[0].startswith(own_site) and not set(match[0]) & set(_AT)
        return match[0].split("?")[0] if is_own else "[link]"

    text = _QUOTED_AT.sub("[address]", text)
    text = _LINK.sub(link, text)
    text = _AT_IN_WORDS.sub("[address]", text)
    text = _SPACED_AT.sub("[address]", text)
    text = _WORD.sub(lambda m: "[address]" if _is_address(m[0]) else m[0], text)
    text = _COORDINATES.sub("[place]", text)
    text = _SAID_PHONE.sub("[number]", text)
    text = _PHONE.sub(_unless_date, text)
    text = _NUMBERED.sub("", text)
    text = _NUMBERED_BEHIND.sub(r"\1", text)
    return _POSTCODE.sub("[postcode]", _HOUSE.sub("a house", text))


def _is_address(word: str) -> bool:
    """Whether a word is an e-mail address or a handle: an @ with something beside it."""
    return len(word) > 1 and any(sign in word for sign in _AT)


def _unless_date(match: re.Match[str]) -> str:
    """Return a run of figures unless it may be a telephone number; dates in it stay."""
    if _MEASURED.match(match.string, match.start()):
        return match[0]
    rest = _DATE.sub("", match[0])
    figures = sum(c.isdigit() for c in rest)
    is_short = sum(c.isdigit() for c in match[0]) < _PHONE_DIGITS
    is_dated = figures == 0 or (figures <= 2 and match[0][0] not in "+(0")
    return match[0] if is_short or is_dated else "[number]"


def _without_names(text: str, names: Sequence[str]) -> str:
    text = _I_AM.sub("[name]", _TITLED.sub("[name] ", text))
    words = [word for name in names for word in re.findall(r"[^\W\d_]{3,}", name)]
    for name in sorted({*names, *words}, key=len, reverse=True):
        if len(name) >= 3:
            # A street may be called like the sender: Rose Lane stays.
            text = re.sub(
                rf"(?<!\w){re.escape(name)}(?!\w)(?!\s+(?i:{_STREETS})\b)", "[name]", text
            )
    return text
