"""What each edge of the network costs to go along, in metres of riding on a flat street."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from softpedal.streets.access import cycle_access

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from softpedal.streets.country import Country
    from softpedal.streets.network import Network, Tags

_NO = frozenset({"no", "private"})
_YES = frozenset({"yes", "designated", "permissive"})
#: One does not ride through these, whatever else they say.
_LIFTED_OVER = frozenset(
    ["stile", "kissing_gate", "turnstile", "full-height_turnstile", "horse_stile"]
)


@dataclass(frozen=True, eq=False)
class Costs:
    """Costs by edge and direction.

    Attributes:
        forward, backward: along and against the drawn line; inf where one cannot go, (E,).
        pushed_forward, pushed_backward: whether one goes on foot there, (E,).
        closed: nodes that one cannot pass.
    """

    forward: NDArray[np.float64]
    backward: NDArray[np.float64]
    pushed_forward: NDArray[np.bool_]
    pushed_backward: NDArray[np.bool_]
    closed: frozenset[int] = frozenset()

    @property
    def usable(self) -> NDArray[np.bool_]:
        """Whether one can go along an edge in either direction, (E,)."""
        return np.isfinite(self.forward) | np.isfinite(self.backward)


def ride_costs(network: Network, country: Country, push_factor: float | None = None) -> Costs:
    """Return the cost of each edge: its metres where one may ride by law, more where one pushes.

    Args:
        network: the streets.
        country: its defaults of access.
        push_factor: how many metres of riding one metre of pushing takes; None: no pushing.
    """
    factor = {"ride": 1.0, "push": np.inf if push_factor is None else push_factor, "no": np.inf}
    access = [cycle_access(tags, country) for tags in network.way_tags]
    way = network.edge_way
    return Costs(
        network.edge_m * np.array([factor[a.forward] for a in access])[way],
        network.edge_m * np.array([factor[a.backward] for a in access])[way],
        np.array([a.forward == "push" for a in access], dtype=bool)[way],
        np.array([a.backward == "push" for a in access], dtype=bool)[way],
        closed_nodes(network, on_foot=push_factor is not None),
    )


def push_factor(cruising_kmh: float, walking_m_s: float) -> float:
    """Return how many metres one rides in the time in which one pushes a single one."""
    return cruising_kmh / 3.6 / walking_m_s


def closed_nodes(network: Network, *, on_foot: bool) -> frozenset[int]:
    """Return the nodes whose barrier lets no cycle pass: not ridden, or not even pushed."""
    return frozenset(
        node
        for node, tags in network.node_tags.items()
        if "barrier" in tags and (_shut(tags) or (not on_foot and gets_off(tags)))
    )


def _shut(tags: Tags) -> bool:
    """Whether a barrier is shut even to people on foot, or locked without a word on who may."""
    if tags.get("bicycle") in _YES or tags.get("foot") in _YES:
        return False
    return tags.get("access") in _NO or tags.get("foot") in _NO or tags.get("locked") == "yes"


def gets_off(tags: Tags) -> bool:
    """Whether one gets off at a barrier: cycles may not ride through, or cannot."""
    own = tags.get("bicycle")
    return own in _NO | {"dismount"} or (own not in _YES and tags["barrier"] in _LIFTED_OVER)
