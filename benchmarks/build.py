"""Load, measure and render libraries of N routes, against a bare build of the same pages.

Run as `python benchmarks/build.py [N …]`. Every step runs in a process of its own, so that its
peak memory is its own; all in one run, so that the ratios hold on any machine.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from library import make_library

if TYPE_CHECKING:
    import resource

HERE = Path(__file__).parent

MKDOCS = """\
site_name: Bench
site_url: https://bench.example/
theme: {name: material, font: false}
plugins: [%s]
markdown_extensions: [tables]
nav: [{Home: index.md}]
not_in_nav: "/**"
"""


#: Heading of each column, the figure in it and how it is printed.
COLUMNS = {
    "routes": ("routes", "d"),
    "load ms/route": ("load_ms", ".1f"),
    "measure ms/route": ("measure_ms", ".1f"),
    "load + measure peak MB": ("core_mb", ".0f"),
    "build s": ("build_s", ".1f"),
    "build peak MB": ("build_mb", ".0f"),
    "bare s": ("bare_s", ".1f"),
    "bare peak MB": ("bare_mb", ".0f"),
    "build / bare": ("ratio", ".2f"),
    "build / bare, CPU": ("cpu_ratio", ".2f"),
    "index kB/route": ("index_kb", ".2f"),
    "page kB": ("page_kb", ".0f"),
    "site MB": ("site_mb", ".0f"),
}


def main(sizes: list[int]) -> None:
    """Print one table."""
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        for size in sizes:
            rows.append(_measure(Path(folder) / str(size), size))
            print(json.dumps(rows[-1]), file=sys.stderr)
    print(f"| {' | '.join(COLUMNS)} |\n|{' --- |' * len(COLUMNS)}")
    for row in rows:
        print(f"| {' | '.join(format(row[key], form) for key, form in COLUMNS.values())} |")
    costs = {r["routes"]: r["build_s"] / r["routes"] for r in rows}
    if 100 in costs and 1000 in costs:
        print(f"\nCost of a page from 100 to 1,000 routes: {costs[1000] / costs[100]:.2f} times.")


def _measure(folder: Path, size: int) -> dict[str, float]:
    make_library(folder, size)
    core = json.loads(_run([sys.executable, str(HERE / "core.py"), str(folder)])[0])
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text("# Home\n")
    (folder / "mkdocs.yml").write_text(MKDOCS % "search, softpedal")
    mkdocs = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--clean", "-f"]
    _, build_s, build_cpu, build_mb = _run([*mkdocs, str(folder / "mkdocs.yml")])
    bare = folder / "bare"
    _run([sys.executable, str(HERE / "write_plain.py"), str(folder), str(bare / "docs")])
    (bare / "mkdocs.yml").write_text(MKDOCS % "search")
    _, bare_s, bare_cpu, bare_mb = _run([*mkdocs, str(bare / "mkdocs.yml")])
    site = folder / "site"
    index = (site / "search" / "search_index.json").stat().st_size
    result = {
        "routes": size,
        **core,
        "build_s": build_s,
        "build_cpu": build_cpu,
        "build_mb": build_mb,
        "bare_s": bare_s,
        "bare_cpu": bare_cpu,
        "bare_mb": bare_mb,
        "index_kb": index / 1000 / size,
        "page_kb": (site / "routes" / "route-0000" / "index.html").stat().st_size / 1000,
        "site_mb": sum(f.stat().st_size for f in site.rglob("*") if f.is_file()) / 1e6,
    }
    shutil.rmtree(folder)
    result["ratio"] = build_s / bare_s
    result["cpu_ratio"] = build_cpu / bare_cpu
    return result


def _run(command: list[str]) -> tuple[str, float, float, float]:
    """Return what a command prints, its seconds by the clock, CPU seconds and peak MB."""
    env = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    started = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=env) as process:
        assert process.stdout is not None
        printed = process.stdout.read()
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command)} failed with {process.returncode}")
    taken = time.perf_counter() - started
    return printed, taken, usage.ru_utime + usage.ru_stime, _megabytes(usage)


def _megabytes(usage: resource.struct_rusage) -> float:
    return usage.ru_maxrss / 1024 if sys.platform != "darwin" else usage.ru_maxrss / 1024**2


if __name__ == "__main__":
    main([int(n) for n in sys.argv[1:]] or [10, 100, 1000])
