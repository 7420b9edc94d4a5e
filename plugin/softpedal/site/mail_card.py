"""A route as a card for e-mail: HTML with inline styles only, and plain text."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from markupsafe import Markup

from softpedal.site.language import language_values, tr
from softpedal.site.mail_look import LOOK
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from softpedal.site.mail_words import CardWords

_WITH_ADDRESS = re.compile(r'<a href="([^"]*)"[^>]*>(.*?)</a>', re.DOTALL)

#: Characters of a line of plain text, where its words allow. RFC 5322 §2.1.1 asks for 78 at most.
LINE = 72


def mail_card(words: CardWords, happened: Sequence[Markup] = ()) -> str:
    """Return a route's card as HTML that mail programs show: one table, no class and no script.

    Args:
        words: of `card_words`; where the site's address is not known it has neither links nor a
            picture.
        happened: sentences under the title, of what is new.
    """
    html = render("mail_card.html", card=words, happened=happened, s=LOOK, **language_values())
    return html.strip() + "\n"


def text_card(words: CardWords, happened: Sequence[Markup] = ()) -> str:
    """Return a route's card as plain text, in lines of at most 72 characters where words allow."""
    return "\n\n".join("\n".join(part) for part in _parts(words, happened) if part) + "\n"


def wrapped(text: str) -> list[str]:
    """Return text in lines of at most 72 characters, no word and no address broken."""
    return textwrap.wrap(text, LINE, break_long_words=False, break_on_hyphens=False)


def plain(text: str | Markup) -> str:
    """Return text in one line, without markup; an author's links are put after their words."""
    if isinstance(text, Markup):
        text = Markup(_WITH_ADDRESS.sub(r"\2 (\1)", str(text))).striptags()  # noqa: S704
    return " ".join(text.split())


def _parts(card: CardWords, happened: Sequence[Markup]) -> Iterator[list[str]]:
    yield wrapped(plain(card.title))
    yield [line for words in happened for line in wrapped(plain(words))]
    yield [line for strong, words in card.notices for line in wrapped(f"{strong} {plain(words)}")]
    if card.instead:
        yield [tr("What to ride instead") + ":", card.instead]
    yield wrapped(plain(card.place))
    yield wrapped(plain(card.summary))
    yield [line for when, words in card.alerts for line in wrapped(f"{when}: {plain(words)}")]
    yield wrapped(card.shut)
    figures = [str(big) for big in card.figures]
    facts = [f"{term}: {plain(words)}" for term, words in card.facts]
    yield [line for text in [*figures, *facts] for line in wrapped(text)]
    yield wrapped(plain(card.about))
    if card.address:
        yield [f"{card.address_words}:", card.address]
