"""The routes of an issue in their groups: cards while there is room, then rows, then titles."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from markupsafe import Markup

from softpedal.problems import CannotDoError
from softpedal.site.addresses import route_path
from softpedal.site.language import date, tr
from softpedal.site.mail_card import mail_card, plain, text_card, wrapped
from softpedal.site.mail_look import LOOK
from softpedal.site.mail_words import CardWords, card_words, mail_inline
from softpedal.site.published import absolute_address
from softpedal.site.render import render

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.issue_news import Happened
    from softpedal.site.published import Link


class TooManyError(CannotDoError):
    """So many routes that not even their titles fit into an issue."""

    def __init__(self, count: int) -> None:
        super().__init__(
            f"{count:,} routes are more than an issue has room for, even by their titles.",
            "Give a later day with --since, or name routes with --routes.",
        )


class Group(Enum):
    """The groups of an issue in their order; the values are their headings in English."""

    NEW = "New"
    AGAIN = "Ridden again"
    CHANGED = "Closed or reopened"
    CHOSEN = "Routes"


@dataclass(frozen=True, eq=False, slots=True)
class Piece:
    """A route of an issue; with nothing that happened it was chosen for itself."""

    route: Route
    measures: Measures
    happened: tuple[Happened, ...] = ()

    @property
    def group(self) -> Group:
        """Where it stands: what shut or opened it comes before all else that happened."""
        sorts = {h.sort for h in self.happened}
        if self.route.notes.status == "withdrawn" or "reopened" in sorts:
            return Group.CHANGED
        if "new" in sorts:
            return Group.NEW
        if "re-ridden" in sorts:
            return Group.AGAIN
        return Group.CHANGED if sorts else Group.CHOSEN


@dataclass(slots=True)
class Grouped:
    """One group of an issue.

    Attributes:
        title: its heading.
        htmls: table rows, one for each route that is told by more than its title.
        titles: links, one for each of the others.
        texts: all of them in plain text.
    """

    title: str
    htmls: list[Markup] = field(default_factory=list)
    titles: list[Markup] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Parts:
    """The groups of an issue, and how many routes have no card, and of these not even a row."""

    groups: list[Grouped]
    short: int
    only_named: int


@dataclass(frozen=True, slots=True)
class _Form:
    """A route in one form, as HTML and as text."""

    html: Markup
    text: str

    @property
    def size(self) -> int:
        return len(self.html.encode())


def parts_of(
    pieces: Sequence[Piece], settings: Settings, link: Link, today: str, free: int
) -> Parts:
    """Return routes, which come in the order of their groups, in HTML of at most so many bytes.

    Each form of a route says where its page is, and what happened to it if there is room for more
    than its title.

    Raises:
        TooManyError: not even the titles fit.
    """
    told = [card_words(p.route, p.measures, settings, link, today) for p in pieces]
    forms = [
        [_title(piece, link), _row(piece, words)] for piece, words in zip(pieces, told, strict=True)
    ]
    free -= sum(_heading_size(group) for group in {p.group for p in pieces})
    free -= sum(title.size for title, _ in forms)
    if free < 0:
        raise TooManyError(len(pieces))
    chosen = [0] * len(pieces)
    for index, (title, row) in enumerate(forms):
        if row.size - title.size <= free:
            free -= row.size - title.size
            chosen[index] = 1
    for index, piece in enumerate(pieces):
        if chosen[index] != 1 or free <= 0:
            break
        card = _card(piece, told[index])
        more = card.size - forms[index][1].size
        if more > free:
            break
        free -= more
        chosen[index] = 2
        forms[index].append(card)
    groups: dict[Group, Grouped] = {}
    for index in sorted(range(len(pieces)), key=lambda i: chosen[i] == 0):
        which = pieces[index].group
        group = groups.setdefault(which, Grouped(tr(which.value)))
        form = forms[index][chosen[index]]
        (group.htmls if chosen[index] else group.titles).append(form.html)
        group.texts.append(form.text)
    found = [groups[group] for group in Group if group in groups]
    return Parts(found, sum(c < 2 for c in chosen), chosen.count(0))


def _heading_size(group: Group) -> int:
    """Return the bytes of a group's heading and of the cell for its titles."""
    made = (
        render("mail_group.html", title=tr(group.value), s=LOOK),
        render("mail_titles.html", titles=[""], s=LOOK),
    )
    return sum(len(html.encode()) for html in made)


def _card(piece: Piece, words: CardWords) -> _Form:
    happened = _happened(piece)
    card = mail_card(words, happened)
    html = render("mail_entry.html", card=Markup(card), s=LOOK)  # noqa: S704 - a filled template
    return _Form(Markup(html), text_card(words, happened))  # noqa: S704


def _row(piece: Piece, card: CardWords) -> _Form:
    lines = [*_happened(piece), *_urgent(card)]
    if figures := "; ".join(map(str, card.figures)):
        lines.append(Markup("{}").format(figures))
    html = Markup(  # noqa: S704 - a filled template
        render("mail_row.html", title=card.title, address=card.address, lines=lines, s=LOOK)
    )
    text = [*wrapped(plain(card.title)), *(x for w in lines for x in wrapped(plain(w)))]
    return _Form(html, "\n".join([*text, card.address]))


def _title(piece: Piece, link: Link) -> _Form:
    title, address = piece.route.notes.title, absolute_address(link, route_path(piece.route.id))
    html = Markup('<a href="{}" style="{}">{}</a><br>\n').format(address, LOOK["link"], title)
    return _Form(html, "\n".join([*wrapped(plain(title)), address]))


def _urgent(card: CardWords) -> list[Markup]:
    """Return what a row may not leave out: withdrawn, shut, and what holds for a time."""
    found = [Markup("{} {}").format(strong, words) for strong, words in card.notices]
    if card.shut:
        found.append(Markup("{}").format(card.shut))
    return found + [Markup("{}: {}").format(when, words) for when, words in card.alerts]


def _happened(piece: Piece) -> list[Markup]:
    """Return what happened in sentences, but for what heading and card say themselves."""
    found = []
    is_new = any(one.sort == "new" for one in piece.happened)
    for one in piece.happened:
        on = date(one.on) if one.on else ""
        if one.sort == "re-ridden" and not is_new:
            found.append(_strong(tr("Ridden again on {date}.", date=on)))
        elif one.sort == "withdrawn" and on:
            found.append(_strong(tr("Withdrawn on {date}.", date=on)))
        elif one.sort == "reopened":
            found.append(_strong(tr("Offered again: it had been withdrawn.")))
        elif one.sort == "alert over":
            over = tr("Ended on {date}:", date=on) if on else tr("No longer noted:")
            found.append(Markup("{} {}").format(_strong(over), mail_inline(one.text)))
    return found


def _strong(text: str) -> Markup:
    return Markup("<strong>{}</strong>").format(text)
