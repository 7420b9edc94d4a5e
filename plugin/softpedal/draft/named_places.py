"""Where from and where to: coordinates, or a name that the extract knows → a place."""

from __future__ import annotations

import difflib
import re
from typing import TYPE_CHECKING

import numpy as np
import shapely

from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from softpedal.streets.network import Network

#: Of one name: pieces of street, or marks, nearer to each other than this are one place.
ONE_PLACE_M = 150.0
_MOST_LISTED = 5
_COORDINATES = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*[,;]\s*(-?\d+(?:\.\d+)?)\s*")

LatLon = tuple[float, float]


class PlaceError(CannotDoError):
    """A place that is not known, or that could be more than one."""


def find_place(network: Network, text: str) -> LatLon:
    """Return latitude and longitude of "50.01, -20.03", of a named place or of a street's middle.

    Raises:
        PlaceError: nothing is called so, or several things far from each other are, or the
            coordinates are none on earth.
    """
    if match := _COORDINATES.fullmatch(text):
        lat, lon = float(match[1]), float(match[2])
        if not (abs(lat) <= 90 and abs(lon) <= 180):
            raise PlaceError(
                f"{lat:g}, {lon:g} is no place on earth.", "Write latitude first: `50.01, -20.03`."
            )
        return lat, lon
    wanted = _plain(text)
    if not wanted:
        raise PlaceError("There is no name.", "Write a name, or coordinates: `50.01, -20.03`.")
    marks = [(p.lat, p.lon) for p in network.places if _plain(p.name) == wanted]
    found = _marks(network, marks) if marks else _streets(network, wanted)
    if not found:
        raise _unknown(network, text, wanted)
    if len(found) > 1:
        listed = "; ".join(f"{lat:.5f}, {lon:.5f}" for lat, lon in found[:_MOST_LISTED])
        more = f"; and {len(found) - _MOST_LISTED} more" if len(found) > _MOST_LISTED else ""
        raise PlaceError(
            f"`{text.strip()}` is the name of {len(found)} places.",
            f"Write the coordinates of the one that is meant: {listed}{more}.",
        )
    return found[0]


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _marks(network: Network, marks: list[LatLon]) -> list[LatLon]:
    points = network.plane.metres(shapely.points([(lon, lat) for lat, lon in marks]))
    return [marks[group[0]] for group in _groups(points)]


def _streets(network: Network, wanted: str) -> list[LatLon]:
    """Return the middle of each street of that name, the longest first."""
    named = [i for i, tags in enumerate(network.way_tags) if _plain(tags.get("name", "")) == wanted]
    edges = np.flatnonzero(np.isin(network.edge_way, named))
    groups = _groups(network.lines[edges]) if len(edges) else []
    metres = [float(network.edge_m[edges[group]].sum()) for group in groups]
    order = sorted(range(len(groups)), key=lambda i: -metres[i])
    return [_middle(network, edges[groups[i]]) for i in order]


def _middle(network: Network, edges: NDArray[np.intp]) -> LatLon:
    """Return the place on a street nearest to the middle of all its pieces."""
    line = shapely.union_all(network.lines[edges])
    middle = shapely.line_locate_point(network.lines[edges], shapely.centroid(line))
    points = shapely.line_interpolate_point(network.lines[edges], middle)
    nearest = points[shapely.distance(points, shapely.centroid(line)).argmin()]
    at = network.plane.degrees(nearest)
    return float(shapely.get_y(at)), float(shapely.get_x(at))


def _groups(shapes: NDArray[np.object_]) -> list[list[int]]:
    """Return the indices of shapes by group; in a group each is near to another of it."""
    near = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=ONE_PLACE_M)
    beside: list[list[int]] = [[] for _ in shapes]
    for a, b in near.T.tolist():
        beside[a].append(b)
    groups: list[list[int]] = []
    seen: set[int] = set()
    for first in range(len(shapes)):
        if first in seen:
            continue
        group, ahead = [], [first]
        seen.add(first)
        while ahead:
            one = ahead.pop()
            group.append(one)
            new = sorted(set(beside[one]) - seen)
            seen.update(new)
            ahead += new
        groups.append(sorted(group))
    return groups


def _unknown(network: Network, text: str, wanted: str) -> PlaceError:
    known: dict[str, str] = {}
    for name in _names(network):
        known.setdefault(_plain(name), name)
    holding = sorted(plain for plain in known if wanted in plain)
    alike = difflib.get_close_matches(wanted, sorted(known), _MOST_LISTED)
    near = list(dict.fromkeys([*alike, *holding]))[:_MOST_LISTED]
    shown = " ".join(text.split())[:60]
    return PlaceError(
        f"The extract knows nothing called `{shown}`.",
        "Is one of these meant: " + ", ".join(f"`{known[plain]}`" for plain in near) + "?"
        if near
        else "Write coordinates: `50.01, -20.03`.",
    )


def _names(network: Network) -> Iterable[str]:
    yield from (place.name for place in network.places)
    yield from (tags["name"] for tags in network.way_tags if tags.get("name"))
