"""Time what a new author does, from nothing to a served site, by the README's own lines.

    python benchmarks/start.py [--keep FOLDER]

A fresh environment, softpedal installed from this checkout, `softpedal start`, `softpedal check`,
`mkdocs serve` until its first page answers, and `mkdocs build --strict`. How long the installation
takes depends on where pip gets its packages, and on whether it has them already: `pip` without its
cache is what a new author has, `--cached` what one has the second time.
"""

from __future__ import annotations

import argparse
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).resolve().parents[1]
EXAMPLE = "/routes/an-example-to-replace/"
WORDS = "There is no such place"
LONGEST_S = 300.0


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--keep", type=Path, help="folder for environment and library; kept")
    ask.add_argument("--cached", action="store_true", help="let pip use what it has kept")
    asked = ask.parse_args()
    folder = asked.keep or Path(tempfile.mkdtemp(prefix="start-"))
    try:
        measure(folder.resolve(), cached=asked.cached)
    finally:
        if not asked.keep:
            shutil.rmtree(folder, ignore_errors=True)


def measure(folder: Path, *, cached: bool) -> None:
    """Do it all in a folder, and print how many seconds each step took."""
    binaries, library = folder / ".venv" / "bin", folder / "quiet-ways"
    variables = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    variables["PATH"] = f"{binaries}{os.pathsep}{variables['PATH']}"

    def run(*command: str, cwd: Path = folder) -> Callable[[], None]:
        return lambda: _run(command, cwd, variables)

    pip = ["pip", "install", "--quiet", *(() if cached else ("--no-cache-dir",))]
    steps: dict[str, Callable[[], None]] = {
        "python3 -m venv .venv": run(sys.executable, "-m", "venv", ".venv"),
        'pip install ".[streets]"': run(*pip, f"{ROOT}[streets]"),
        "softpedal start": run("softpedal", "start", "quiet-ways"),
        "mkdocs serve, to the first page": lambda: serve(library, variables),
        "softpedal check": run("softpedal", "check", cwd=library),
        "mkdocs build --strict": run("mkdocs", "build", "--strict", "--quiet", cwd=library),
    }
    print("| step | s |\n| --- | --- |")
    total = to_served = 0.0
    for name, step in steps.items():
        began = time.perf_counter()
        step()
        total += (took := time.perf_counter() - began)
        if "serve" in name:
            to_served = total
        print(f"| `{name}` | {took:.1f} |", flush=True)
    print(f"| **from nothing to a served site** | **{to_served:.1f}** |")
    if to_served > LONGEST_S:
        sys.exit(f"slower than {LONGEST_S:.0f} s")


def serve(library: Path, variables: dict[str, str]) -> None:
    """Serve the library until the page of its example answers with its own words."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    log = (library.parent / "serve.log").open("w", encoding="utf-8")
    command = ["mkdocs", "serve", "--dev-addr", f"127.0.0.1:{port}"]
    with (
        log,
        subprocess.Popen(command, cwd=library, env=variables, stdout=log, stderr=log) as server,
    ):
        try:
            page = _first_page(f"http://127.0.0.1:{port}{EXAMPLE}", server)
        finally:
            server.terminate()
    if WORDS not in page:
        sys.exit(f"the page of the example does not say “{WORDS}”")


def _first_page(address: str, server: subprocess.Popen[bytes]) -> str:
    until = time.monotonic() + LONGEST_S
    while time.monotonic() < until and server.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                return str(answer.read().decode())
        except urllib.error.URLError:
            time.sleep(0.1)
    sys.exit("mkdocs serve gave no page: see serve.log")


def _run(command: tuple[str, ...], cwd: Path, variables: dict[str, str]) -> None:
    # found on the new environment's path, as a shell would
    program = shutil.which(command[0], path=variables["PATH"])
    if program is None:
        sys.exit(f"{command[0]} is not there")
    done = subprocess.run(
        [program, *command[1:]], cwd=cwd, env=variables, capture_output=True, text=True, check=False
    )
    if done.returncode:
        sys.exit(f"{' '.join(command)} failed:\n{done.stdout}{done.stderr}")


if __name__ == "__main__":
    main()
