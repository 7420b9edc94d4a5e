"""The quietness index, and the metres of each kind of street behind it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from softpedal.library.notes import KINDS
from softpedal.measure.legs import QUIET

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.notes import Kind
    from softpedal.measure.legs import Stretch

#: Routes shorter than this show metres and no percentage.
SHORT_ROUTE_M = 1000.0


def metres_by_kind(met: Sequence[Stretch]) -> dict[Kind, float]:
    """Return the metres on every kind; they add up to the chainage of the end."""
    return {
        kind: math.fsum(stretch.length_m for stretch in met if stretch.kind == kind)
        for kind in KINDS
    }


def quietness(metres: Mapping[Kind, float]) -> float:
    """Return the share of the whole distance, pushed stretches included, that is quiet: 0 to 1."""
    total = math.fsum(metres.values())
    if total <= 0:
        return 0.0
    return min(1.0, math.fsum(metres[kind] for kind in KINDS if kind in QUIET) / total)


def whole_percent(share: float) -> int:
    """Return a share as a percentage rounded down, so that a page never claims more.

    A billionth is added first, so that a share that is a whole percentage but for rounding of
    binary fractions is not shown as one less.
    """
    return math.floor(share * 100 + 1e-9)
