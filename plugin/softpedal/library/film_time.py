"""A second of a film as the notes and video sites write it, and back."""

from __future__ import annotations


def film_seconds(film: str) -> int:
    """Return the second that a checked `film` text means: 250 for 4:10, 3723 for 1:02:03."""
    seconds = 0
    for part in film.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds


def film_text(second: float) -> str:
    """Return a second of the film as it is written: 4:10, or 1:02:03 from an hour on."""
    minutes, seconds = divmod(int(max(second, 0.0)), 60)
    hours, rest = divmod(minutes, 60)
    return f"{hours}:{rest:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
