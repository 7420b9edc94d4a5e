"""Load and measure one library, and print what a route costs."""

from __future__ import annotations

import json
import resource
import sys
import time
from pathlib import Path

from softpedal.library.load import load_route, route_folders
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings


def main(library: Path) -> None:
    """Print milliseconds a route and the peak memory in MB, as JSON."""
    settings, folders = Settings(), route_folders(library)
    clock = time.process_time
    started = clock()
    loaded = [load_route(folder, settings) for folder in folders]
    loaded_at = clock()
    routes = [one.route for one in loaded if one.route]
    if len(routes) != len(folders):
        raise SystemExit("\n".join(str(p) for one in loaded for p in one.problems))
    measures = [measure(route, settings) for route in routes]
    done = clock()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    count = len(measures)
    load_ms, measure_ms = (loaded_at - started) * 1e3 / count, (done - loaded_at) * 1e3 / count
    print(json.dumps({"load_ms": load_ms, "measure_ms": measure_ms, "core_mb": peak}))


main(Path(sys.argv[1]))
