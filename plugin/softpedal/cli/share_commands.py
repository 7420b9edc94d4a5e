"""Commands that send routes on their way: newsletter."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from softpedal.cli.group import main
from softpedal.cli.newsletter_routes import InIssue, routes_named, routes_since
from softpedal.cli.route_texts import words_settings
from softpedal.cli.shared import LIBRARY, now_in, settings_of
from softpedal.cli.site_address import ADDRESSES, BASE, site_addresses
from softpedal.library.plain_text import NotText, counted, read_text
from softpedal.problems import CannotDoError
from softpedal.site.mail_file import mail_file, sender
from softpedal.site.newsletter import NoAddressError
from softpedal.site.newsletter import newsletter as made_newsletter

if TYPE_CHECKING:
    import datetime as dt

    from softpedal.settings import Settings
    from softpedal.site.newsletter import Issue
    from softpedal.site.plain_pages import Addresses

Style = Literal["directory", "file"]
Form = Literal["html", "text", "eml"]

#: Bytes of opening words that are read at most.
MAX_INTRO_BYTES = 64 * 1024


@main.command()
@LIBRARY
@click.option(
    "--since",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Tell what is new from this day on: 2026-05-01.",
)
@click.option("--routes", default="", help="Tell of these routes: ids with commas between them.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["html", "text", "eml"]),
    default="html",
    show_default=True,
    help="HTML for mail, plain text, or both as a draft for a mail program.",
)
@click.option(
    "--intro",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A Markdown file with your opening words.",
)
@click.option("--subject", default="", help="Subject. Default: the site's title and what is new.")
@click.option(
    "--to", type=click.Path(path_type=Path), help="File to write. Default: standard output."
)
@BASE
@ADDRESSES
def newsletter(
    *,
    library: Path,
    since: dt.datetime | None,
    routes: str,
    form: Form,
    intro: Path | None,
    subject: str,
    to: Path | None,
    base: str,
    addresses: Style | None,
) -> None:
    """Write an issue of the newsletter: what is new, ridden again, closed or reopened.

    Since when is told by the library's git history where it reaches back so far, else by the dates
    in the routes' own notes. A draft never appears. A route with an error is left out and reported
    on standard error; the exit code is then 1. It is also 1 when there is nothing to tell.
    """
    if (since is None) == (not routes.strip()):
        raise click.UsageError("Give either --since or --routes.")
    settings = words_settings(library, settings_of(library))
    link = site_addresses(library, base, addresses)
    if not link.base.startswith(("https://", "http://")):
        raise NoAddressError
    now = now_in(settings)
    opening = _opening(intro) if intro else ""
    found = _found(library, settings, since, routes, now)
    for problem in found.problems:
        click.echo(str(problem), err=True)
    if not found.pieces and not found.gone:
        when = f" since {since:%Y-%m-%d}" if since else ""
        raise CannotDoError(f"There is nothing to tell{when}.", "No issue was written.")
    issue = made_newsletter(
        found.pieces,
        settings,
        link,
        today=now.date().isoformat(),
        intro=opening,
        subject=subject,
        gone=found.gone,
    )
    _tell(issue, settings, form)
    _write(_content(issue, settings, link, now, form), to)
    sys.exit(1 if found.problems else 0)


def _found(
    library: Path, settings: Settings, since: dt.datetime | None, routes: str, now: dt.datetime
) -> InIssue:
    if since is None:
        return routes_named(library, settings, routes)
    if since.date() > now.date():
        raise CannotDoError(
            f"{since:%Y-%m-%d} is still to come.", "Give a day up to today, like 2026-05-01."
        )
    return routes_since(library, settings, since.date(), now)


def _opening(path: Path) -> str:
    """Return the author's opening words."""
    with path.open("rb") as file:
        content = file.read(MAX_INTRO_BYTES + 1)
    if len(content) > MAX_INTRO_BYTES:
        raise CannotDoError(f"{path.name} has more than {MAX_INTRO_BYTES:,} bytes.", "Shorten it.")
    try:
        return read_text(content)
    except NotText as no:
        line, column = no.mark
        raise CannotDoError(f"{path.name}:{line}:{column}: {no.message}", no.hint) from None


def _tell(issue: Issue, settings: Settings, form: Form) -> None:
    """Say on standard error what the issue does without."""
    if issue.short:
        told = f"{counted(issue.short, 'route')} told in short: an issue has room for 70 kB."
        if issue.only_named:
            told += f" {issue.only_named:,} of them by the title alone."
        click.echo(told, err=True)
    if not settings.cards and form != "text":
        click.echo("No pictures: set `cards: true` in softpedal.yml.", err=True)
    if form == "eml" and sender(settings) is None:
        click.echo("No sender: set `newsletter_from` in softpedal.yml.", err=True)


def _content(
    issue: Issue, settings: Settings, link: Addresses, now: dt.datetime, form: Form
) -> bytes:
    if form == "eml":
        return mail_file(issue, settings, link, now)
    return (issue.html if form == "html" else issue.text).encode()


def _write(content: bytes, to: Path | None) -> None:
    """Write to a new file, or to standard output as it is, CR LF with it."""
    if to is None:
        click.echo(content, nl=False)
        return
    with to.open("xb") as file:
        file.write(content)
    click.echo(f"Written to {to}.", err=True)
