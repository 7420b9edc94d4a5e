"""The group of all commands, and how their faults end."""

from __future__ import annotations

import errno
import sys
from typing import Any

import click

from softpedal.problems import CannotDoError


class _Commands(click.Group):
    """Commands whose faults end in a message and an exit code, never in a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except CannotDoError as error:
            click.echo(f"{error} {error.hint}".strip(), err=True)
        except FileExistsError as error:
            where = error.filename or str(error)
            raise click.UsageError(f"{where} is there already: choose another.") from error
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            what = error.filename or "A file"
            click.echo(f"{what} cannot be read or written: {error.strerror}.", err=True)
        sys.exit(1)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="softpedal")
def main() -> None:
    """Measure, check and publish quiet cycling routes kept as folders of GPX and YAML."""
