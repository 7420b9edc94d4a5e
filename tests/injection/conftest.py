"""The two libraries, built once."""

from __future__ import annotations

import pytest

from injection.built import KINDS, Built, build_both_ways


@pytest.fixture(scope="session")
def built(tmp_path_factory) -> dict[str, Built]:
    """Both libraries, through both doors."""
    return {
        kind: build_both_ways(tmp_path_factory.mktemp(kind), tame=kind == "tame") for kind in KINDS
    }


@pytest.fixture(scope="session")
def evil(built) -> Built:
    """The library of attacks."""
    return built["hostile"]
