"""The command line: a thin door to the rooms behind it."""

from softpedal.cli import draft_commands, library_commands, map_commands
from softpedal.cli.group import main

__all__ = ["draft_commands", "library_commands", "main", "map_commands"]
