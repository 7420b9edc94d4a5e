"""A town of five ways from west to east, whose kinds of street are read off a tag."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

from softpedal.settings import Settings
from softpedal.streets.country import country_of
from streets.drawn_network import degrees, drawn

SETTINGS = Settings()


@dataclass(frozen=True)
class Read:
    kind: str
    confidence: str = "sure"
    hours: tuple = ()
    shut: tuple = ()


class ByName:
    """Reads the kind of a street off a tag, so that a test says what it means."""

    def __init__(self, network, sure):
        self.network, self.sure = network, sure

    def read(self, edge, forward):
        tags = self.network.tags(edge)
        kind = tags.get("kind", "back street")
        if not forward:
            kind = tags.get("against", kind)
        hours = (("Mo-Fr 08:00-09:00", tags["by day"]),) if "by day" in tags else ()
        shut = ("21:00-06:00",) if "shut" in tags else ()
        return Read(kind, "sure" if self.sure else "check", hours, shut)


def town_of(network, sure=True):
    reader = ByName(network, sure)
    return SimpleNamespace(network=network, reader=reader, country=country_of(None))


def street(name, kind, highway="residential", **tags):
    return {"highway": highway, "name": name, "kind": kind, **tags}


def town(**changes):
    """Dock Road straight from west to east, 1000 m; the others bow out from it on both sides."""
    ways = {
        "dock": (((0, 0), (500, 0), (1000, 0)), street("Dock Road", "busy road", "primary")),
        "row": (((0, 0), (500, 150), (1000, 0)), street("Sailmaker Row", "filtered street")),
        "lane": (((0, 0), (500, -250), (1000, 0)), street("Mill Lane", "back street")),
        "path": (((0, 0), (500, 400), (1000, 0)), street("Towpath", "traffic-free path", "path")),
        "far": (((0, 0), (500, 900), (1000, 0)), street("Far Lane", "filtered street")),
    }
    for name, tags in changes.items():
        ways[name] = (ways[name][0], {**ways[name][1], **tags})
    return drawn(list(ways.values()))


ENDS = degrees(0, 0), degrees(1000, 0)
