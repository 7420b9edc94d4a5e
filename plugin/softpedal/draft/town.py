"""A town as the draft knows it: its network, the verdicts on its streets, and how to read them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.streets.country import country_of
from softpedal.streets.kinds import Reader
from softpedal.streets.network_store import keep_network
from softpedal.streets.through_store import keep_verdicts

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.streets.country import Country
    from softpedal.streets.network import Network
    from softpedal.streets.through_traffic import Verdicts


@dataclass(frozen=True, slots=True)
class Town:
    """What an extract says, read once.

    Attributes:
        network: the streets.
        verdicts: which of them are filtered.
        reader: an edge and a direction → kind of street.
        country: defaults of the road.
        extract: name of the extract's file.
    """

    network: Network
    verdicts: Verdicts
    reader: Reader
    country: Country
    extract: str = ""


def open_town(extract: Path, cache: Path, country: str | None) -> Town:
    """Read an extract, or what is kept of it.

    Raises:
        ExtractError: the extract cannot be read.
        OSError: the cache cannot be written to.
    """
    network = keep_network(extract, cache)
    verdicts = keep_verdicts(network, cache)
    of = country_of(country)
    return Town(network, verdicts, Reader(network, verdicts, of), of, extract.name)
