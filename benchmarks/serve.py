"""How long after a save an author sees it under `mkdocs serve`, in a library of 200 routes.

Run as `python benchmarks/serve.py [ROUTES] [TIMES]`. It makes a library, builds it once, starts
`mkdocs serve` with live reload, saves a route's notes and a route's track several times, and asks
for the page over HTTP until the change is there. Printed are medians, how much of them MkDocs and
the library took, and the ratio to the full build of the same run.
"""

from __future__ import annotations

import http.client
import re
import socket
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from build import MKDOCS

from library import make_library

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROUTES, TIMES = 200, 7
ROUTE = "route-0007"
#: So long a save may take until the benchmark gives up, in seconds.
PATIENCE = 120.0
#: Asked for anew after so many seconds.
AGAIN = 0.02


@dataclass
class Server:
    """A running `mkdocs serve`.

    Attributes:
        port: on which it answers.
        log: the file into which it writes.
    """

    port: int
    log: Path

    def get(self, path: str) -> bytes:
        """Return what stands under a path; b"" if there is nothing, or no answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            connection.request("GET", path)
            answer = connection.getresponse()
            content = answer.read()
        except ConnectionRefusedError:
            return b""
        finally:
            connection.close()
        return content if answer.status == http.client.OK else b""

    def wait(self, path: str, holds: Callable[[bytes], bool]) -> float:
        """Return after how many seconds what stands under a path is as it should be."""
        start = time.perf_counter()
        while not holds(self.get(path)):
            if time.perf_counter() - start > PATIENCE:
                raise TimeoutError(self.log.read_text(encoding="utf-8")[-2000:])
            time.sleep(AGAIN)
        return time.perf_counter() - start

    def told(self, words: str) -> float:
        """Return the seconds that the log told last after some words."""
        return float(re.findall(rf"{words} (\d+\.\d+) s", self.log.read_text("utf-8"))[-1])


def main(routes: int, times: int) -> None:
    """Print one table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        make_library(folder, routes)
        (folder / "docs").mkdir()
        (folder / "docs" / "index.md").write_text("# Home\n", encoding="utf-8")
        (folder / "mkdocs.yml").write_text(MKDOCS % "search, softpedal", encoding="utf-8")
        start = time.perf_counter()
        subprocess.run([*mkdocs("build"), "-q"], cwd=folder, check=True)
        full = time.perf_counter() - start
        print(f"{routes} routes; a full build takes {full:.1f} s\n")
        print("| saved | visible s | of a build | worst s | rebuild s | of that the library s |")
        print("| --- | --- | --- | --- | --- | --- |")
        with serving(folder) as server:
            route = folder / "routes" / ROUTE
            for what, save in (("notes", save_notes), ("track", save_track)):
                rows = [save(server, route, number) for number in range(times)]
                seen = [row[0] for row in rows]
                built, library = (median(row[i] for row in rows) for i in (1, 2))
                print(
                    f"| {what} | {median(seen):.2f} | {median(seen) / full:.3f} | {max(seen):.2f} "
                    f"| {built:.2f} | {library:.1f} |",
                    flush=True,
                )


def mkdocs(command: str) -> list[str]:
    """Return what starts MkDocs."""
    return [sys.executable, "-m", "mkdocs", command]


@contextmanager
def serving(folder: Path) -> Iterator[Server]:
    """Serve a library until it has been built once, and to the end of the block."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port = asked.getsockname()[1]
    log = folder / "serve.log"
    with log.open("w") as out:
        process = subprocess.Popen(
            [*mkdocs("serve"), "-a", f"127.0.0.1:{port}"], cwd=folder, stdout=out, stderr=out
        )
        try:
            server = Server(port, log)
            server.wait(f"/routes/{ROUTE}/", bool)
            yield server
        finally:
            process.terminate()
            process.wait()


def save_notes(server: Server, route: Path, number: int) -> tuple[float, float, float]:
    """Write a street's name into the notes; it stands in the table, and is searched."""
    path = route / "notes.yml"
    street = f"Chandler Street {number}"
    text = re.sub(r"street: .*", f"street: {street}", path.read_text("utf-8"), count=1)
    path.write_text(text, encoding="utf-8")
    seconds = server.wait(f"/routes/{ROUTE}/", lambda page: street.encode() in page)
    return seconds, *_of_rebuild(server)


def save_track(server: Server, route: Path, number: int) -> tuple[float, float, float]:
    """Move a point of the track by some metres; the map's line goes through it."""
    path = route / "track.gpx"
    before = server.get(f"/routes/{ROUTE}/map.js")
    points = re.findall(r'<trkpt lat="[^"]+"', path.read_text("utf-8"))
    lat = float(points[1000].split('"')[1]) + (0.0002 if number % 2 else -0.0002)
    moved = path.read_text("utf-8").replace(points[1000], f'<trkpt lat="{lat:.6f}"', 1)
    path.write_text(moved, encoding="utf-8")
    seconds = server.wait(f"/routes/{ROUTE}/map.js", lambda data: data not in (before, b""))
    return seconds, *_of_rebuild(server)


def _of_rebuild(server: Server) -> tuple[float, float]:
    library = server.told(rf"1 route recomputed: {ROUTE},")
    return server.told("Documentation built in"), library


if __name__ == "__main__":
    asked_for = [int(argument) for argument in sys.argv[1:]]
    main(*(asked_for + [ROUTES, TIMES][len(asked_for) :]))
