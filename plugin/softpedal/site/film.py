"""A second of the film: as a number, and as the address of the film from there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.library.film_time import film_seconds

if TYPE_CHECKING:
    from softpedal.library.note_facts import Video


@dataclass(frozen=True, slots=True)
class OnFilm:
    """Where something is on film: the time as noted, and the film's address from there or ""."""

    time: str
    address: str = ""


def on_film(video: Video | None, film: str) -> OnFilm:
    """Return where something is on film; without an address unless the notes ask for such links."""
    address = ""
    if video and video.jump and video.chapters:
        address = video.jump.replace("{seconds}", str(film_seconds(film)))
    return OnFilm(film, address)
