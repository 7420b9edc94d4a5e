"""alerts.yml: alerts for every route that passes a place; beside `routes/`.

One closed bridge is typed once, and stands on the page of each route that goes over it.
"""

# ruff: noqa: TC001 - these are pydantic models by way of Strict, which ruff does not see
from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

from pydantic import Field

from softpedal.library.library_file import parse_list, read_beside
from softpedal.library.note_facts import Alert
from softpedal.library.note_values import Strict
from softpedal.library.positions import passes_of
from softpedal.library.route import Placed
from softpedal.library.track import nearest_on_track
from softpedal.library.values import Coordinates, Metres
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.library.route import Line, Route
    from softpedal.library.yaml_source import YamlSource

FILE_NAME = "alerts.yml"
#: How far round its place an alert reaches at most, in metres.
MAX_RADIUS_M = 5000.0
_CODE = "alerts-value"


class LibraryAlert(Alert):
    """An alert for every route that comes within `radius` of `at`."""

    at: Coordinates = Field(examples=["50.01234, -20.04567"])
    """the place, latitude first"""
    radius: Annotated[Metres, Field(gt=0, le=MAX_RADIUS_M)] = Field(examples=["30 m"])
    """how far round the place a route is reached, 5 km at most"""

    @property
    def plain(self) -> Alert:
        """The alert as a route's own notes would have it."""
        return Alert.model_validate(self.model_dump(by_alias=True, exclude={"at", "radius"}))


class _Alerts(Strict):
    alerts: list[LibraryAlert] = []  # noqa: RUF012 - a model's default is copied
    """what holds for every route that passes the place"""


def read_alerts(library: Path) -> tuple[tuple[LibraryAlert, ...], list[Problem]]:
    """Read a library's alerts.yml; a file that is not there means that there are none.

    Returns:
        The alerts in the order of the file and no problems, or none and what is wrong with it.
    """
    hint = "Give yourself the right to read the file."
    content, problems = read_beside(library / FILE_NAME, "alerts", hint)
    return ((), problems) if content is None else alerts_in(content)


def alerts_in(content: bytes) -> tuple[tuple[LibraryAlert, ...], list[Problem]]:
    """Return the alerts in the content of an alerts.yml, or none and what is wrong with it."""
    found, _, problems = _parsed(content)
    return tuple(found.alerts) if found else (), problems


def unreached(library: Path, routes: Sequence[Route]) -> list[Problem]:
    """Return advice for each alert in a library's alerts.yml that none of its routes passes."""
    content, _ = read_beside(library / FILE_NAME, "alerts", "")
    found, source, _ = _parsed(content or b"")
    return [
        Problem(
            _CODE,
            FILE_NAME,
            *source.place(("alerts", index, "at")),
            "No route passes this place.",
            "Look at the coordinates, latitude first, and at `radius`; or take the alert away.",
            severity="advice",
        )
        for index, alert in enumerate(found.alerts if found else [])
        if not any(passed(route, [alert]) for route in routes)
    ]


def _parsed(content: bytes) -> tuple[_Alerts | None, YamlSource, list[Problem]]:
    return parse_list(_Alerts, content, FILE_NAME, _CODE, "- at: 50.01234, -20.04567")


def with_library_alerts(route: Route, alerts: Sequence[LibraryAlert]) -> Route:
    """Return a route with those of the library's alerts that reach it and that it does not note."""
    own = route.notes.alerts
    reached = tuple(placed for placed in passed(route, alerts) if placed.item not in own)
    if not reached:
        return route
    notes = route.notes.model_copy(update={"alerts": [*own, *(p.item for p in reached)]})
    return replace(route, notes=notes, passed_alerts=reached)


def passed(route: Route, alerts: Sequence[LibraryAlert]) -> tuple[Placed[Alert], ...]:
    """Return the alerts that reach a route, with where its outbound line passes each.

    An alert that reaches another of its lines only, the way back's own or a variant's, has nan as
    its chainage; one that the outbound line passes several times is there once, at the first.
    """
    found = []
    for alert in alerts:
        at = _passes(alert, route.along)
        if at or any(_passes(alert, line) for line in _other_lines(route)):
            place = at[0] if at else float("nan")
            found.append(Placed(alert.plain, place, place))
    return tuple(found)


def _other_lines(route: Route) -> list[Line]:
    return [*([route.back] if route.back else []), *(v.line for v in route.variants)]


def _passes(alert: LibraryAlert, line: Line) -> list[float]:
    off_m, chainage_m = nearest_on_track(line.track, alert.at.lat, alert.at.lon)
    return passes_of(off_m, chainage_m, alert.radius)
