"""The invented town and its rides, with something changed: extracts, recordings, libraries."""

from __future__ import annotations

import functools
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING, Any

import numpy as np
from click.testing import CliRunner

from softpedal.cli import main
from softpedal.library.gpx_writer import write_gpx
from town_truth import EXTRACT, ROOT, at_one_hertz, published, true_rides

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from click.testing import Result

    from softpedal.draft.ride import Ride

#: A ride over a filtered street, a back street, a zebra and a refuge.
WEIR = "chapel-green-to-weir-mill"
FERRY = "ferry-steps-to-chapel-green"


@functools.cache
def extract() -> Path:
    """Return the town's extract, made if it is not there."""
    if not EXTRACT.is_file():
        subprocess.run([sys.executable, ROOT / "site_demo" / "town" / "make_town.py"], check=True)
    return EXTRACT


def names_of_rides() -> list[str]:
    """Return the names of all rides of the town, as the truth has them."""
    extract()
    return sorted(true_rides())


class Town:
    """The extract as a tree to change; `write` writes it as another extract."""

    def __init__(self) -> None:
        self.tree = ET.parse(extract())
        root = self.tree.getroot()
        self.nodes = {int(n.attrib["id"]): n for n in root.iter("node")}
        self.ways = list(root.iter("way"))

    def ways_named(self, name: str) -> list[ET.Element]:
        found = [way for way in self.ways if tags_of(way).get("name") == name]
        assert found, f"there is no way {name}"
        return found

    def nodes_along(self, name: str, **tags: str) -> list[ET.Element]:
        """Return the nodes of the ways of a name that have all these tags, each once."""
        ids = {int(nd.attrib["ref"]): None for w in self.ways_named(name) for nd in w.iter("nd")}
        return [self.nodes[i] for i in ids if tags.items() <= tags_of(self.nodes[i]).items()]

    def open_barriers(self, name: str) -> Town:
        """Take all barriers off the nodes of a street."""
        barred = [n for n in self.nodes_along(name) if "barrier" in tags_of(n)]
        assert barred, f"nothing bars {name}"
        for node in barred:
            retag(node, {})
        return self

    def set_tags(self, name: str, having: str, **tags: str) -> Town:
        """Give the nodes of a street that have a certain tag other tags."""
        found = [n for n in self.nodes_along(name) if having in tags_of(n)]
        assert found, f"no node of {name} has {having}"
        for node in found:
            retag(node, tags)
        return self

    def bar_middle(self, name: str, **tags: str) -> Town:
        """Give the node in the middle of each way of a street tags, where it has none."""
        for way in self.ways_named(name):
            ids = [int(nd.attrib["ref"]) for nd in way.iter("nd")]
            node = self.nodes[ids[len(ids) // 2]]
            if not tags_of(node):
                retag(node, tags)
        return self

    def ban_turn(self, from_: str, to: str) -> Town:
        """Ban the turn from one street into another where they meet."""
        for a in self.ways_named(from_):
            for b in self.ways_named(to):
                shared = _refs(a) & _refs(b)
                if not shared:
                    continue
                relation = ET.SubElement(self.tree.getroot(), "relation", id="990001", version="1")
                for role, sort, ref in (
                    ("from", "way", a.attrib["id"]),
                    ("via", "node", str(min(shared))),
                    ("to", "way", b.attrib["id"]),
                ):
                    ET.SubElement(relation, "member", type=sort, ref=ref, role=role)
                ban = "no_left_turn"
                retag(relation, {"type": "restriction", "restriction": ban})
                return self
        raise AssertionError(f"{from_} and {to} do not meet")

    def cut_at(self, keep: Callable[[float, float], bool]) -> Town:
        """Leave out the nodes elsewhere, as an extract does that keeps the whole lists of nodes."""
        root = self.tree.getroot()
        for node in list(self.nodes.values()):
            if not keep(float(node.attrib["lat"]), float(node.attrib["lon"])):
                root.remove(node)
        return self

    def write(self, path: Path) -> Path:
        self.tree.write(path, encoding="utf-8", xml_declaration=True)
        return path


def _refs(way: ET.Element) -> set[int]:
    return {int(nd.attrib["ref"]) for nd in way.iter("nd")}


def tags_of(element: ET.Element) -> dict[str, str]:
    return {tag.attrib["k"]: tag.attrib["v"] for tag in element.iter("tag")}


def retag(element: ET.Element, tags: Mapping[str, str]) -> None:
    """Give a node or way other tags than it has."""
    for tag in list(element.iter("tag")):
        element.remove(tag)
    for key, value in tags.items():
        ET.SubElement(element, "tag", k=key, v=value)


def with_tags(element: ET.Element, **tags: str) -> None:
    """Give a node or way more tags."""
    retag(element, tags_of(element) | tags)


def line_of_ride(name: str) -> Ride:
    """Return the published line of a ride of the town."""
    return published(f"{name}/track.gpx", true_rides()[f"{name}/track.gpx"])


def gpx_of(ride: Ride, times: Any = None) -> str:
    """Return a ride as GPX, with a time at each point where `times` (seconds, (n,)) are given."""
    text = write_gpx(ride.lat, ride.lon, ride.height, ride.part, "A ride")
    if times is None:
        return text
    clock = iter(np.datetime64(int(t), "s") for t in times)
    whole = re.sub(r"(<trkpt [^>]*?)\s*/>", r"\1></trkpt>", text)
    return re.sub("</trkpt>", lambda _: f"<time>{next(clock)}Z</time></trkpt>", whole)


def recording(name: str, folder: Path, speed: float = 4.2) -> Path:
    """Write a ride of the town as a device would, a fix each second."""
    ride, _ = at_one_hertz(line_of_ride(name), true_rides()[f"{name}/track.gpx"], speed)
    path = folder / f"{name}.gpx"
    path.write_text(gpx_of(ride, ride.time_s), encoding="utf-8")
    return path


def library(folder: Path) -> Path:
    """Make an empty library whose settings name no extract."""
    folder.mkdir()
    (folder / "softpedal.yml").write_text("country: GB\ntime_zone: Atlantic/Azores\n")
    return folder


def demo_route(folder: Path, name: str) -> Path:
    """Copy one route of the demo into a library, and return its folder."""
    return shutil.copytree(ROOT / "routes" / name, folder / "routes" / name)


def run(*arguments: Any, answer: str | None = None) -> Result:
    """Run a command as a person would; whatever is raised is a failure of the test."""
    result = CliRunner().invoke(main, [str(a) for a in arguments], input=answer)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def files_in(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder, hidden ones too, but what is kept of the map."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".softpedal" not in path.parts
    }


def names_in(folder: Path) -> list[str]:
    """Return the names of all that lies directly in a folder but what is kept of the map."""
    return sorted(path.name for path in folder.iterdir() if path.name != ".softpedal")
