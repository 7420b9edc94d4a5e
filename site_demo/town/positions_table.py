"""Prints, for each ride, the chainage of every street, tagged point and crossing along it.

    python site_demo/town/positions_table.py [ROUTE]

For whoever writes the notes; chainages here are geodesic on WGS84, as softpedal measures them.
"""

from __future__ import annotations

import sys

import numpy as np
from grid import to_degrees
from pyproj import Geod
from ride_line import record, stretches, true_distances
from ride_plan import RIDES
from town import build_town


def main() -> None:
    """Print the table of one route, or of all."""
    town = build_town()
    for ride in RIDES:
        if len(sys.argv) > 1 and sys.argv[1] != ride.route:
            continue
        recording = record(town, ride)
        lat, lon = np.array(recording.lat_lon).T
        steps = Geod(ellps="WGS84").inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2]
        chainage = np.concatenate([[0.0], np.cumsum(steps)])
        print(f"\n{ride.route}/{ride.file}: {chainage[-1]:.0f} m")
        rows: list[tuple[float, str]] = []
        travelled = 0.0
        for piece in stretches(town, ride):
            street = town.streets[piece.street]
            kind = street.kind if piece.forward else street.against
            rows.append((travelled, f"== {street.name or street.key} ({piece.street}): {kind}"))
            for point in piece.line:
                node = town.nodes.get(point)
                others = [s.key for s in town.streets_at(point) if s.key != piece.street]
                tags = " ".join(f"{k}={v}" for k, v in node.tags.items()) if node else ""
                if others or tags:
                    lat_lon = "{:.5f}, {:.5f}".format(*to_degrees(point))
                    text = f"   {lat_lon}  {', '.join(others)}  {tags}"
                    passes = true_distances(recording.true_line, point)
                    at = min(passes, key=lambda m: abs(m - travelled), default=travelled)
                    rows.append((at, text))
            travelled += sum(
                float(np.hypot(b[0] - a[0], b[1] - a[1]))
                for a, b in zip(piece.line, piece.line[1:], strict=False)
            )
        for true_m, text in rows:
            at = np.interp(true_m, recording.true_m, chainage)
            print(f"{at:8.0f} m  {text}")


if __name__ == "__main__":
    main()
