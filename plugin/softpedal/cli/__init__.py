"""The command line: a thin door to the rooms behind it."""

from softpedal.cli import (
    draft_commands,
    due_commands,
    film_commands,
    guide_commands,
    library_commands,
    map_commands,
    private_commands,
    report_commands,
    reride_commands,
    share_commands,
    start_commands,
)
from softpedal.cli.group import main

__all__ = [
    "draft_commands",
    "due_commands",
    "film_commands",
    "guide_commands",
    "library_commands",
    "main",
    "map_commands",
    "private_commands",
    "report_commands",
    "reride_commands",
    "share_commands",
    "start_commands",
]
