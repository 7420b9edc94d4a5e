"""Where the remarks of the narrated demo ride land, and how right the phrase tables are.

Run as `python benchmarks/narration.py`. The ride's truth is known by construction; films of made
rides are edited at random, with one point typed in each take.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import yaml

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

# ruff: noqa: E402 - films, lists and the narrated ride stand with the tests
from draft.films import filmed, one_per_take
from narrated import CAPTIONS, CUT_CAPTIONS, RIDE, narrated_truth, sync_words
from softpedal.draft.film_points import parse_sync
from softpedal.draft.film_sync import sync
from softpedal.draft.narration import Talk, narrated
from softpedal.draft.phrase_table import load_phrases
from softpedal.draft.recording import Recordings, prepared
from softpedal.draft.remarks import suggestions
from softpedal.draft.sentences import Sentence
from softpedal.library.private_zones import Zone, Zones
from softpedal.library.track import WGS84
from softpedal.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Iterator

LISTS = ROOT / "tests" / "draft" / "remark_lists"
SECRET = b"the secret of Lindenferry, 32 by"
#: Films of made rides, seeds that nobody tuned on.
SEEDS = range(500, 560)


def landings() -> Iterator[str]:
    """Yield a row for each film of the narrated ride."""
    truth = narrated_truth()
    zones = Zones(tuple(Zone(z["name"], *z["at"], z["radius_m"]) for z in truth["private"]), SECRET)
    ride = prepared(Recordings((RIDE,)), zones, Settings()).ride
    for name, captions, edited in (("whole", CAPTIONS, False), ("edited", CUT_CAPTIONS, True)):
        key = "film_cut_s" if edited else "film_s"
        points = sync_words(truth, edited=edited)[: None if edited else 1]
        told = narrated(ride, Talk(captions, tuple(points)), Settings()).observed.remarks
        places = {round(r[key]): r["at"] for r in truth["remarks"] if r[key] is not None}
        off = []
        for remark in told:
            at = places.get(round(remark.suggestion.film_s))
            if at is not None:
                lat, lon = ride.track.at(remark.at_m)
                off.append(WGS84.inv(lon, lat, at[1], at[0])[2])
        row = np.array(off)
        yield f"| {name} | {len(points)} | {len(row)} | {np.median(row):.1f} | {row.max():.1f} |"


def films() -> Iterator[str]:
    """Yield a row for each way of editing a film."""
    for waits, mids, typed in (
        (0, 0, False),
        (2, 0, False),
        (2, 0, True),
        (0, 2, True),
        (0, 2, False),
    ):
        rows = []
        for seed in SEEDS:
            film = filmed(seed, waits, mids)
            points = parse_sync(one_per_take(film, seed), film.ride, Settings())
            found = sync(film.ride, points, film.cuts if typed else ())
            for second in range(2, len(film.shown) - 2, 4):
                place = found.place(float(second))
                if place is not None:
                    rows.append((abs(place[0] - film.truth(second)), place[1]))
        off, said = np.array(rows).T
        yield (
            f"| {waits} waits, {mids} in mid-ride, {'typed' if typed else 'not typed'} "
            f"| {np.median(off):.1f} | {np.quantile(off, 0.95):.1f} | {off.max():.0f} "
            f"| {(off <= said).mean():.1%} |"
        )


def tables() -> Iterator[str]:
    """Yield a row for each list of remarks."""
    for file in sorted(LISTS.glob("*.yml")):
        listed = yaml.safe_load(file.read_text("utf-8"))
        table = load_phrases(listed["language"])
        right = given = wanted = 0
        for remark in listed["remarks"]:
            sorts = {s.sort for s in suggestions([Sentence(0.0, 5.0, remark["say"])], table)}
            right += len(sorts & set(remark["sorts"]))
            given += len(sorts)
            wanted += len(remark["sorts"])
        count = len(listed["remarks"])
        yield f"| {file.stem} | {count} | {right / given:.3f} | {right / wanted:.3f} |"


def main() -> None:
    """Print the three tables."""
    print("| film | points | remarks | median m off | most |\n| --- | --- | --- | --- | --- |")
    print(*landings(), sep="\n")
    print(
        "\n| film | median m | 95 % | most | within what is said |\n| --- | --- | --- | --- | --- |"
    )
    print(*films(), sep="\n")
    print("\n| list | remarks | precision | recall |\n| --- | --- | --- | --- |")
    print(*tables(), sep="\n")


if __name__ == "__main__":
    main()
