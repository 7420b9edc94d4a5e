"""One issue of the newsletter: HTML for mail programs, and the same facts as plain text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.authored_text import one_line
from softpedal.problems import CannotDoError
from softpedal.site import wording
from softpedal.site.addresses import ALL_ROUTES
from softpedal.site.issue_parts import Group, Grouped, parts_of
from softpedal.site.language import date, language_values, tr, trn
from softpedal.site.mail_card import wrapped
from softpedal.site.mail_look import DARK, LOOK
from softpedal.site.mail_markdown import mail_markdown
from softpedal.site.published import absolute_address
from softpedal.site.render import render
from softpedal.site.report_link import library_report_link

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.settings import Settings
    from softpedal.site.issue_parts import Piece
    from softpedal.site.published import Link

#: Bytes of an issue's HTML at most: some mail services clip above 102 kB (common practice), and
#: what a mail program or a sending service adds must find room.
ROOM = 70_000
#: Characters of the line that mail programs show beside the subject: common practice.
PREHEADER = 110
#: Characters of a subject made here: what a telephone shows of it, common practice.
SUBJECT = 120


#: Between two routes of the plain text.
_BETWEEN = "-" * 40


@dataclass(frozen=True, slots=True)
class Issue:
    """One issue.

    Attributes:
        subject: one line of plain text.
        html: a whole page, its lines ended by newlines.
        text: the same in plain text.
        short: how many routes are told in a row in place of a card.
        only_named: how many of these are told by their title alone.
    """

    subject: str
    html: str
    text: str
    short: int = 0
    only_named: int = 0


class NoAddressError(CannotDoError):
    """The address of the published site is not known, so that no link would lead anywhere."""

    def __init__(self) -> None:
        super().__init__(
            "A newsletter needs the address of the published site.",
            "Write `site_url: https://…` in mkdocs.yml, or give --base.",
        )


class TooLongError(CannotDoError):
    """The opening words alone fill an issue."""


def newsletter(
    pieces: Sequence[Piece],
    settings: Settings,
    link: Link,
    *,
    today: str,
    intro: str = "",
    subject: str = "",
    gone: Sequence[str] = (),
) -> Issue:
    """Return an issue about some routes.

    Within 70 kB of HTML as many routes as fit have a card, in the order of the issue; the others
    follow their group's cards in rows, or by their titles where even these do not fit.

    Args:
        pieces: the routes and what happened to them, in the order in which they are told.
        settings: of the library.
        link: knows the site's address.
        today: ISO date of the issue; alerts that ended before it are left out.
        intro: the author's opening words, Markdown.
        subject: in place of the one made here.
        gone: titles of routes that were taken out of the library.

    Raises:
        NoAddressError: the site's address is not known.
        TooLongError: the opening words leave no room.
        TooManyError: there are more routes than an issue can even name.
    """
    if not absolute_address(link, ALL_ROUTES):
        raise NoAddressError
    pieces = [piece for group in Group for piece in pieces if piece.group is group]
    subject = one_line(subject) or _subject(pieces, settings, gone)
    frame = _Frame(settings, link, today, intro, subject, tuple(gone), _preheader(pieces))
    free = ROOM - len(frame.html([]).encode())
    if free < 0:
        raise TooLongError(
            f"The opening words leave no room in the {ROOM:,} bytes of an issue.", "Shorten them."
        )
    found = parts_of(pieces, settings, link, today, free)
    return Issue(
        subject, frame.html(found.groups), frame.text(found.groups), found.short, found.only_named
    )


@dataclass(frozen=True, slots=True)
class _Frame:
    """What stands around the routes."""

    settings: Settings
    link: Link
    today: str
    intro: str
    subject: str
    gone: tuple[str, ...]
    preheader: str

    def html(self, groups: Sequence[Grouped]) -> str:
        html = render(
            "newsletter.html",
            subject=self.subject,
            preheader=self.preheader,
            title=self.settings.title,
            issue=self._issue(),
            intro=mail_markdown(self.intro) if self.intro.strip() else "",
            groups=groups,
            gone=self.gone,
            gone_title="".join(self._gone_title(groups)),
            caution=tr(wording.CAUTION_SHORT),
            licence=self._licence(),
            report=library_report_link(self.settings),
            all_routes=absolute_address(self.link, ALL_ROUTES),
            s=LOOK,
            dark=DARK,
            **language_values(),
        )
        return html.strip() + "\n"

    def text(self, groups: Sequence[Grouped]) -> str:
        parts = [self.settings.title, self._issue()]
        parts += ["\n".join("\n".join(wrapped(x)) for x in self.intro.strip().splitlines())]
        for group in groups:
            parts.append(_underlined(group.title, "="))
            parts.append(f"\n\n{_BETWEEN}\n\n".join(text.strip("\n") for text in group.texts))
        if self.gone:
            parts += [_underlined(title, "=") for title in self._gone_title(groups)]
            parts.append(self._gone_text())
        parts += [_BETWEEN, "\n".join(wrapped(tr(wording.CAUTION_SHORT))), self._licence()]
        if report := library_report_link(self.settings):
            asked = tr("Something here is wrong or has changed?")
            if report.startswith("mailto:"):
                report = report.removeprefix("mailto:").partition("?")[0]
            parts.append(f"{asked} {tr('Report it')}:\n{report}")
        parts.append(f"{tr('All routes')}:\n{absolute_address(self.link, ALL_ROUTES)}")
        return "\n\n".join(part.strip("\n") for part in parts if part.strip()) + "\n"

    def _issue(self) -> str:
        return tr("Issue of {date}", date=date(self.today))

    def _licence(self) -> str:
        whose = self.settings.background_attribution.rstrip(".")
        return tr("Map and street data: {attribution}.", attribution=whose) if whose else ""

    def _gone_title(self, groups: Sequence[Grouped]) -> list[str]:
        """Return the heading over what is gone, where it does not stand there already."""
        title = tr(Group.CHANGED.value)
        return [] if any(g.title == title for g in groups) else [title]

    def _gone_text(self) -> str:
        lines = [tr("No longer offered: {title}.", title=title) for title in self.gone]
        return "\n".join(line for text in lines for line in wrapped(text))


def _underlined(text: str, sign: str) -> str:
    lines = wrapped(text)
    return "\n".join([*lines, sign * max(map(len, lines), default=0)])


def _preheader(pieces: Sequence[Piece]) -> str:
    titles = one_line(", ".join(piece.route.notes.title for piece in pieces))
    return titles if len(titles) <= PREHEADER else one_line(f"{titles[: PREHEADER - 1]}…")


def _subject(pieces: Sequence[Piece], settings: Settings, gone: Sequence[str]) -> str:
    counts = {group: sum(p.group is group for p in pieces) for group in Group}
    counts[Group.CHANGED] += len(gone)
    words = {
        Group.NEW: ("{count} new route", "{count} new routes"),
        Group.AGAIN: ("{count} ridden again", "{count} ridden again"),
        Group.CHANGED: ("{count} closed or reopened", "{count} closed or reopened"),
        Group.CHOSEN: ("{count} route", "{count} routes"),
    }
    told = [trn(*words[group], count) for group, count in counts.items() if count]
    subject = one_line(f"{settings.title}: {', '.join(told)}")
    if len(pieces) == 1 and not gone:
        named = one_line(f"{subject}, {pieces[0].route.notes.title}")
        return named if len(named) <= SUBJECT else subject
    return subject
