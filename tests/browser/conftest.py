"""A real Chromium, a server with a strict policy, and pages whose faults are written down."""

from __future__ import annotations

import os
import shutil
import sys
import threading
import time
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from browser.library_site import library_home, library_on_disk, open_library  # noqa: F401
from browser.sample_page import write_site
from demo_site import build_demo
from softpedal.site.policy import policy as site_policy

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

POLICY = "default-src 'self'"
DESKTOP = {"viewport": {"width": 1280, "height": 900}}

_NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")
_ARGUMENTS = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


def _program(playwright: Playwright) -> str | None:
    """Return the browser to use: CHROMIUM, then one that is installed, then playwright's own."""
    if named := os.environ.get("CHROMIUM"):
        return named
    for name in _NAMES:
        if found := shutil.which(name):
            return found
    own = playwright.chromium.executable_path
    return own if Path(own).exists() else None


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A running Chromium; without one the test is skipped, but fails where CI=true."""
    with sync_playwright() as playwright:
        program = _program(playwright)
        if program is None or not Path(program).exists():
            words = f"no browser at {program}" if program else "no Chromium found; set CHROMIUM"
            if os.environ.get("CI") == "true":
                pytest.fail(words)
            pytest.skip(words)
        browser = playwright.chromium.launch(executable_path=program, args=_ARGUMENTS)
        yield browser
        browser.close()


@dataclass
class Served:
    """A folder that is served: address, policy, and the paths asked for with their status."""

    url: str
    policy: str = ""
    requests: list[tuple[str, int]] = field(default_factory=list)


class _Handler(SimpleHTTPRequestHandler):
    served: Served

    def end_headers(self) -> None:
        if self.served.policy:
            self.send_header("Content-Security-Policy", self.served.policy)
        super().end_headers()

    def log_request(self, code: Any = "-", size: Any = "-") -> None:  # noqa: ARG002
        self.served.requests.append((self.path, int(code)))

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


class _Server(ThreadingHTTPServer):
    def handle_error(self, request: Any, client_address: Any) -> None:
        """Pass over a page that was closed while it loaded; tell all else."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


@contextmanager
def serving(folder: Path, policy: str = POLICY) -> Iterator[Served]:
    """Serve a folder from its own port with the policy on every answer."""
    served = Served("", policy)
    handler = type("Handler", (_Handler,), {"served": served})
    server = _Server(("127.0.0.1", 0), partial(handler, directory=str(folder)))
    served.url = f"http://127.0.0.1:{server.server_port}/"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield served
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


@pytest.fixture
def serve() -> Iterator[Callable[[Path], Served]]:
    """A function that serves a folder until the test ends."""
    open_servers = []

    def start(folder: Path) -> Served:
        context = serving(folder)
        served = context.__enter__()
        open_servers.append(context)
        return served

    yield start
    for context in open_servers:
        context.__exit__(None, None, None)


@dataclass
class Watched:
    """A page, and what went wrong on it: errors, and requests that leave the site."""

    page: Page
    home: str
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", self._said)
        self.page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        self.page.on("request", self._asked)
        self.page.on("requestfailed", lambda request: self.faults.append(f"failed: {request.url}"))

    def _said(self, message: Any) -> None:
        if message.type in {"error", "warning"}:
            self.faults.append(f"console: {message.text}")

    def _asked(self, request: Any) -> None:
        if not request.url.startswith(self.home):
            self.faults.append(f"off the site: {request.url}")

    def until(self, expression: str, seconds: float = 10) -> Any:
        """Poll until an expression is true; a strict policy forbids playwright's own waiting."""
        end = time.monotonic() + seconds
        while not (value := self.page.evaluate(expression)):
            assert time.monotonic() < end, f"never true: {expression}; {self.faults}"
            time.sleep(0.03)
        return value


@pytest.fixture
def visit(chromium: Browser) -> Iterator[Callable[..., Watched]]:
    """A function that opens an address in a fresh window and watches it.

    Keywords go to playwright's `new_context`; `home` is what all addresses must start with, by
    default the server or, for a file, file://; `before` is a script to run ahead of the page's.
    """
    contexts = []

    def open_page(url: str, home: str = "", before: str = "", **options: Any) -> Watched:
        context = chromium.new_context(**(DESKTOP | options))
        contexts.append(context)
        page = context.new_page()
        if before:
            page.add_init_script(before)
        if not home:
            home = "file://" if url.startswith("file:") else "/".join(url.split("/")[:3]) + "/"
        watched = Watched(page, home)
        page.goto(url)
        return watched

    yield open_page
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Iterator[str]:
    """Address of the demo, from a sub-path, under the policy that `softpedal policy` gives it."""
    root = tmp_path_factory.mktemp("strict-demo")
    (root / "favicon.ico").touch()  # asked for by a browser on a page that names no icon
    with serving(root, policy="") as served:
        folder = build_demo(root / "rides", site_url=f"{served.url}rides/")
        served.policy = site_policy(folder)
        yield f"{served.url}rides/"


@pytest.fixture(params=["http", "http from a sub-path", "file"])
def address(request, tmp_path, serve) -> str:
    """Address of the route's page, in each of the ways in which a site is read."""
    folder = tmp_path / "root" / "deep" if "sub-path" in request.param else tmp_path / "root"
    page = write_site(folder)
    if request.param == "file":
        return page.as_uri()
    return serve(tmp_path / "root").url + page.relative_to(tmp_path / "root").as_posix()


@pytest.fixture
def site(tmp_path, serve):
    """Return a function that writes and serves the site and returns the route's address."""

    def make(**options) -> str:
        page = write_site(tmp_path / "root", **options)
        return serve(tmp_path / "root").url + page.relative_to(tmp_path / "root").as_posix()

    return make
