"""Makes the invented town: its map extract, the maps' background, the truth, and the tracks.

    python site_demo/town/make_town.py [--out FOLDER] [--routes FOLDER]

Every file is the same to the byte each time, whoever makes it and when. The notes of the routes
are written by hand and are not touched.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from extract import background_text, osm_text
from facts import facts
from pictures import PHOTOS, picture
from practice_plan import PRACTICE
from ride_line import gpx_text, record
from ride_plan import RIDES
from town import build_town

_HERE = Path(__file__).resolve().parent

_NAMES = {
    "return.gpx": " (the way back)",
    "variant-bakers-row.gpx": " (by Bakers' Row)",
}


def make_town(out: Path, routes: Path) -> list[Path]:
    """Write all files and return their paths.

    Args:
        out: folder for the extract, the background and the truth.
        routes: folder of the route folders, for the tracks and photos.
    """
    town = build_town()
    truth = json.dumps(facts(town, RIDES + PRACTICE), ensure_ascii=False, indent=1) + "\n"
    files = {
        out / "lindenferry.osm": osm_text(town).encode(),
        out / "background.geojson": background_text(town).encode(),
        out / "truth.json": truth.encode(),
    }
    for ride in RIDES:
        title = ride.route.replace("-", " ").capitalize() + _NAMES.get(ride.file, "")
        text = gpx_text(record(town, ride), ride, title)
        files[routes / ride.route / ride.file] = text.encode()
    for route, file, scene in PHOTOS:
        files[routes / route / "photos" / file] = picture(scene)
    for path, content in files.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return list(files)


def main() -> None:
    """Read the command line, make the town and say what was written."""
    parser = argparse.ArgumentParser(description="Make the invented town of Lindenferry.")
    parser.add_argument("--out", type=Path, default=_HERE / "built")
    parser.add_argument("--routes", type=Path, default=_HERE.parents[1] / "routes")
    options = parser.parse_args()
    written = make_town(options.out, options.routes)
    total = sum(path.stat().st_size for path in written)
    print(f"{len(written)} files, {total / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
