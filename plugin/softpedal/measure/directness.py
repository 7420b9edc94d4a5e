"""How direct a route is, against the straight line and against the main-road way."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from softpedal.library.notes import Direct
    from softpedal.library.track import Track

#: Ends closer than this share of the length make a loop, which has no detour factor.
LOOP_SHARE = 0.10
#: Up to 1.2 good, up to 1.4 fair, above poor (CROW).
GOOD, FAIR = 1.2, 1.4


def detour_factor(track: Track) -> float | None:
    """Return length / geodesic between the ends; None for a loop or across an unknown gap."""
    apart = track.ends_apart_m
    if not track.is_whole or apart < LOOP_SHARE * track.length_m or apart <= 0:
        return None
    return track.length_m / apart


def direct_ratio(
    track: Track, direct: Direct | None, direct_line: Track | None = None
) -> float | None:
    """Return length / the main-road way's length; None where neither notes nor a line say it.

    What the notes say goes before the line.
    """
    metres = direct_m(direct, direct_line)
    return track.length_m / metres if metres and track.is_whole else None


def direct_m(direct: Direct | None, direct_line: Track | None) -> float | None:
    """Return the length of the main-road way in metres, as noted, else that of its line."""
    if direct is not None:
        return direct.km * 1000
    return direct_line.length_m if direct_line is not None else None


def directness_word(factor: float) -> str:
    """Return good, fair or poor (CROW)."""
    return "good" if factor <= GOOD else "fair" if factor <= FAIR else "poor"
