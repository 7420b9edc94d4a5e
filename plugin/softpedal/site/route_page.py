"""The page of one route."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from markupsafe import escape

from softpedal.library.notes import DIRECTIONS
from softpedal.site import wording
from softpedal.site._picture_route import picture_text
from softpedal.site.about import about
from softpedal.site.addresses import HOW_WE_MEASURE, route_path
from softpedal.site.author_lines import AUTHOR_LINES, author_lines_script
from softpedal.site.cue_sheet import cue_file_name
from softpedal.site.dated import dated_values
from softpedal.site.downloads import geojson_name, gpx_name, offered
from softpedal.site.drawings import map_of
from softpedal.site.head import route_head
from softpedal.site.language import date, tr
from softpedal.site.loaded import LEAFLET, LEAFLET_STYLE
from softpedal.site.panels import NAMES, Panels, states_script
from softpedal.site.pictures import CARD, CODE, MAP, SHEET_MAPS, has_card
from softpedal.site.published import Page, StaticFile, absolute_address, slot
from softpedal.site.render import render
from softpedal.site.report_link import report_at, report_link
from softpedal.site.route_view import confirmed_words
from softpedal.site.share import share_section
from softpedal.site.text import front_text, in_markdown, inline, markdown_text
from softpedal.site.variants import HEADING, variants_section
from softpedal.site.week_view import week_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.problems import Problem
    from softpedal.settings import Settings
    from softpedal.site.published import Link

HEADINGS = {**wording.HEADINGS, "variants": HEADING}


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
        reports = report_at(settings, route, link)
        self.panels = Panels(route, measures, settings.units, reports)
        self.out, self.back = (self.panels.leading(d) for d in DIRECTIONS)
        self.shown = {view.key: self.panels.of(view) for view in (self.out, self.back)}
        self.further = self.panels.further()

    def files(self) -> list[StaticFile]:
        """Return the scripts that the page's map loads."""
        folder = f"routes/{self.route.id}"
        rows = {view.key: (view, self.panels.rows(view)) for view in self.panels.views}
        data = map_of(self.route, rows, self.settings)
        files = [StaticFile(f"{folder}/map.js", data.encode())]
        if self.further:
            states = states_script(self.route.id, self.further)
            files.append(StaticFile(f"{folder}/states.js", states.encode()))
        if self.background:
            files.append(StaticFile(f"{folder}/background.js", self.background.encode()))
        if self.author:
            listed = {key: found for key, (_, found) in rows.items()}
            lines = author_lines_script(self.route, listed)
            files.append(StaticFile(f"{folder}/{AUTHOR_LINES}", lines.encode()))
        return files

    def page(self) -> Page:
        """Return the page: words and headings in Markdown, the rest late."""
        late = {
            "head": self._head(),
            "map": self._map(),
            "legs": self.shown[self.out.key]["legs"],
            "figures": render(
                "all_figures.html",
                facts=self.shown[self.out.key]["facts"],
                measure_page=self._address(HOW_WE_MEASURE),
            ),
            "hours": render("week.html", rows=week_rows(self.measures, self.units), **self._week()),
            "back": self._way_back(),
            "variants": variants_section(self.route, self.measures, self.settings),
            "caution": caution_box(
                self.settings,
                self.measures.ridden_on,
                report_link(self.settings, self.route, self.link),
            ),
            "take": self._take(),
            "share": share_section(self.route, self.link),
            "about": about(self.route, self.measures, self.units, self._address),
        }
        headings = "\n\n".join(
            f"## {tr(HEADINGS[name])}\n\n{slot(name)}"
            for name, content in late.items()
            if name != "head" and (content or name not in {"variants", "share"})
        )
        notes = self.route.notes
        where = in_markdown(escape(_where(self.route)))
        meta = {"title": notes.title, "description": notes.summary}
        front = "\n".join(f"{key}: {front_text(value)}" for key, value in meta.items())
        markdown = (
            f"---\n{front}\n---\n\n# {markdown_text(notes.title)}\n\n"
            f'<p class="sp-ends" data-sp-panel="ends" data-sp-view="{self.out.key}">'
            f"{in_markdown(inline(_ends(self.route)))}</p>\n\n"
            f"{slot('head')}\n\n{headings}\n\n"
            f'<p class="sp-where">{where}</p>\n\n{slot("onward")}\n'
        )
        return Page(
            self.path,
            markdown,
            late,
            self.route.folder / "notes.yml",
            route_head(self.route, self.measures, self.settings, self.link),
            self.measures.ridden_on or "",
        )

    def _address(self, target: str) -> str:
        return self.link(target, self.path)

    def _head(self) -> str:
        notes, shown = self.route.notes, self.shown[self.out.key]
        instead = notes.withdrawn.instead if notes.withdrawn else None
        return render(
            "head.html",
            summary=inline(notes.summary),
            draft=notes.status == "draft",
            withdrawn=notes.withdrawn and inline(notes.withdrawn.why),
            instead=instead and self._address(route_path(instead)),
            id=self.route.id,
            switches=self.panels.switches(),
            states=self.further and self._address(f"routes/{self.route.id}/states.js"),
            figures=shown["figures"],
            caution=tr(wording.CAUTION_SHORT),
            strip=shown["strip"],
            **dated_values(self.route, self.measures, self.settings),
        )

    def _map(self) -> str:
        here = f"routes/{self.route.id}/"
        return render(
            "route_map.html",
            id=self.route.id,
            label=tr(
                "Map of {title}; everything on it also stands in the table under Turn by turn",
                title=self.route.notes.title,
            ),
            route=self._address(f"{here}map.js"),
            background=self.background and self._address(f"{here}background.js"),
            leaflet=self._address(LEAFLET),
            leaflet_style=self._address(LEAFLET_STYLE),
            picture=self._address(f"{here}{MAP}"),
            picture_small=self._address(f"{here}{SHEET_MAPS['outbound']}"),
            picture_words=picture_text(self.route, self.measures, self.settings),
            wait=tr(
                "With JavaScript this map can be moved. The strip above and the table below hold "
                "the same facts."
            ),
            author=self.author and self._address(f"{here}{AUTHOR_LINES}"),
        )

    def _week(self) -> dict[str, Any]:
        notes = self.route.notes
        return {
            "closed": [wording.hours_words(hours) for hours in notes.closed],
            "week": date(self.settings.typical_week),
            "zone": self.settings.time_zone,
            "changes": any(len(self.measures.of(d).states) > 1 for d in ("outbound", "return")),
        }

    def _way_back(self) -> str:
        shown = self.shown[self.back.key]
        return render(
            "way_back.html",
            ends=self.panels.ends("return"),
            key=self.back.key,
            own_line=self.route.back is not None,
            confirmed=confirmed_words(self.measures.way_back),
            panels=[shown[name] for name in NAMES if name != "legs"],
            legs=shown["legs"],
        )

    def _take(self) -> str:
        names = {
            "outbound": _ends(self.route),
            "return": _from_to(self.route.notes.finish, self.route.notes.start),
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
        here = f"routes/{self.route.id}/"
        whole = absolute_address(self.link, self.path)
        return render(
            "take.html",
            files=files,
            withdrawn=self.route.notes.status == "withdrawn",
            back=len(files) > 1,
            data=self._address(f"{here}{geojson_name(self.route)}"),
            map=self._address(f"{here}{MAP}"),
            cues=self._address(f"{here}{cue_file_name(self.route, 'text')}"),
            cues_markdown=self._address(f"{here}{cue_file_name(self.route, 'markdown')}"),
            cues_name=cue_file_name(self.route, "markdown").removesuffix(".txt"),
            sheet_maps=[
                {
                    "direction": direction,
                    "address": self._address(f"{here}{name}"),
                    "words": picture_text(self.route, self.measures, self.settings, direction),
                }
                for direction, name in SHEET_MAPS.items()
            ],
            card=has_card(self.route, self.settings) and self._address(f"{here}{CARD}"),
            code=whole and self._address(f"{here}{CODE}"),
            address=whole,
            ridden=self.measures.ridden_on and date(self.measures.ridden_on),
            attribution=self.settings.background_attribution,
        )


def caution_box(settings: Settings, ridden_on: str | None, report: str) -> str:
    """Return the standard caution box; `report` is the address for reports, or ""."""
    return render(
        "caution.html",
        title=tr(wording.CAUTION_TITLE),
        caution=wording.caution_sentences(ridden_on, settings.emergency_number),
        report=report,
    )


def fault_page(route_id: str, problems: Sequence[Problem]) -> Page:
    """Return the page that an author sees, under `mkdocs serve` only, for a route with errors."""
    late = {"faults": render("faults.html", problems=problems)}
    markdown = (
        f"---\ntitle: {front_text(route_id)}\n---\n\n# {markdown_text(route_id)}\n\n"
        f"{slot('faults')}\n"
    )
    return Page(route_path(route_id), markdown, late)


def _ends(route: Route) -> str:
    return _from_to(route.notes.start, route.notes.finish)


def _from_to(start: str, finish: str) -> str:
    return tr("From {start} to {finish}", start=start, finish=finish)


def _where(route: Route) -> str:
    """What a reader would search for, in plain sentences: streets, landmarks and areas."""
    streets = list(dict.fromkeys(p.item.street for p in route.along.legs))
    landmarks = list(dict.fromkeys(p.item.what for p in route.along.landmarks))
    text = tr("By {streets}.", streets=_listed(streets))
    if landmarks:
        text += " " + tr("Past {landmarks}.", landmarks=_listed(landmarks))
    return f"{text} " + tr("In {areas}.", areas=_listed(list(route.notes.area)))


def _listed(names: list[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return tr("{names} and {last}", names=", ".join(names[:-1]), last=names[-1])
