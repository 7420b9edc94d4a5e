"""How the tests ask a route's page what it shows."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import lru_cache

from browser.map_page import HANDLE
from demo_site import ROOT

FERRY = "routes/ferry-steps-to-chapel-green"
MILL = "routes/chapel-green-to-weir-mill"
GATE = "routes/college-to-northfield"

#: What the visible page says, and what the map and the strip draw.
SHOWN = f"""(() => {{
    const seen = e => e.getClientRects().length > 0;
    const all = s => [...document.querySelectorAll(s)].filter(seen);
    const handle = {HANDLE};
    return {{
        figures: all('.sp-figures dd').map(e => e.innerText),
        ends: all('.sp-ends').map(e => e.innerText),
        hardest: all('.sp-hardest').map(e => e.innerText),
        shut: all('.sp-shut').length,
        strips: all('.sp-strip').length,
        legs: all('.sp-strip [data-leg]').length,
        dismounts: all('.sp-cues .sp-row-dismount').length,
        rows: all('.sp-cues tr[data-leg] strong').map(e => e.textContent),
        facts: all('.sp-facts dd').map(e => e.textContent).join(' | '),
        captions: all('.sp-cues caption').map(e => e.textContent),
        map: handle && {{
            legs: handle.view.legs.map(l => l.name), drawn: all('.sp-leg').length,
            length: handle.length, way: handle.view.way, start: handle.parts[0][0].slice(0, 2),
            marks: handle.view.markers.filter(m => /crossing/.test(m.sort)).length,
            busy: handle.view.markers.filter(m => m.sort === 'busy crossing').length,
        }},
    }};
}})()"""

MAP_SHOWS = f"(() => {{ const h = {HANDLE}; return h && h.view && softpedal.shown; }})()"


@lru_cache(maxsize=1)
def measured() -> dict:
    """Return what `softpedal measure` prints of the demo, by route."""
    command = [sys.executable, "-m", "softpedal.cli", "measure", "--format", "json"]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    document = json.loads(done.stdout)
    return {route["id"]: route for route in document["routes"]}
