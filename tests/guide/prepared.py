"""A library in which the guide's commands can be run: routes of the demo's, and its town."""

from __future__ import annotations

import mailbox
import re
import shutil
from email.message import EmailMessage
from pathlib import Path

import osmium
from click.testing import CliRunner

from library.pictures import picture
from softpedal.cli import main

ROOT = Path(__file__).parents[2]
BUILT = ROOT / "site_demo" / "town" / "built"
NARRATED = ROOT / "site_demo" / "town" / "narrated"
#: The id that the guide gives the route of its examples.
ROUTE = "mill-lane-to-weir-mill"
#: Those of the demo that it names, and what they lead to: the fewer, the faster.
ROUTES = (
    "ferry-steps-to-chapel-green",
    "chapel-green-to-weir-mill",
    "old-harbour-to-alder-lock",
)
_SETTINGS = """\
extract: town.osm.pbf
country: GB
time_zone: Atlantic/Azores
background_attribution: invented
"""
_SITE = """\
site_name: Quiet ways
site_url: https://rides.example/
theme: {name: material, font: false}
plugins: [search, softpedal]
"""


def prepare(folder: Path) -> Path:
    """Write the library, and in it all that the guide's commands read; return its folder."""
    folder.mkdir()
    for name in ROUTES:
        shutil.copytree(ROOT / "routes" / name, folder / "routes" / name)
    (folder / "softpedal.yml").write_text(_SETTINGS, encoding="utf-8")
    (folder / "mkdocs.yml").write_text(_SITE, encoding="utf-8")
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text("# Quiet ways\n", encoding="utf-8")
    _as_pbf(BUILT / "lindenferry.osm", folder / "town.osm.pbf")
    for name in ("ride.gpx", "ride.vtt"):
        shutil.copy(NARRATED / name, folder / name)
    shutil.copy(ROOT / "routes" / "chapel-green-to-weir-mill" / "track.gpx", folder / "planned.gpx")
    (folder / "photo.jpg").write_bytes(picture(position=True))
    (folder / "hello.md").write_text("Hello.\n", encoding="utf-8")
    _halves(folder)
    _mail(folder / "reports.mbox")
    draft = ["draft", str(folder / "ride.gpx"), "--streets", str(folder / "town.osm.pbf")]
    done = CliRunner().invoke(main, [*draft, "--name", ROUTE, "--library", str(folder)])
    assert done.exit_code == 0, done.output
    (folder / "site").mkdir()
    (folder / "site" / "index.html").write_text("<script>1</script>", encoding="utf-8")
    return folder


def _halves(folder: Path) -> None:
    """Write the ride as two recordings, of which the second begins where the first ended."""
    text = (folder / "ride.gpx").read_text(encoding="utf-8")
    points = [match.span() for match in re.finditer(r"<trkpt.*?</trkpt>", text, re.DOTALL)]
    middle, end = points[len(points) // 2][1], points[-1][1]
    (folder / "one.gpx").write_text(text[:middle] + text[end:], encoding="utf-8")
    (folder / "two.gpx").write_text(text[: points[0][0]] + text[middle:], encoding="utf-8")


def _as_pbf(extract: Path, to: Path) -> None:
    with osmium.SimpleWriter(str(to)) as writer:
        for item in osmium.FileProcessor(str(extract)):
            writer.add(item)


def _mail(path: Path) -> None:
    message = EmailMessage()
    message["Date"] = "Tue, 02 Jun 2026 10:00:00 +0000"
    message["Subject"] = "Ferry Steps to Chapel Green, at 1.2 km"
    page = "https://rides.example/routes/ferry-steps-to-chapel-green/"
    message.set_content(f"The planters are gone.\n\n{page}\n")
    box = mailbox.mbox(path)
    box.add(message)
    box.close()
