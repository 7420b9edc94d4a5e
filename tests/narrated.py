"""The demo's narrated ride: where its files are, and what is true of it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "site_demo" / "town" / "narrated"
SCRIPT = FOLDER.parent / "narrate.py"

RIDE = FOLDER / "ride.gpx"
CAPTIONS = FOLDER / "ride.vtt"
CUT_CAPTIONS = FOLDER / "ride-cut.vtt"
CUT_CAPTIONS_SRT = FOLDER / "ride-cut.srt"


def narrated_truth() -> dict[str, Any]:
    """Return truth.json.

    Its keys: line (latitude, longitude), line_streets, length_m, route_from_m and route_to_m,
    private (name, at, radius_m), recording_starts, film_starts, film_length_s, film_cuts, stops,
    sync (film_s, film_cut_s, at, along_m, clock), buttons, and remarks (film_s, film_cut_s or
    None, recording_s, sentence, sorts, at, along_m).
    """
    found: dict[str, Any] = json.loads((FOLDER / "truth.json").read_text("utf-8"))
    return found


def on_the_route(truth: dict[str, Any], *, edited: bool = False) -> list[dict[str, Any]]:
    """Return the remarks made on the route itself, with those of the edited film only if asked."""
    return [
        remark
        for remark in truth["remarks"]
        if truth["route_from_m"] <= remark["along_m"] <= truth["route_to_m"]
        and not (edited and remark["film_cut_s"] is None)
    ]


def sync_words(truth: dict[str, Any], *, edited: bool = False) -> list[str]:
    """Return what an author types behind --sync, `mm:ss=lat,lon`, for either film."""
    key = "film_cut_s" if edited else "film_s"
    found = []
    for point in truth["sync"]:
        minutes, seconds = divmod(round(point[key]), 60)
        found.append(f"{minutes}:{seconds:02d}={point['at'][0]},{point['at'][1]}")
    return found
