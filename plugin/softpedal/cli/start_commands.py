"""The command that begins a library: start."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from softpedal.cli.group import main
from softpedal.library.plain_text import counted
from softpedal.start.new_library import Extract, extras_for, library_files, start_library
from softpedal.start.requirement import checked_requirement, installed_requirement

if TYPE_CHECKING:
    from collections.abc import Mapping

_TITLE = "Quiet ways through our town"


@main.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--title", default=_TITLE, show_default=True, help="Name of the site.")
@click.option(
    "--extract",
    type=click.Choice(get_args(Extract)),
    default="download",
    show_default=True,
    help="How the map reaches the workflows: fetched from an address, in Git LFS, or no map.",
)
@click.option(
    "--softpedal",
    "requirement",
    metavar="REQUIREMENT",
    help="What the workflows install. Default: what this softpedal was installed from.",
)
def start(folder: Path, title: str, extract: Extract, requirement: str | None) -> None:
    """Write a new library into FOLDER, which is new or empty: ready to look at and to push.

    One example route to replace, settings, editor settings, and workflows for two code hosts that
    check, build and publish it.
    """
    if requirement is None:
        line = installed_requirement(extras_for(extract))
    else:
        line = checked_requirement(requirement)
    files = library_files(title, extract, line)
    start_library(folder, files)
    _tell(folder, files, line)


def _tell(folder: Path, files: Mapping[str, str], requirement: str) -> None:
    click.echo(f"A new library is in {folder}: {counted(len(files), 'file')}.")
    click.echo("Look at it, and read README.md in it, which also says how to publish:")
    click.echo(f"  cd {folder}\n  mkdocs serve")
    click.echo("Before the first ride is drafted, keep your home out of it:")
    click.echo("  softpedal private add home --start-of ride.gpx")
    if not requirement:
        click.echo(
            "This softpedal was installed from a folder of your own computer, which a code host "
            "cannot reach. Before you push, write into requirements.txt where it can be had: the "
            "comment there shows how.",
            err=True,
        )
