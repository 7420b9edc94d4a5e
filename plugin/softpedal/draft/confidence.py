"""How sure it is that a ride went where it was matched: the forward-backward algorithm.

What counts is the way, not the edge or the direction. The probabilities depend on a model of the
noise that no ride keeps to, so they are never shown: only the grades are.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.draft.chain import Confidence
    from softpedal.draft.hidden_states import States

SURE, GUESS = 0.95, 0.7
#: The model is surer of itself than it is right: its costs count for so much only.
TRUST = 0.7


def chances(hidden: States, way: NDArray[np.intp], row: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return how likely each fix is to be on the way of its state in `row`, (n,).

    Args:
        hidden: the states.
        way: a number for the way of each directed place, −1 where there is none, (n, S).
        row: the states taken, (n,).
    """
    n = len(row)
    here = np.exp(TRUST * (hidden.cost.min(axis=1, keepdims=True) - hidden.cost))
    over = np.exp(-TRUST * hidden.move)
    ahead = np.empty_like(here)
    ahead[0] = here[0] / here[0].sum()
    for i in range(1, n):
        mass = (ahead[i - 1] @ over[i - 1]) * here[i]
        ahead[i] = mass / max(mass.sum(), 1e-300)
    both = ahead
    back = np.ones(here.shape[1])
    for i in range(n - 2, -1, -1):
        back = over[i] @ (here[i + 1] * back)
        back /= max(back.max(), 1e-300)
        both[i] = ahead[i] * back
    both /= np.maximum(both.sum(axis=1, keepdims=True), 1e-300)
    ways = np.concatenate([way, np.full((n, 1), -2)], axis=1)
    mine = ways == ways[np.arange(n), row][:, None]
    return np.asarray((both * mine).sum(axis=1))


def grade(chance: float) -> Confidence:
    """Return the grade of a chance."""
    return "sure" if chance >= SURE else "guess" if chance < GUESS else "check"
