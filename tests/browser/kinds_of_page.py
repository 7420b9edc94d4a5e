"""One address of every kind of page in the demo."""

from __future__ import annotations

FERRY = "routes/ferry-steps-to-chapel-green/"
PAGES = {
    "home": "",
    "all routes": "routes/",
    "areas": "areas/",
    "an area": "areas/old-harbour/",
    "difficulty": "difficulty/",
    "a grade": "difficulty/easy/",
    "a route": FERRY,
    "a route with hours": "routes/school-lane-link/",
    "a loop": "routes/two-bridges-loop/",
    "a withdrawn route": "routes/dock-road-to-grain-road/",
    "an embedded route": f"{FERRY}embed/",
    "an embedded route that is withdrawn": "routes/dock-road-to-grain-road/embed/",
    "where it breaks": "gaps/",
    "what needs riding next": "due/",
    "how we measure": "how-we-measure/",
    "guide": "guide/",
    "the notes format": "notes-format/",
    "publishing": "publishing/",
}
PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1366, "height": 768}}
