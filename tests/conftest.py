"""What holds for all tests: none of them reads the private zones of who runs them."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from softpedal.library.private_zones import CONFIG_VARIABLE, NO_ZONES, read_zones

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(scope="session", autouse=True)
def _no_private_zones(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Point softpedal, and every program that a test starts, to an empty folder of settings."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(CONFIG_VARIABLE, str(tmp_path_factory.mktemp("no-zones")))
        assert read_zones() == NO_ZONES
        yield


@pytest.fixture
def own_folder(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> str:
    """A settings folder for one test alone, empty and not yet made."""
    folder = os.fspath(tmp_path_factory.mktemp("own") / "softpedal")
    monkeypatch.setenv(CONFIG_VARIABLE, folder)
    return folder
