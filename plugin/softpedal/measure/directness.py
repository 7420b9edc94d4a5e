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


def direct_ratio(track: Track, direct: Direct | None) -> float | None:
    """Return length / the main-road way's length; None where that is not noted."""
    if direct is None or not track.is_whole:
        return None
    return track.length_m / (direct.km * 1000)


def directness_word(factor: float) -> str:
    """Return good, fair or poor (CROW)."""
    return "good" if factor <= GOOD else "fair" if factor <= FAIR else "poor"
