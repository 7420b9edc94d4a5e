"""Weigh a route's page and time its map on a slowed processor, in a real Chromium.

    python benchmarks/route_page.py [--folder SITE] [--route ID] [--runs N] [--slower TIMES]

Without a folder the demo is built. Weights are those of gzip -9, of what the browser asks for while
the page opens; the map is ready when its legs and markers are drawn.
"""

from __future__ import annotations

import argparse
import gzip
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parents[1]
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 3,
    "has_touch": True,
    "is_mobile": True,
}
#: Notes the moment at which a map is open, counted from the start of the navigation.
WATCH = """document.addEventListener('sp-map-open', () => requestAnimationFrame(() =>
    requestAnimationFrame(() => { window.mapReady = performance.now(); })));"""


class Quiet(SimpleHTTPRequestHandler):
    """Serves files without a word."""

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


def main() -> None:
    """Print the weights and the times."""
    asked = _arguments()
    with tempfile.TemporaryDirectory() as made:
        folder = asked.folder or build_demo(Path(made))
        handler = partial(Quiet, directory=str(folder))
        server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        home = f"http://127.0.0.1:{server.server_port}/"
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path=browser_program(), args=["--no-sandbox"]
            )
            url = f"{home}routes/{asked.route}/"
            runs = [_visit(browser, url, asked.slower) for _ in range(asked.runs)]
            work = [_visit(browser, url, 1)[2] for _ in range(asked.runs)]
            browser.close()
        server.shutdown()
        _print_weights(folder, home, runs[0][1], asked.route)
        times = [ms for ms, *_ in runs]
        print(
            "main thread until the map is ready: median "
            f"{statistics.median(work):.0f} ms of its own work, not slowed"
        )
        print(
            f"map ready, processor {asked.slower} times slower: median "
            f"{statistics.median(times):.0f} ms of {len(times)} "
            f"({min(times):.0f} to {max(times):.0f})"
        )


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--route", default="ferry-steps-to-chapel-green")
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--slower", type=int, default=4)
    return parser.parse_args()


def build_demo(folder: Path) -> Path:
    """Build the demo into a folder and return it."""
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--site-dir", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True)
    return folder


def browser_program() -> str | None:
    """Return the Chromium to use."""
    return os.environ.get("CHROMIUM") or shutil.which("chromium")


def weight_of(file: Path) -> tuple[int, int]:
    """Return a file's bytes as it is, and as it is sent: by gzip -9 if it is text."""
    content = file.read_bytes()
    packed = file.suffix in {".html", ".js", ".css", ".svg", ".json"}
    return len(content), len(gzip.compress(content, 9)) if packed else len(content)


def _visit(browser: Browser, url: str, slower: int) -> tuple[float, list[str], float]:
    """Return when the map was ready, ms, what was asked for, and the main thread's work, ms."""
    context = browser.new_context(**PHONE)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.add_init_script(WATCH)
    tools = context.new_cdp_session(page)
    tools.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    tools.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(url)
    page.wait_for_function("window.mapReady")
    metrics = tools.send("Performance.getMetrics")["metrics"]
    work = next(m["value"] for m in metrics if m["name"] == "TaskDuration") * 1000
    page.wait_for_timeout(300)
    ready = float(page.evaluate("window.mapReady"))
    context.close()
    return ready, asked, work


def _print_weights(folder: Path, home: str, asked: list[str], route: str) -> None:
    ours: list[tuple[str, int, int]] = []
    theme: list[tuple[str, int, int]] = []
    for url in dict.fromkeys(asked):
        path = urlsplit(url.removeprefix(home)).path
        file = folder / path / "index.html" if path.endswith("/") else folder / path
        if not file.is_file():
            continue
        size, weight = weight_of(file)
        is_ours = path.startswith((f"routes/{route}", "assets/softpedal/"))
        (ours if is_ours else theme).append((path, size, weight))
    later = folder / "routes" / route / "states.js"
    for words, found in (("route page", ours), ("theme", theme)):
        print(f"{words}: {sum(w for *_, w in found) / 1000:.1f} kB gzip, {len(found)} files")
        for path, size, weight in sorted(found, key=lambda each: -each[2]):
            print(f"  {weight / 1000:6.1f} kB  {size / 1000:7.1f} kB raw  {path}")
    if later.is_file():
        weight = len(gzip.compress(later.read_bytes(), 9))
        print(f"fetched at the first switch to other hours: {weight / 1000:.1f} kB gzip, states.js")


if __name__ == "__main__":
    main()
