"""Weigh the demo's embed pages with all that they load, in a real Chromium.

    python benchmarks/embed.py [--folder SITE]

Without a folder the demo is built. Each page stands in a frame of another origin, as the Share box
hands it out, and is served under `default-src 'self'`. Weights are those of gzip -9, of all that
the frame asks for until its map is open and it has come to rest.
"""

from __future__ import annotations

import argparse
import tempfile
import threading
import time
from contextlib import contextmanager
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from playwright.sync_api import sync_playwright
from route_page import Quiet, browser_program, build_demo, weight_of

from softpedal.site.embed_code import HEIGHT, SANDBOX, WIDTH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

MOST_BYTES = 110_000
OPEN = "document.querySelectorAll('.sp-map-open .leaflet-container').length === 1"


class _Strict(Quiet):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", "default-src 'self'")
        super().end_headers()


def main() -> None:
    """Print one table, the heaviest first, and what goes beyond the budget."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", type=Path)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = asked.folder or build_demo(Path(made, "site"))
        routes = [path.parents[1].name for path in folder.glob("routes/*/embed/index.html")]
        routes = [route for route in routes if (folder / "routes" / route / "oembed.json").exists()]
        with _served(folder, _Strict) as home, sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path=browser_program(), args=["--no-sandbox"]
            )
            rows = [_weigh(browser, folder, home, route) for route in routes]
            browser.close()
    print("| route | kB gzip | kB raw | files |\n| --- | --- | --- | --- |")
    for weight, size, files, route in sorted(rows, reverse=True):
        print(f"| {route} | {weight / 1000:.1f} | {size / 1000:.0f} | {files} |")
    if max(rows)[0] > MOST_BYTES:
        raise SystemExit(f"Beyond {MOST_BYTES} bytes.")


@contextmanager
def _served(folder: Path, handler: type[Quiet]) -> Iterator[str]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def _weigh(browser: Browser, folder: Path, home: str, route: str) -> tuple[int, int, int, str]:
    """Return bytes by gzip -9, bytes, how many files, and the route."""
    with tempfile.TemporaryDirectory() as other:
        Path(other, "index.html").write_text(
            "<!doctype html><title>A page of somebody else</title>"
            f'<iframe src="{home}routes/{route}/embed/" width="{WIDTH}" height="{HEIGHT}" '
            f'sandbox="{SANDBOX}"></iframe>'
        )
        asked: list[str] = []
        with _served(Path(other), Quiet) as host:
            context = browser.new_context()
            page = context.new_page()
            page.on("request", lambda request: asked.append(request.url))
            page.goto(host)
            end = time.monotonic() + 30
            while not page.frames[1].evaluate(OPEN):
                if time.monotonic() > end:
                    raise SystemExit(f"never open: {route}")
                time.sleep(0.05)
            page.wait_for_timeout(300)
            context.close()
    paths = [urlsplit(url).path.lstrip("/") for url in dict.fromkeys(asked) if home in url]
    files = [folder / (f"{path}index.html" if path.endswith("/") else path) for path in paths]
    sizes = [weight_of(file) for file in files]
    return sum(w for _, w in sizes), sum(s for s, _ in sizes), len(files), route


if __name__ == "__main__":
    main()
