"""The ground under the sample route: streets with houses, a park, a railway, a river."""

from __future__ import annotations

import numpy as np


def sample_background() -> dict[str, object]:
    """Return a grid of streets with houses, a park with a pond, and a river."""
    scale = np.array([111_200 * np.cos(np.radians(50)), 111_200])

    def feature(layer: str, form: str, points: object, name: str = "") -> dict[str, object]:
        rings = points if form == "Polygon" else [points]
        placed = [
            (np.array(ring, dtype=float) / scale + (-20, 50)).round(7).tolist() for ring in rings
        ]
        return {
            "type": "Feature",
            "properties": {"layer": layer} | ({"name": name} if name else {}),
            "geometry": {"type": form, "coordinates": placed if form == "Polygon" else placed[0]},
        }

    features = [
        feature("main_road", "LineString", [(-900, 655), (900, 702), (3200, 780)], "Dock Road"),
        feature("rail", "LineString", [(-800, 1700), (3200, 1500)]),
        feature(
            "water",
            "Polygon",
            [[(-900, -300), (3200, -350), (3200, -80), (-900, -60)]],
            "River Lin",
        ),
        feature(
            "green",
            "Polygon",
            [
                [(1750, 1350), (2250, 1350), (2250, 1980), (1750, 1980)],
                [(1900, 1500), (2050, 1500), (2050, 1650), (1900, 1650)],
            ],
            "Chapel Green",
        ),
    ]
    for row in range(14):
        north = 120 * row + 90
        name = f"Alder {row + 1} Lane"
        features.append(feature("street", "LineString", [(-400, north), (1650, north + 20)], name))
        for column in range(40):
            east = -390 + 50 * column
            house = [(0, 0), (14, 0), (14, 10), (0, 10), (0, 0)]
            outline = [(east + x, north + 22 + y) for x, y in house]
            features.append(feature("building", "Polygon", [outline]))
    features += [
        feature("street", "LineString", [(-300 + 320 * i, 0), (-290 + 320 * i, 1700)])
        for i in range(7)
    ]
    features.append(feature("path", "LineString", [(1750, 1400), (2250, 1900)], "Lock path"))
    return {"type": "FeatureCollection", "features": features}
