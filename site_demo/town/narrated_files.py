"""The narrated ride as files: the raw recording, captions, and the words that explain them."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import narrated_plan as plan
from grid import points, to_degrees
from ride_line import ground_height, true_distances
from shapely import LineString

if TYPE_CHECKING:
    import random

    from narrated_motion import Motion

#: The receiver's error on each axis: what wanders, what does not, metres; its memory, seconds.
_WANDERS_M, _WHITE_M, _MEMORY_S = 2.1, 0.6, 30.0
_SPIKES = 4
#: The paused recorder runs on for so many seconds, and is back so many before the ride goes on.
_RUNS_ON_S, _BACK_S = 6, 4
#: Words from which on a sentence is shown in two captions.
_LONG = 13
_HEAD = (
    '<gpx version="1.1" creator="pocket recorder" xmlns="http://www.topografix.com/GPX/1/1" '
    'xmlns:r="https://recorder.invalid/1">'
)


def clock(recording_s: float) -> str:
    """Return the time of day at a second of the recording."""
    start = datetime.fromisoformat(plan.RECORDED_FROM)
    return (start + timedelta(seconds=round(recording_s))).strftime("%Y-%m-%dT%H:%M:%SZ")


def gpx(ride: Motion, chance: random.Random, calm: set[int]) -> str:
    """Return the raw recording; no spike falls on a calm second."""
    line = LineString(ride.line)
    count = int(ride.seconds) + 1
    free = [s for s in range(60, count - 60) if s not in calm]
    spikes = set(chance.sample(free, _SPIKES))
    gaps = [
        range(round(begins) + _RUNS_ON_S, round(begins) + stop.seconds - _BACK_S)
        for stop in plan.STOPS
        if stop.pause
        for begins in [ride.time_at(true_distances(ride.line, points(stop.at)[0])[0])]
    ]
    keep = math.exp(-1 / _MEMORY_S)
    fresh = _WANDERS_M * math.sqrt(1 - keep * keep)
    east, north, lift = (chance.gauss(0.0, _WANDERS_M) for _ in range(3))
    fixes, rows = [], ["    <trkseg>"]
    heart = 92.0
    for second in range(count):
        east = keep * east + chance.gauss(0.0, fresh)
        north = keep * north + chance.gauss(0.0, fresh)
        lift = keep * lift + chance.gauss(0.0, fresh)
        spot = line.interpolate(ride.along_at(second))
        x = spot.x + east + chance.gauss(0.0, _WHITE_M)
        y = spot.y + north + chance.gauss(0.0, _WHITE_M)
        moving = ride.along_at(second + 1) > ride.along_at(second)
        heart += 0.03 * ((138 if moving else 98) - heart) + chance.gauss(0.0, 0.6)
        if second in spikes:
            turn, far = chance.uniform(0, math.tau), chance.uniform(70, 140)
            x, y = x + far * math.cos(turn), y + far * math.sin(turn)
        if any(second in gap for gap in gaps):
            if any(second == gap.start for gap in gaps):
                rows += ["    </trkseg>", "    <trkseg>"]
            continue
        lat, lon = to_degrees((x, y))
        fixes.append((lat, lon))
        hdop = 4.8 if second in spikes else 1.1
        rows.append(
            f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}">'
            f"<ele>{ground_height((spot.x, spot.y)) + lift:.1f}</ele><time>{clock(second)}</time>"
            f"<hdop>{hdop}</hdop><extensions><r:heart>{heart:.0f}</r:heart></extensions></trkpt>"
        )
    lats, lons = zip(*fixes, strict=True)
    bounds = (
        f'<bounds minlat="{min(lats):.6f}" minlon="{min(lons):.6f}" '
        f'maxlat="{max(lats):.6f}" maxlon="{max(lons):.6f}"/>'
    )
    about = f"<name>Morning ride</name><time>{plan.RECORDED_FROM}</time>{bounds}"
    head = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        _HEAD,
        f"  <metadata>{about}</metadata>",
    ]
    for name, at in plan.BUTTONS:
        along = true_distances(ride.line, points(at)[0])[0]
        lat, lon = to_degrees(points(at)[0])
        head.append(
            f'  <wpt lat="{lat:.6f}" lon="{lon:.6f}"><time>{clock(ride.time_at(along))}</time>'
            f"<name>{name}</name></wpt>"
        )
    tail = ["    </trkseg>", "  </trk>", "</gpx>"]
    return "".join(f"{row}\n" for row in [*head, "  <trk>", *rows, *tail])


def captions(said: list[tuple[float, str]], point: str, words_a_second: float) -> str:
    """Return captions, WebVTT where the decimal point is a point, SRT where it is a comma.

    Raises:
        ValueError: a sentence begins before the last one is over.
    """
    cues: list[tuple[float, float, str]] = []
    for begins, say in said:
        if cues and cues[-1][1] > begins:
            raise ValueError(f"no time to say `{cues[-1][2]}` before `{say}`")
        words = say.split()
        half = len(words) // 2 if len(words) >= _LONG else len(words)
        at = begins
        for part in (words[:half], words[half:]):
            if part:
                cues.append((at, at + len(part) / words_a_second, " ".join(part)))
                at = cues[-1][1]
    blocks = [] if point == "," else ["WEBVTT\n"]
    for number, (begins, ends, text) in enumerate(cues, start=1):
        times = f"{_film_time(begins, point)} --> {_film_time(ends, point)}"
        blocks.append(f"{number}\n{times}\n{text}\n" if point == "," else f"{times}\n{text}\n")
    return "\n".join(blocks)


def readme(truth: dict[str, Any]) -> str:
    """Return what the files are and how to draft from them."""
    zones = "\n".join(
        f"softpedal private add {z['name']} {z['at'][0]},{z['at'][1]} --radius {z['radius_m']}"
        for z in truth["private"]
    )
    first = truth["sync"][0]
    uncut = _sync(first["film_s"], first["at"])
    edited = " \\\n    ".join(_sync(s["film_cut_s"], s["at"]) for s in truth["sync"])
    return f"""# A narrated ride, as it comes home

One ride through the invented town of Lindenferry, made by `site_demo/town/narrate.py` and the same
to the byte each time. A real raw recording never enters a library: it shows the front door, the
times and the heart rate. This one is invented, and this folder is no route folder.

| file | what it is |
| --- | --- |
| `ride.gpx` | the raw recording: from door to door, with stops, spikes and three pressed buttons |
| `ride.vtt` | what was said, for the whole film |
| `ride-cut.vtt`, `ride-cut.srt` | the same for the edited film: start and two waits cut out |
| `drafted/` | the folder that comes out of the whole film, as the first command below writes it |
| `truth.json` | where and when everything truly was |

The ride starts at the rider's own door and ends at a sister's. Keep both private first:

```sh
export SOFTPEDAL_CONFIG=$(mktemp -d)    # so that these zones do not get among your own
{zones}
```

The whole film began at {truth["film_starts"]}, {plan.FILM_BEFORE_S} seconds before the recording.
One known place is enough for it, the edited film needs one for each of its pieces:

```sh
softpedal draft site_demo/town/narrated/ride.gpx \\
    --captions site_demo/town/narrated/ride.vtt \\
    {uncut} --name whole
softpedal draft site_demo/town/narrated/ride.gpx \\
    --captions site_demo/town/narrated/ride-cut.vtt \\
    {edited} \\
    --name edited
```

The circles that are cut hang on a secret of your own, so that your line begins and ends a little
elsewhere than that in `drafted/`.
"""


def _sync(second: float, at: tuple[float, float]) -> str:
    minutes, seconds = divmod(round(second), 60)
    return f'--sync "{minutes}:{seconds:02d}={at[0]},{at[1]}"'


def _film_time(seconds: float, point: str) -> str:
    whole, ms = divmod(round(seconds * 1000), 1000)
    minutes, second = divmod(whole, 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{second:02d}{point}{ms:03d}"
