"""The page of all routes in Chromium: how long until it is ready, with 50 and with 500 routes.

Run as `python benchmarks/library_page.py [FEW MANY]`. Ready is when the list is filtered and the
map drawn, from the start of the navigation. Both sizes are opened in turn in one browser, so that
the ratio holds on any machine; the first opening of each is not counted.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from build import MKDOCS
from playwright.sync_api import Browser, sync_playwright

from library import make_library

ROUNDS = 7
QUERY = "?quiet=50&difficulty=moderate"
MOST_RATIO = 1.5
MOST_BYTES = 450_000


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


def main(sizes: list[int]) -> None:
    """Print one table, and what goes beyond the budget."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        root = Path(folder)
        for size in sizes:
            _build(root / str(size), size)
        handler = partial(_Quiet, directory=folder)
        server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        program = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        address = f"http://127.0.0.1:{server.server_port}/{{}}/site/routes/{QUERY}"
        times: dict[int, list[float]] = {size: [] for size in sizes}
        for turn in range(ROUNDS + 1):
            for size in sizes:
                taken = _ready_ms(browser, address.format(size))
                times[size] += [taken] if turn else []
        browser.close()
        server.shutdown()
        print("| routes | ready ms | library.js kB | page kB |\n| --- | --- | --- | --- |")
        for size in sizes:
            pages = root / str(size) / "site" / "routes"
            data, page = (pages / n for n in ("library.js", "index.html"))
            kilobytes = f"{data.stat().st_size / 1000:.0f} | {page.stat().st_size / 1000:.0f}"
            print(f"| {size} | {statistics.median(times[size]):.0f} | {kilobytes} |")
        ratio = statistics.median(times[sizes[-1]]) / statistics.median(times[sizes[0]])
        print(f"\nReady with {sizes[-1]} routes: {ratio:.2f} times {sizes[0]}.")
        payload = (root / str(sizes[-1]) / "site" / "routes" / "library.js").stat().st_size
        if ratio > MOST_RATIO or payload > MOST_BYTES:
            raise SystemExit(f"Beyond {MOST_RATIO} times or {MOST_BYTES} bytes.")


def _build(folder: Path, size: int) -> None:
    make_library(folder, size)
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text("# Home\n")
    (folder / "mkdocs.yml").write_text(MKDOCS % "search, softpedal")
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "-f", str(folder / "mkdocs.yml")]
    subprocess.run(command, check=True, env=os.environ | {"NO_MKDOCS_2_WARNING": "1"})


def _ready_ms(browser: Browser, address: str) -> float:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.add_init_script(
        "new MutationObserver((_, self) => {"
        "  if (!document.querySelector('[data-sp-ready]')) return;"
        "  self.disconnect();"
        "  requestAnimationFrame(() => setTimeout(() => { window.readyAt = performance.now(); }));"
        "}).observe(document, {subtree: true, attributes: true,"
        " attributeFilter: ['data-sp-ready']});"
    )
    page.goto(address)
    end = time.monotonic() + 30
    while not (taken := page.evaluate("window.readyAt")):
        if time.monotonic() > end:
            raise SystemExit(f"never ready: {address}")
        time.sleep(0.02)
    context.close()
    return float(taken)


if __name__ == "__main__":
    main([int(n) for n in sys.argv[1:]] or [50, 500])
