"""The commands that print a route's words: chapters and description of its film, cue sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import click

from softpedal.cli.group import main
from softpedal.cli.route_texts import measured_route, page_addresses, words_settings
from softpedal.cli.shared import LIBRARY, now_in, settings_of
from softpedal.cli.site_address import ADDRESSES, BASE
from softpedal.problems import CannotDoError
from softpedal.site.chapters import Chapters, chapters_of
from softpedal.site.chapters_forms import chapters_markdown, chapters_text
from softpedal.site.cue_sheet import cue_sheet
from softpedal.site.film_description import LENGTH, film_description

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.cli.site_address import Style
    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings

Form = Literal["text", "markdown"]
FORMAT = click.option(
    "--format",
    "form",
    type=click.Choice(["text", "markdown"]),
    default="text",
    show_default=True,
    help="Plain text, or Markdown.",
)


@main.command()
@click.argument("route")
@LIBRARY
@click.option(
    "--part",
    type=click.Choice(["all", "chapters", "description"]),
    default="all",
    show_default=True,
    help="Print the whole text or one part of it.",
)
@FORMAT
@BASE
@ADDRESSES
@click.option("--plain", is_flag=True, help="Put no heading above the chapters.")
def chapters(  # noqa: PLR0917 - click passes its options by name
    route: str,
    library: Path,
    part: Literal["all", "chapters", "description"],
    form: Form,
    base: str,
    addresses: Style | None,
    *,
    plain: bool,
) -> None:
    """Print what goes under the film of ROUTE: description and chapters, ready to paste.

    Chapters come from `film: "4:10"` beside legs and points of the notes. As video sites ask
    (common practice), the first is at 0:00, they are at least 10 s apart, and there are at least
    three; of several within 10 s a busy crossing or a dismount stays before a leg, a leg before
    anything else. A landmark on film at the end of the line is the finish. The text keeps within
    5,000 characters; of the alerts it tells those that are not over today. As Markdown, chapters
    link to their second of the film where the notes give its address. What is left out is said on
    standard error.
    """
    settings = words_settings(library, settings_of(library))
    found, measures = measured_route(route, library, settings)
    listed = _chapters(found, measures, settings, part)
    for remark in listed.remarks:
        click.echo(remark, err=True)
    if part == "chapters" and not listed.chapters:
        raise CannotDoError(f"{found.id}: too few chapters for a list.")
    lines = ""
    if part != "description" and listed.chapters:
        lines = "\n\n" if part == "all" else ""
        if form == "text":
            lines += chapters_text(listed, heading=part == "all" and not plain)
        else:
            video = found.notes.video
            lines += chapters_markdown(listed, video, heading=part == "all" and not plain)
    text = ""
    if part != "chapters":
        text = film_description(
            found,
            measures,
            settings,
            page_addresses(found, library, base, addresses),
            direction=listed.directions[0] if listed.directions else "outbound",
            room=LENGTH - len(lines),
            today=now_in(settings).date().isoformat(),
            form=form,
        )
    if len(text + lines) > LENGTH:
        click.echo(f"More than the {LENGTH:,} characters that video sites take.", err=True)
    click.echo(text + lines)


@main.command()
@click.argument("route")
@LIBRARY
@click.option(
    "--direction",
    type=click.Choice(["outbound", "return"]),
    help="One way only. Default: the way out, and the way back where it was ridden.",
)
@FORMAT
@BASE
@ADDRESSES
def cues(  # noqa: PLR0917 - click passes its options by name
    route: str,
    library: Path,
    direction: Direction | None,
    form: Form,
    base: str,
    addresses: Style | None,
) -> None:
    """Print the cue sheet of ROUTE: figures, alerts, every turn and crossing, the caution.

    It is the text that stands beside the route's page as a file to take along. Plain text has
    lines of 76 characters at most.
    """
    settings = words_settings(library, settings_of(library))
    found, measures = measured_route(route, library, settings)
    link = page_addresses(found, library, base, addresses)
    sheet = cue_sheet(found, measures, settings, link, form, direction=direction)
    click.echo(sheet, nl=False)


def _chapters(route: Route, measures: Measures, settings: Settings, part: str) -> Chapters:
    """Return the chapters; a description alone needs none."""
    try:
        return chapters_of(route, measures, settings.units)
    except CannotDoError:
        if part != "description":
            raise
        return Chapters((), (), ())
