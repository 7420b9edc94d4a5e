"""A library whose every text is an attack, and the same one with harmless texts as long.

What the two become must be built alike: the same elements and attributes, the same keys, the same
number of cells. Every text carries the name of its field, so that a test can tell where it is.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import yaml

from building import crossing, gpx_text, leg, line_east, make_route, notes
from library.pictures import picture
from softpedal.authored_text import one_line

if TYPE_CHECKING:
    from pathlib import Path

SITE_URL = "https://lindenferry.example/rides/"
RLO, LRI, RLM = "\u202e", "\u2066", "\u200f"

#: Names are short, so that each route has them in another place.
NAMES = (
    "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>&amp;",
    '=HYPERLINK("http://x.example")\r\nBcc: x@y.example\r\n\r\n{{7*7}}${x}%0d%0a\\',
    f"{RLO}{LRI}]]>--></textarea></title></style>{RLM}\U0001f6b2 e\u0301\u0302",
    "[go](javascript:alert(1)) javascript:alert(2) `|# <!-- {% x %}&lt;/title&gt;&lt;script&gt;",
)
ROUTES = tuple(f"evil-{number}" for number in range(len(NAMES)))
WITHDRAWN = "evil-gone"


def hostile_library(folder: Path, *, tame: bool = False) -> Path:
    """Write the library into a folder and return it; `tame` ones do no harm."""
    for number, route in enumerate([*ROUTES, WITHDRAWN]):
        texts = _Texts(number, tame=tame)
        lat = 50 + number * 0.002  # near enough to meet
        make_route(
            folder,
            _notes(texts, gone=route == WITHDRAWN),
            line_east(2000, lat=lat),
            id=route,
            files={
                "variant.gpx": gpx_text([(lat, -19.993), (lat + 0.0004, -19.99), (lat, -19.987)]),
                "photos/one.jpg": picture(),
                "story.md": f"# Head\n\n{texts.story()}\n",
            },
        )
    settings = _Texts(0, tame=tame)
    found = {
        "title": settings.name("library", 2),
        "background_attribution": settings.name("map", 0),
        "report_address": "mailto:reports@lindenferry.example",
        "newsletter_from": "Quiet ways <news@lindenferry.example>",
        "cards": True,
    }
    (folder / "softpedal.yml").write_text(yaml.safe_dump(found), encoding="utf-8")
    alerts = [
        {
            "at": f"{50 + number * 0.002:.3f}, -19.995",
            "radius": "20 m",
            "from": "2026-09-01",
            "text": _Texts(number, tame=tame).name(f"everywhere-{number}", 1),
        }
        for number in range(len(ROUTES))
    ]
    (folder / "alerts.yml").write_text(yaml.safe_dump(alerts), encoding="utf-8")
    (folder / "mkdocs.yml").write_text(f"site_url: {SITE_URL}\n", encoding="utf-8")
    return folder


def title_of(route: str) -> str:
    """Return the title of a hostile route as it is loaded."""
    number = [*ROUTES, WITHDRAWN].index(route)
    return one_line(_Texts(number, tame=False).name(f"title-{number}", 0))


class _Texts:
    def __init__(self, number: int, *, tame: bool) -> None:
        self.number, self.tame = number, tame

    def name(self, field: str, shift: int) -> str:
        """Return a name of at most 120 characters."""
        return self._made(f"{NAMES[(self.number + shift) % len(NAMES)]} {field}")

    def long(self, field: str) -> str:
        """Return all attacks at once; which of them begins changes."""
        at = self.number % len(NAMES)
        return self._made("\n".join([*NAMES[at:], *NAMES[:at], field]))

    def story(self) -> str:
        """Return a story, which may hold no HTML, and in which a backslash breaks a line."""
        return re.sub(r"[<\\]", "", self.long("story"))

    def _made(self, text: str) -> str:
        return re.sub(r"[!-/:-@\[-`{-~]", "x", text) if self.tame else text


def _notes(texts: _Texts, *, gone: bool) -> dict[str, Any]:
    name, long = texts.name, texts.long
    legs = [
        leg(
            "start",
            "filtered street",
            name("street", 1),
            closed_by=long("closed-by"),
            cue={"outbound": long("cue"), "return": long("cue-back")},
            note=long("leg-note"),
            level=3,
            why=long("leg-why"),
            wet=long("wet"),
            edge=long("edge"),
            evidence=long("evidence"),
            film="0:20",
        ),
        leg("0.8 km", "mixed street", name("street-two", 2), lanes=4, speed_limit="40 mph"),
        leg("1.6 km", None, name("street-three", 3), film="2:20", hours={
            "Mo-Fr 07:00-19:00": "busy road", "otherwise": "back street"}),
    ]  # fmt: skip
    found = notes(
        title=name(f"title-{texts.number}", 0),
        area=[name("area", 1), name("area-two", 2)],
        start=name("start", 2),
        finish=name("finish", 3),
        summary=long("summary"),
        ridden=[{"on": "2026-05-16", "direction": "both", "when": long("when"), "moving": 9}],
        legs=legs,
        crossings=[
            crossing("0.8 km", road=name("road", 0), busy=True, lanes=4, note=long("cross"),
                     level=4, why=long("cross-why"), easier=long("easier"), film="1:20")
        ],
        dismounts=[{"at": "1 km", "why": long("dismount"), "metres": 9,
                    "without_getting_off": long("without")}],
        hazards=[{"at": "1.1 km", "what": long("hazard"), "severity": "serious"}],
        landmarks=[{"at": "1.2 km", "what": long("landmark"), "story": long("landmark-story")}],
        barriers=[{"at": "1.3 km", "what": long("barrier"), "turn": long("turn"), "gap": 1.1,
                   "way_round": long("way-round")}],
        signed=[{"from": "0.2 km", "to": "0.4 km", "as": long("signed")}],
        skip=[{"at": "0.5 km", "what": long("skip")}],
        wishes=[{"at": "0.6 km", "what": long("wish")}],
        hardest={"at": "0.9 km", "text": long("hardest")},
        best={"at": "1.9 km", "text": long("best")},
        alerts=[
            {"from": "2026-01-01", "text": long("alert")},
            {"from": "2199-01-01", "until": "2199-02-01", "text": long("alert-two")},
        ],
        video={"link": "https://video.example/w?a=1&b=2", "chapters": True,
               "jump": "https://video.example/w?a=1&t={seconds}"},
        avoids=[long("avoids")],
        changed=[{"on": "2026-04", "text": long("changed")}],
        planned=[{"text": long("planned"), "expected": long("expected")}],
        photos=[{"file": "one.jpg", "at": "1 km", "alt": long("photo")}],
        thanks=long("thanks"),
        variants=[{"file": "variant.gpx", "leave": "0.5 km", "rejoin": "0.93 km",
                   "why": long("variant"),
                   "legs": [leg("start", "back street", name("variant-street", 1))]}],
    )  # fmt: skip
    if gone:
        found |= {"status": "withdrawn",
                  "withdrawn": {"why": long("withdrawn"), "instead": ROUTES[0],
                                "on": "2026-06-01"}}  # fmt: skip
    return found
