"""What of a route's page changes with direction and hours, as panels to be shown one by one.

Each panel is rendered here. The page carries those of both directions in their leading state; those
of further states come in a script that is loaded when they are first asked for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from softpedal.library.notes import DIRECTIONS
from softpedal.site import wording
from softpedal.site.drawings import profile_of, strip_of
from softpedal.site.language import tr
from softpedal.site.legend import looks_key
from softpedal.site.map_data import script_json
from softpedal.site.render import render
from softpedal.site.route_view import big_figures, facts, hardest_bit
from softpedal.site.strip import large_strip
from softpedal.site.timetable import Timetable
from softpedal.site.week_view import week_rows

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from softpedal.library.notes import Direction
    from softpedal.library.route import Route
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.route_measures import Measures
    from softpedal.measure.units import Units
    from softpedal.measure.week import Span
    from softpedal.site.row import Row

#: The panels of one view, in the order of the page.
NAMES = ("figures", "strip", "legs", "facts")


@dataclass(frozen=True, eq=False, slots=True)
class View:
    """One direction in one state of the week.

    Attributes:
        direction: what was measured, with this state as the leading and only one.
        index: of the state among the direction's states, from 0.
        when: the hours in words, "" where the direction has one state only.
        other: index of the state of the other direction that shares most hours with this one.
    """

    direction: DirectionMeasures
    index: int
    when: str
    other: int

    @property
    def key(self) -> str:
        """The name under which page, map and address know it."""
        return f"{self.direction.direction}-{self.index}"

    @property
    def state(self) -> StateMeasures:
        """The state of the week."""
        return self.direction.leading


def views_of(measures: Measures, units: Units) -> list[View]:
    """Return every direction in every state: outbound first, each with its leading state first."""
    words = iter([row["when"] for row in week_rows(measures, units)])
    found = []
    for name in DIRECTIONS:
        direction, other = measures.of(name), measures.of(_other(name))
        for index, state in enumerate(direction.states):
            when = next(words)
            alone = len(direction.states) == 1
            found.append(
                View(
                    replace(direction, states=(state,)),
                    index,
                    "" if alone else when,
                    _most_shared(state, other.states),
                )
            )
    return found


class Panels:
    """Renders the panels of one route."""

    def __init__(
        self,
        route: Route,
        measures: Measures,
        units: Units,
        reports: Callable[[float, Direction], str] | None = None,
    ) -> None:
        self.route, self.measures, self.units = route, measures, units
        self.reports = reports
        self.views = views_of(measures, units)
        self._rows: dict[str, list[Row]] = {}
        self._panels: dict[str, dict[str, Markup]] = {}

    def rows(self, view: View) -> list[Row]:
        """Return the timetable of a view."""
        if view.key not in self._rows:
            timetable = Timetable(self.route, view.direction, view.state, self.units, self.reports)
            self._rows[view.key] = timetable.rows()
        return self._rows[view.key]

    def of(self, view: View) -> dict[str, Markup]:
        """Return the panels of a view by name, each in its own element."""
        if view.key not in self._panels:
            self._panels[view.key] = self._made(view)
        return self._panels[view.key]

    def _made(self, view: View) -> dict[str, Markup]:
        direction, state = view.direction, view.state
        shut = shut_words(view)
        profile = profile_of(direction, self.units)
        contents: dict[str, str] = {
            "figures": render(
                "panel_figures.html",
                figures=big_figures(direction, state, self.units),
                shut=shut,
            ),
            "strip": render(
                "panel_strip.html",
                hardest=""
                if shut
                else hardest_bit(self.measures.of(direction.direction), self.units, state),
                shut=bool(shut),
                strip=Markup(large_strip(strip_of(direction, state, self.units))),  # noqa: S704
                key=Markup(looks_key(s.kind for s, _ in state.legs)),  # noqa: S704
            ),
            "legs": render(
                "timetable.html",
                rows=self.rows(view),
                caption=self._caption(view),
                shut=shut,
                key=view.key,
            ),
            "facts": render(
                "panel_facts.html",
                facts=facts(self.route, self.measures, direction, self.units, state),
                profile=Markup(profile),  # noqa: S704
            ),
        }
        return {name: _panel(name, view.key, contents[name]) for name in NAMES}

    def leading(self, direction: Direction) -> View:
        """Return the view with which the page leads in a direction."""
        return next(view for view in self.views if view.direction.direction == direction)

    def further(self) -> dict[str, dict[str, str]]:
        """Return the panels of further states by view and name, without what stays the same."""
        found: dict[str, dict[str, str]] = {}
        for view in self.views:
            if view.index == 0:
                first = self.of(view)
                continue
            mine, key = self.of(view), f"{view.direction.direction}-0"
            found[view.key] = {
                name: str(panel)
                for name, panel in mine.items()
                if panel != first[name].replace(key, view.key)
            }
        return found

    def ends(self, direction: Direction) -> str:
        """Return the two ends in riding order."""
        notes = self.route.notes
        ends = (notes.start, notes.finish)
        start, finish = ends if direction == "outbound" else ends[::-1]
        return tr("From {start} to {finish}", start=start, finish=finish)

    def switches(self) -> list[dict[str, Any]]:
        """Return the directions with their states, as the switches name them."""
        found = []
        for name in DIRECTIONS:
            states = [view for view in self.views if view.direction.direction == name]
            finish = self.route.notes.finish
            words = tr("To {finish}", finish=finish) if name == "outbound" else tr("The way back")
            found.append(
                {
                    "direction": name,
                    "words": words,
                    "states": [
                        {"when": _switch_words(v), "other": v.other, "index": v.index}
                        for v in states
                    ],
                }
            )
        return found

    def _caption(self, view: View) -> str:
        ends = self.ends(view.direction.direction)
        return f"{ends}, {view.when}" if view.when else ends


def shut_words(view: View) -> str:
    """Return that and when the way is shut, "" of a view in which it can be ridden."""
    if view.state.passable:
        return ""
    if not view.when:
        return tr("Shut at all times: this way cannot be ridden.")
    return tr("Shut {hours}: this way cannot be ridden then.", hours=view.when)


def states_script(route_id: str, further: Mapping[str, Mapping[str, str]]) -> str:
    """Return the panels of further states as a classic script that also works from a file."""
    return (
        "window.softpedalStates = window.softpedalStates || {};\n"
        f"softpedalStates[{script_json(route_id)}] = {script_json(further)};\n"
    )


def _panel(name: str, key: str, content: str) -> Markup:
    # The content is a filled template, in which everything that an author wrote is escaped.
    return Markup('<div data-sp-panel="{}" data-sp-view="{}">\n{}</div>').format(
        name,
        key,
        Markup(content),  # noqa: S704
    )


def _switch_words(view: View) -> str:
    when = view.when or wording.hours_words("24/7")
    return when if view.state.passable else tr("{hours}: shut", hours=when)


def _other(direction: Direction) -> Direction:
    return "return" if direction == "outbound" else "outbound"


def _most_shared(state: StateMeasures, others: Sequence[StateMeasures]) -> int:
    shared = [_minutes_shared(state.spans, other.spans) for other in others]
    return shared.index(max(shared))


def _minutes_shared(some: Sequence[Span], others: Sequence[Span]) -> int:
    return sum(max(0, min(b, d) - max(a, c)) for a, b in some for c, d in others)
