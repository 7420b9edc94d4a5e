"""Which streets motor traffic cannot drive through, how sure that is, and what makes it so.

A street is filtered when no motor traffic can drive through it between two different points of
the main road network. That is asked four times: gates open and private ways driven on; as tagged;
as tagged with every sign obeyed; and as tagged with nothing beyond the ends of the extract. The
first answer that settles it is the grade:

1. `main`, a main road open to motor traffic; `no motor traffic`, a way closed to it by its tags;
2. `sure`: nobody could drive through with all gates open, all private ways driven on, no sign
   obeyed, no one-way street obeyed and a main road at every end of the extract;
3. `gate`: as tagged nobody can, but with gates open or over private ways one could;
4. `one-ways`: only one-way streets keep motor traffic from driving through;
5. `sign only`: nobody can who obeys the signs that let only some in;
6. `edge`: one could only over an end of the extract, and what lies there is not known;
7. `through`: one can.

The test errs towards `through`. Only `sure` counts as quiet; the rest is to be checked on a ride.
Timed closures (`:conditional`) close nothing, and timed openings open like a gate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from softpedal.streets.access import MAIN_CLASSES
from softpedal.streets.evidence import (
    ONE_WAYS,
    Witness,
    drive_words,
    gate_words,
    names_of_main,
    sign_words,
    sure_words,
)
from softpedal.streets.motor_graph import Supposition, motor_graph, read_roads
from softpedal.streets.reachability import driven_through, joined
from softpedal.streets.short_cuts import seconds_saved, shortest_drives

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from numpy.typing import NDArray

    from softpedal.streets.motor_graph import Roads
    from softpedal.streets.network import Network

Grade = Literal[
    "main", "no motor traffic", "sure", "sign only", "gate", "one-ways", "edge", "through"
]
GRADES: tuple[Grade, ...] = (
    "main",
    "no motor traffic",
    "sure",
    "sign only",
    "gate",
    "one-ways",
    "edge",
    "through",
)

OPEN = Supposition(gates_open=True)
TAGGED = Supposition()
OBEYED = Supposition(signs_obeyed=True)
NOTHING_BEYOND = Supposition(cut_ends=False)


@dataclass(frozen=True, eq=False)
class Verdicts:
    """What is known about through traffic on E edges.

    Attributes:
        grade: index into GRADES, (E,).
        closed_by: by edge, for `sure`, `gate`, `one-ways` and `sign only`: a few words.
        evidence: by edge, for the same and for `edge` and `through`: a sentence, or for `through`
            a drive, "Mill Road → this street → High Street".
        rank_s: for `through` and `edge`, seconds that the drive saves against main roads; nan
            elsewhere, and where it ends beyond the extract. Unvalidated: for ordering only, (E,).
    """

    grade: NDArray[np.int8]
    closed_by: dict[int, str]
    evidence: dict[int, str]
    rank_s: NDArray[np.float64]

    def of(self, edge: int) -> Grade:
        """Return the grade of an edge."""
        return GRADES[int(self.grade[edge])]


def through_traffic(network: Network, main_classes: Collection[str] = MAIN_CLASSES) -> Verdicts:
    """Return which streets of a network motor traffic can drive through, and what it depends on.

    Args:
        network: the streets.
        main_classes: values of `highway`, without `_link`, that make up the main network.
    """
    roads = read_roads(network, main_classes)
    grade = grades(network, roads)
    closed_by, evidence = _closed(network, roads, grade)
    rank_s = np.full(network.n_edges, np.nan)
    graph = motor_graph(network, roads, TAGGED)
    used = np.isin(grade[graph.edge], [GRADES.index("edge"), GRADES.index("through")])
    graph = graph.only(used)
    drives = shortest_drives(graph, network.edge_m)
    rank_s[graph.edge] = seconds_saved(network, roads, drives)
    names = names_of_main(network, roads)
    for street, edge in enumerate(graph.edge.tolist()):
        words = drive_words(network, drives, street, names)
        if GRADES[grade[edge]] == "edge":
            words = f"One could drive through only over an end of the extract: {words}."
        evidence[edge] = words
    return Verdicts(grade, closed_by, evidence, rank_s)


def _closed(
    network: Network, roads: Roads, grade: NDArray[np.int8]
) -> tuple[dict[int, str], dict[int, str]]:
    """Return closed_by and evidence of the filtered streets."""
    witness = Witness(network, roads)
    closed_by: dict[int, str] = {}
    evidence: dict[int, str] = {}
    says: tuple[tuple[Grade, Supposition, Callable[..., tuple[str, str]]], ...] = (
        ("sure", OPEN, sure_words),
        ("gate", TAGGED, gate_words),
        ("sign only", OBEYED, sign_words),
    )
    for name, supposition, words in says:
        edges = np.flatnonzero(grade == GRADES.index(name))
        for edge, closures in witness.closures(supposition, edges).items():
            closed_by[edge], evidence[edge] = words(witness, closures, edge)
    for edge in np.flatnonzero(grade == GRADES.index("one-ways")).tolist():
        closed_by[edge] = ONE_WAYS
        evidence[edge] = "Only one-way streets keep motor traffic from driving through."
    return closed_by, evidence


@dataclass(frozen=True, eq=False)
class Passes:
    """Which edges a test lets pass, by edge, (E,).

    Attributes:
        either_way: one could drive through if no street were one-way.
        driven: one can drive through, one-way streets obeyed.
    """

    either_way: NDArray[np.bool_]
    driven: NDArray[np.bool_]


def passes(network: Network, roads: Roads, supposition: Supposition) -> Passes:
    """Return which minor streets one can drive through under a supposition."""
    graph = motor_graph(network, roads, supposition)
    graph = graph.only(joined(graph))
    either_way, driven = np.zeros((2, network.n_edges), dtype=bool)
    either_way[graph.edge] = True
    driven[graph.edge[driven_through(graph)]] = True
    return Passes(either_way, driven)


def grades(network: Network, roads: Roads) -> NDArray[np.int8]:
    """Return each edge's grade as an index into GRADES, (E,)."""
    opened, tagged, obeyed, nothing = (
        passes(network, roads, s) for s in (OPEN, TAGGED, OBEYED, NOTHING_BEYOND)
    )
    only_one_ways = tagged.either_way | ~opened.driven
    tests: list[tuple[Grade, NDArray[np.bool_]]] = [
        ("no motor traffic", ~(roads.open_forward | roads.open_backward)),
        ("main", roads.main),
        ("sure", ~opened.either_way),
        ("one-ways", ~tagged.driven & only_one_ways),
        ("gate", ~tagged.driven),
        ("sign only", ~obeyed.driven),
        ("edge", ~nothing.driven),
    ]
    found = [GRADES.index(grade) for grade, _ in tests]
    first = np.select([holds for _, holds in tests], found, GRADES.index("through"))
    return first.astype(np.int8)
