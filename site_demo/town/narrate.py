"""Makes the narrated ride: a raw recording, captions of two cuts of its film, and the truth.

    python site_demo/town/narrate.py [--out FOLDER]

Every file is the same to the byte each time.
"""

from __future__ import annotations

import argparse
import json
import random
from pathlib import Path
from typing import Any

import narrated_plan as plan
from grid import points, to_degrees
from narrated_files import captions, clock, gpx, readme
from narrated_motion import Motion, move
from ride_line import stretches, true_distances
from shapely import LineString
from street import street
from town import build_town

_HERE = Path(__file__).resolve().parent
_WORDS_A_SECOND = 2.5


def narrate(out: Path) -> list[Path]:
    """Write all files into a folder and return their paths."""
    town = build_town()
    town.streets["square-west"] = street(
        "square-west", "Fish Market Square", "footway", "5,-140 -80,-140", mapped=False
    )
    pieces = stretches(town, plan.RIDE)
    ride = move(pieces, random.Random(4105))
    truth = _truth(ride)
    uncut = [(r["film_s"], r["sentence"]) for r in truth["remarks"]]
    cut = [(r["film_cut_s"], r["sentence"]) for r in truth["remarks"]]
    edited = [(at, say) for at, say in cut if at is not None]
    busy_seconds = {round(r["recording_s"]) + d for r in truth["remarks"] for d in (-1, 0, 1)}
    files = {
        "ride.gpx": gpx(ride, random.Random(733), busy_seconds),
        "ride.vtt": captions(uncut, ".", _WORDS_A_SECOND),
        "ride-cut.vtt": captions(edited, ".", _WORDS_A_SECOND),
        "ride-cut.srt": captions(edited, ",", _WORDS_A_SECOND),
        "truth.json": json.dumps(truth, ensure_ascii=False, indent=1) + "\n",
        "README.md": readme(truth),
    }
    out.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (out / name).write_bytes(text.encode())
    return [out / name for name in files]


def _truth(ride: Motion) -> dict[str, Any]:
    line = LineString(ride.line)
    stops = {stop.at: _along(ride, stop.at) for stop in plan.STOPS}
    cuts = [(0.0, float(plan.CUT_START_S))]
    for at, start, end in plan.CUT_WAITS:
        begins = round(ride.time_at(stops[at])) + plan.FILM_BEFORE_S
        cuts.append((begins + start, begins + end))
    remarks = []
    for spoken in (plan.BEFORE, *plan.REMARKS):
        along = _along(ride, spoken.at)
        second = round(ride.time_at(stops.get(spoken.at, along)) + spoken.wait, 1)
        along = round(ride.along_at(second), 1)
        spot = line.interpolate(along)
        film = round(second + plan.FILM_BEFORE_S, 1)
        remarks.append(
            {
                "film_s": film,
                "film_cut_s": edited_second(film, cuts),
                "recording_s": second,
                "sentence": spoken.say,
                "sorts": spoken.sorts.split(),
                "at": to_degrees((spot.x, spot.y)),
                "along_m": along,
            }
        )
    length = ride.along[-1]
    return {
        "note": "Known by construction. `along_m` is metres along `line`, door to door; "
        "`film_s` is the uncut film's second, `film_cut_s` the edited one's.",
        "line": [to_degrees(point) for point in ride.line],
        "line_streets": [
            {"street": key, "from_m": round(a, 1), "to_m": round(b, 1)} for key, a, b in ride.keys
        ],
        "length_m": round(length, 1),
        "route_from_m": round(_along(ride, plan.ROUTE_FROM), 1),
        "route_to_m": round(_along(ride, plan.ROUTE_TO), 1),
        "private": [
            {"name": "home", "at": to_degrees(ride.line[0]), "radius_m": 250},
            {"name": "sister", "at": to_degrees(ride.line[-1]), "radius_m": 250},
        ],
        "recording_starts": plan.RECORDED_FROM,
        "film_starts": clock(-plan.FILM_BEFORE_S),
        "film_length_s": round(ride.seconds + plan.FILM_BEFORE_S + 20, 1),
        "film_cuts": cuts,
        "stops": [_stop(ride, stop, line) for stop in plan.STOPS],
        "sync": [_sync(ride, at, cuts) for at in plan.SYNC_CORNERS],
        "remarks": remarks,
        "buttons": [
            {"name": name, "along_m": round(_along(ride, at), 1), "at": to_degrees(points(at)[0])}
            for name, at in plan.BUTTONS
        ],
    }


def edited_second(film_s: float, cuts: list[tuple[float, float]]) -> float | None:
    """Return the edited film's second, or None where it was cut out."""
    if any(start <= film_s < end for start, end in cuts):
        return None
    return round(film_s - sum(end - start for start, end in cuts if end <= film_s), 1)


def _along(ride: Motion, at: str) -> float:
    found = true_distances(ride.line, points(at)[0])
    if not found:
        raise ValueError(f"the ride does not pass {at}")
    return found[0]


def _stop(ride: Motion, stop: plan.Stop, line: LineString) -> dict[str, Any]:
    along = _along(ride, stop.at)
    spot = line.interpolate(along)
    return {
        "what": stop.what,
        "seconds": stop.seconds,
        "recorder_paused": stop.pause,
        "recording_s": round(ride.time_at(along), 1),
        "along_m": round(along, 1),
        "at": to_degrees((spot.x, spot.y)),
    }


def _sync(ride: Motion, at: str, cuts: list[tuple[float, float]]) -> dict[str, Any]:
    along = _along(ride, at)
    film = round(ride.time_at(along)) + plan.FILM_BEFORE_S
    return {
        "film_s": film,
        "film_cut_s": edited_second(film, cuts),
        "at": to_degrees(points(at)[0]),
        "along_m": round(along, 1),
        "clock": clock(film - plan.FILM_BEFORE_S),
    }


def main() -> None:
    """Read the command line, write the files and name them."""
    parser = argparse.ArgumentParser(description="Make the narrated ride of Lindenferry.")
    parser.add_argument("--out", type=Path, default=_HERE / "narrated")
    for path in narrate(parser.parse_args().out):
        print(f"{path.name}: {path.stat().st_size / 1000:.1f} kB")


if __name__ == "__main__":
    main()
