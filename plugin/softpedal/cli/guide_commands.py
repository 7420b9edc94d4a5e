"""The command that prints the guide's reference pages: formats, problems, commands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from softpedal.cli.group import main
from softpedal.library.format_page import format_page
from softpedal.library.problems_page import problems_page

if TYPE_CHECKING:
    from collections.abc import Callable

_COMMANDS = """\
---
title: Commands
description: What each command of softpedal takes, as its own help says.
---

# Commands

This is what `softpedal COMMAND --help` prints.
"""
#: Characters in a line of help, so that a phone shows it with little to push aside.
_WIDTH = 72


@main.command()
@click.argument("page", type=click.Choice(["notes", "settings", "problems", "commands"]))
def guide(page: str) -> None:
    """Print a reference page of the guide for this version, as Markdown.

    The format of notes.yml; that of softpedal.yml, alerts.yml and reports.yml; all problems by
    code, with what to do; all commands.
    """
    pages: dict[str, Callable[[], str]] = {
        "notes": lambda: format_page("notes"),
        "settings": lambda: format_page("settings"),
        "problems": problems_page,
        "commands": commands_page,
    }
    click.echo(pages[page](), nl=False)


def commands_page() -> str:
    """Return the help of every command as Markdown."""
    parts = [_COMMANDS]
    for name, command in sorted(main.commands.items()):
        parts.append(f"## {name}\n\n{_help(command, f'softpedal {name}')}")
        if isinstance(command, click.Group):
            parts += [
                f"### {name} {inner}\n\n{_help(each, f'softpedal {name} {inner}')}"
                for inner, each in sorted(command.commands.items())
            ]
    return "\n".join(parts)


def _help(command: click.Command, name: str) -> str:
    settings = main.context_settings
    context = click.Context(
        command, info_name=name, terminal_width=_WIDTH, max_content_width=_WIDTH, **settings
    )
    return f"```text\n{command.get_help(context)}\n```\n"
