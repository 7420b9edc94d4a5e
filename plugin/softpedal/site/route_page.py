"""The page of one route."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from markupsafe import Markup, escape

from softpedal.site import wording
from softpedal.site.about import about
from softpedal.site.addresses import HOW_WE_MEASURE, route_path
from softpedal.site.downloads import gpx_name, offered
from softpedal.site.drawings import map_of, profile_of, strip_of
from softpedal.site.legend import looks_key
from softpedal.site.published import Page, StaticFile, slot
from softpedal.site.render import render
from softpedal.site.route_view import (
    big_figures,
    confirmed_words,
    facts,
    hardest_bit,
    week_rows,
)
from softpedal.site.strip import large_strip
from softpedal.site.text import inline, markdown_text
from softpedal.site.timetable import Timetable

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.problems import Problem
    from softpedal.settings import Settings
    from softpedal.site.published import Link
    from softpedal.site.timetable import Row

LEAFLET = "assets/softpedal/vendored/leaflet-1.9.4/leaflet.js"
LEAFLET_STYLE = "assets/softpedal/vendored/leaflet-1.9.4/leaflet.css"


class RoutePage:
    """Builds the page of one route and the data of its map."""

    def __init__(
        self,
        route: Route,
        measures: Measures,
        settings: Settings,
        link: Link,
        *,
        background: str = "",
        author: bool = False,
    ) -> None:
        self.route, self.measures, self.settings = route, measures, settings
        self.link, self.background, self.author = link, background, author
        self.path = route_path(route.id)
        self.units = settings.units
        out = measures.outbound
        self.rows = Timetable(route, out, out.leading, self.units).rows()

    def files(self) -> list[StaticFile]:
        """Return the scripts that the page's map loads."""
        folder = f"routes/{self.route.id}"
        data = map_of(
            self.route,
            self.measures.outbound,
            self.rows,
            self.settings.background_attribution,
            self.units,
        )
        files = [StaticFile(f"{folder}/map.js", data.encode())]
        if self.background:
            files.append(StaticFile(f"{folder}/background.js", self.background.encode()))
        return files

    def page(self) -> Page:
        """Return the page: words and headings in Markdown, the rest late."""
        late = {
            "head": self._head(),
            "map": self._map(),
            "legs": render("timetable.html", rows=self.rows, caption=_ends(self.route)),
            "figures": render(
                "all_figures.html",
                facts=facts(self.route, self.measures, self.measures.outbound, self.units),
                profile=Markup(profile_of(self.measures.outbound, self.units)),  # noqa: S704
                measure_page=self._address(HOW_WE_MEASURE),
            ),
            "hours": render("week.html", rows=week_rows(self.measures, self.units), **self._week()),
            "back": self._way_back(),
            "caution": caution_box(self.settings, self.measures.ridden_on),
            "take": self._take(),
            "about": about(self.route, self.measures, self.units, self._address),
        }
        headings = "\n\n".join(
            f"## {wording.HEADINGS[name]}\n\n{slot(name)}" for name in late if name != "head"
        )
        notes = self.route.notes
        meta = {"title": notes.title, "description": notes.summary}
        front = "\n".join(f"{key}: {json.dumps(value)}" for key, value in meta.items())
        markdown = (
            f"---\n{front}\n---\n\n# {markdown_text(notes.title)}\n\n"
            f'<p class="sp-ends">{inline(_ends(self.route))}</p>\n\n'
            f"{slot('head')}\n\n{headings}\n\n"
            f'<p class="sp-where">{escape(_where(self.route))}</p>\n\n{slot("onward")}\n'
        )
        return Page(self.path, markdown, late, self.route.folder / "notes.yml")

    def _address(self, target: str) -> str:
        return self.link(target, self.path)

    def _head(self) -> str:
        out, notes = self.measures.outbound, self.route.notes
        instead = notes.withdrawn.instead if notes.withdrawn else None
        return render(
            "head.html",
            summary=inline(notes.summary),
            draft=notes.status == "draft",
            withdrawn=notes.withdrawn and inline(notes.withdrawn.why),
            instead=instead and self._address(route_path(instead)),
            alerts=self._alerts(),
            figures=big_figures(out, out.leading, self.units),
            shut=not out.leading.passable,
            ridden_on=self.measures.ridden_on,
            ridden_words=self.measures.ridden_on and wording.date_words(self.measures.ridden_on),
            caution=wording.CAUTION_SHORT,
            hardest=hardest_bit(out, self.units),
            strip=Markup(large_strip(strip_of(out, out.leading, self.units))),  # noqa: S704
            key=Markup(looks_key(s.kind for s, _ in out.leading.legs)),  # noqa: S704
        )

    def _alerts(self) -> list[dict[str, Any]]:
        return [
            {
                "from": alert.from_,
                "until": alert.until or "",
                "when": _span_words(alert.from_, alert.until),
                "text": inline(alert.text),
            }
            for alert in self.route.notes.alerts
        ]

    def _map(self) -> str:
        here = f"routes/{self.route.id}/"
        return render(
            "route_map.html",
            id=self.route.id,
            label=f"Map of {self.route.notes.title}; everything on it also stands in the table "
            "under Turn by turn",
            route=self._address(f"{here}map.js"),
            background=self.background and self._address(f"{here}background.js"),
            leaflet=self._address(LEAFLET),
            leaflet_style=self._address(LEAFLET_STYLE),
            author=self.author,
        )

    def _week(self) -> dict[str, Any]:
        notes = self.route.notes
        return {
            "closed": [wording.hours_words(hours) for hours in notes.closed],
            "week": wording.date_words(self.settings.typical_week),
            "zone": self.settings.time_zone,
            "changes": any(len(self.measures.of(d).states) > 1 for d in ("outbound", "return")),
        }

    def _way_back(self) -> str:
        back = self.measures.way_back
        rows = Timetable(self.route, back, back.leading, self.units).rows()
        return render(
            "way_back.html",
            caption=f"From {self.route.notes.finish} to {self.route.notes.start}",
            own_line=self.route.back is not None,
            figures=big_figures(back, back.leading, self.units),
            shut=not back.leading.passable,
            hardest=hardest_bit(back, self.units),
            strip=Markup(large_strip(strip_of(back, back.leading, self.units))),  # noqa: S704
            facts=facts(self.route, self.measures, back, self.units),
            confirmed=confirmed_words(back),
            rows=[_unlinked(row) for row in rows],
        )

    def _take(self) -> str:
        names = {
            "outbound": f"From {self.route.notes.start} to {self.route.notes.finish}",
            "return": f"From {self.route.notes.finish} to {self.route.notes.start}",
        }
        files = [
            {
                "words": names[direction],
                "address": self._address(
                    f"routes/{self.route.id}/{gpx_name(self.route, direction)}"
                ),
            }
            for direction in offered(self.route)
        ]
        return render(
            "take.html",
            files=files,
            withdrawn=self.route.notes.status == "withdrawn",
            back=len(files) > 1,
        )


def caution_box(settings: Settings, ridden_on: str | None) -> str:
    """Return the standard caution box."""
    ridden = wording.CAUTION_NOT_RIDDEN
    if ridden_on:
        ridden = wording.CAUTION_RIDDEN.format(date=wording.date_words(ridden_on))
    sentences = [
        s.format(ridden=ridden, emergency=settings.emergency_number) for s in wording.CAUTION
    ]
    return render(
        "caution.html",
        title=wording.CAUTION_TITLE,
        caution=sentences,
        report=settings.report_address,
    )


def ride_on_list(others: Mapping[str, str], path: str, link: Link) -> str:
    """Return links to the routes that one can ride on to, by id and title, for a page."""
    onward = [{"title": t, "address": link(route_path(o), path)} for o, t in others.items()]
    return render("onward.html", onward=onward)


def fault_page(route_id: str, problems: Sequence[Problem]) -> Page:
    """Return the page that an author sees, under `mkdocs serve` only, for a route with errors."""
    late = {"faults": render("faults.html", problems=problems)}
    markdown = (
        f"---\ntitle: {json.dumps(route_id)}\n---\n\n# {markdown_text(route_id)}\n\n"
        f"{slot('faults')}\n"
    )
    return Page(route_path(route_id), markdown, late)


def _ends(route: Route) -> str:
    return f"From {route.notes.start} to {route.notes.finish}"


def _where(route: Route) -> str:
    """What a reader would search for, in plain sentences: streets, landmarks and areas."""
    streets = list(dict.fromkeys(p.item.street for p in route.along.legs))
    landmarks = list(dict.fromkeys(p.item.what for p in route.along.landmarks))
    text = f"By {_listed(streets)}."
    if landmarks:
        text += f" Past {_listed(landmarks)}."
    return f"{text} In {_listed(list(route.notes.area))}."


def _listed(names: list[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _span_words(start: str, end: str | None) -> str:
    if end is None:
        return f"From {wording.date_words(start)}"
    return f"{wording.date_words(start)} to {wording.date_words(end)}"


def _unlinked(row: Row) -> Row:
    """The way back's rows do not light the outbound map."""
    return replace(row, leg=None)
