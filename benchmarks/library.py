"""Makes a library of N invented routes of 2,000 points for the benchmark."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import yaml

if TYPE_CHECKING:
    from pathlib import Path

POINTS = 2000
STEP_DEGREES = 0.00009  # about 10 m of latitude
KINDS = (
    "filtered street",
    "back street",
    "protected track",
    "traffic-free path",
    "on foot",
    "painted lane",
)


def make_library(folder: Path, count: int) -> None:
    """Write `count` route folders and no settings; the same each time."""
    for number in range(count):
        route = folder / "routes" / f"route-{number:04}"
        route.mkdir(parents=True)
        (route / "track.gpx").write_text(_gpx(number), encoding="utf-8")
        text = yaml.safe_dump(_notes(number), sort_keys=False, allow_unicode=True)
        (route / "notes.yml").write_text(text, encoding="utf-8")


def _gpx(number: int) -> str:
    lat, lon = 50.0 + number % 37 * 0.004, -20.0 + number // 37 * 0.004
    points = []
    for i in range(POINTS):
        turn = 0.9 * math.sin(i / 140 + number)
        lat += STEP_DEGREES * math.cos(turn)
        lon += STEP_DEGREES * math.sin(turn) * 1.55
        height = 20 + 12 * math.sin(i / 190 + number) + 0.8 * math.sin(i * 1.7)
        points.append(f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"><ele>{height:.1f}</ele></trkpt>')
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="bench" '
        'xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>\n'
        + "\n".join(points)
        + "\n</trkseg></trk></gpx>\n"
    )


def _notes(number: int) -> dict[str, object]:
    legs: list[dict[str, object]] = []
    for i in range(12):
        street = f"Sailmaker Row {number}-{i}"
        leg: dict[str, object] = {
            "from": "start" if i == 0 else f"{i * 1.5:.2f} km",
            "street": street,
            "kind": KINDS[(i + number) % len(KINDS)],
            "cue": {"outbound": f"Left onto {street}.", "return": f"Right onto {street}."},
            "speed_limit": "20 mph",
            "lanes": 2,
        }
        if leg["kind"] == "filtered street":
            leg["closed_by"] = "planters at Mill Lane"
        legs.append(leg)
    legs[2] = {k: v for k, v in legs[2].items() if k != "kind"} | {
        "closed_by": "lifting posts",
        "hours": {"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"},
    }
    controls = ("signals", "zebra", "none", "refuge")
    return {
        "title": f"Ferry Steps to Weir Mill {number}",
        "area": [f"Area {number % 20}"],
        "start": "Ferry Steps",
        "finish": f"Weir Mill {number}",
        "summary": "A level way from the ferry that keeps off Dock Road.",
        "status": "published",
        "ridden": [{"on": "2026-05-16", "direction": "both", "moving": 70, "standing": 6}],
        "direct": {"km": 18.5, "minutes": 60},
        "legs": legs,
        "crossings": [
            {
                "at": f"{3 + 4 * i} km",
                "road": f"Dock Road {i}",
                "control": control,
                "speed_limit": "30 mph",
                "lanes": 2,
                "vehicles_per_day": 3000 + 900 * i,
            }
            for i, control in enumerate(controls)
        ],
        "dismounts": [
            {"at": "5.2 km", "why": "no entry", "metres": 15, "direction": "return"},
            {"at": "9.1 km", "why": "steps", "must": "barrier"},
        ],
        "hazards": [
            {"at": "2.1 km", "to": "2.4 km", "what": "speed humps"},
            {"at": "8.8 km", "what": "hidden turn", "severity": "serious"},
        ],
        "landmarks": [
            {"at": "4.4 km", "what": "Grain silo", "side": "left"},
            {"at": "12.4 km", "what": "Iron bridge", "side": "ahead"},
        ],
    }
