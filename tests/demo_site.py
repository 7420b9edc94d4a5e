"""Builds the demo of this checkout with MkDocs and Material, in this process."""

from __future__ import annotations

import subprocess
import sys
import warnings
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config

ROOT = Path(__file__).parents[1]


def build_demo(folder: Path, **changes) -> Path:
    """Build the demo into a folder; `changes` go over its configuration."""
    town = ROOT / "site_demo" / "town"
    if not (town / "built" / "background.geojson").exists():
        subprocess.run([sys.executable, town / "make_town.py"], check=True)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(folder), **changes)
        config.plugins.on_startup(command="build", dirty=False)
        build(config)
    return folder
