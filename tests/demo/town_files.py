"""Builds the invented town in a folder, and reads what the build wrote."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

REPOSITORY = Path(__file__).resolve().parents[2]
SCRIPT = REPOSITORY / "site_demo" / "town" / "make_town.py"
ROUTES = REPOSITORY / "routes"


@dataclass(frozen=True)
class Built:
    """One run of the script: where it wrote what."""

    out: Path
    routes: Path

    def files(self) -> dict[str, bytes]:
        found = {}
        for folder in (self.out, self.routes):
            for path in folder.rglob("*"):
                if path.is_file():
                    found[f"{folder.name}/{path.relative_to(folder)}"] = path.read_bytes()
        return found

    def truth(self) -> dict[str, Any]:
        return json.loads((self.out / "truth.json").read_text("utf-8"))

    def background(self) -> dict[str, Any]:
        return json.loads((self.out / "background.geojson").read_text("utf-8"))

    def osm(self) -> ET.Element:
        return ET.parse(self.out / "lindenferry.osm").getroot()


def build(folder: Path) -> Built:
    """Run the script as an author would."""
    built = Built(folder / "out", folder / "routes")
    command = [sys.executable, str(SCRIPT), "--out", str(built.out), "--routes", str(built.routes)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    return built


def tags_of(element: ET.Element) -> dict[str, str]:
    return {tag.get("k", ""): tag.get("v", "") for tag in element.iterfind("tag")}


def all_notes() -> dict[str, dict[str, Any]]:
    """Return the notes of every route folder, every value as the text that stands there."""
    return {
        path.parent.name: yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)
        for path in sorted(ROUTES.glob("*/notes.yml"))
    }
