"""A route as a page of its own, to be put into somebody else's page.

It is a whole document that the site generator never sees. It works in a sandboxed frame without an
origin, so it keeps nothing in the browser; every link in it opens a window.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from softpedal.site import wording
from softpedal.site._picture_route import picture_text
from softpedal.site.addresses import embed_path, route_path
from softpedal.site.dated import dated_values
from softpedal.site.drawings import strip_of
from softpedal.site.figures_hold import hours_held, way_back_figures, way_out
from softpedal.site.language import language_values, tr
from softpedal.site.legend import looks_key
from softpedal.site.loaded import ASSETS, LEAFLET, LEAFLET_STYLE
from softpedal.site.panels import shut_words
from softpedal.site.pictures import MAP, SHEET_MAPS
from softpedal.site.published import StaticFile, absolute_address
from softpedal.site.render import render
from softpedal.site.route_view import big_figures, hardest_bit
from softpedal.site.strip import large_strip
from softpedal.site.text import inline

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

STYLE_SHEETS = ("softpedal.css", "softpedal-embed.css")
#: softpedal-map.js loads what else the map needs; a withdrawn route has none.
DATES, MAP_SCRIPT = "softpedal-dates.js", "softpedal-map.js"

MORE = "All cues, hours and the full caution on {site}"
GONE = "The page of this route on {site}"


def embed_files(
    route: Route, measures: Measures, settings: Settings, link: Link, *, background: bool
) -> list[StaticFile]:
    """Return the embed page of a route; the map's data and pictures are those of the route's page.

    Args:
        route: the route.
        measures: of the route.
        settings: of the library.
        link: addresses, whole ones too where the site's is known.
        background: whether the route's page has the file background.js.
    """
    html = _Embed(route, measures, settings, link).html(background=background)
    return [StaticFile(embed_path(route.id), html.encode())]


class _Embed:
    def __init__(self, route: Route, measures: Measures, settings: Settings, link: Link) -> None:
        self.route, self.measures, self.settings = route, measures, settings
        self.link, self.path = link, embed_path(route.id)

    def html(self, *, background: bool) -> str:
        notes = self.route.notes
        gone = notes.withdrawn
        dated = dated_values(self.route, self.measures, self.settings)
        dated["alerts"] = [row | {"text": outward(row["text"])} for row in dated["alerts"]]
        scripts = (DATES,) if gone else (DATES, MAP_SCRIPT)
        return render(
            "embed.html",
            **language_values(),
            canonical=absolute_address(self.link, route_path(self.route.id)),
            styles=[self._asset(name) for name in STYLE_SHEETS],
            scripts=[self._asset(name) for name in scripts],
            title=notes.title,
            site=self.settings.title,
            ends=tr("From {start} to {finish}", start=notes.start, finish=notes.finish),
            page=self._address(route_path(self.route.id)),
            more=tr(GONE if gone else MORE, site=self.settings.title),
            draft=notes.status == "draft",
            withdrawn=gone and outward(inline(gone.why)),
            instead=gone and gone.instead and self._address(route_path(gone.instead)),
            caution=tr(wording.CAUTION_SHORT),
            way=None if gone else self._way(),
            map=None if gone else self._map(background=background),
            **dated,
        )

    def _way(self) -> dict[str, Any]:
        """Return the way out in its leading state, and what holds at other hours."""
        units, out = self.settings.units, self.measures.outbound
        views = way_out(self.measures, units)
        first, others = views[0], views[1:]
        shut = shut_words(first)
        return {
            "shut": shut,
            "shut_at_times": [words for view in others if (words := shut_words(view))],
            "when": hours_held(views),
            "back": way_back_figures(self.measures, units),
            "figures": big_figures(out, first.state, units),
            "hardest": "" if shut else outward(hardest_bit(out, units, first.state)),
            "strip": Markup(large_strip(strip_of(out, first.state, units))),  # noqa: S704
            "key": Markup(looks_key(s.kind for s, _ in first.state.legs)),  # noqa: S704
        }

    def _map(self, *, background: bool) -> dict[str, str]:
        here = f"routes/{self.route.id}/"
        return {
            "id": self.route.id,
            "label": tr(
                "Map of {title}; the strip holds its legs, and the route’s page all that is on it",
                title=self.route.notes.title,
            ),
            "route": self._address(f"{here}map.js"),
            "background": self._address(f"{here}background.js") if background else "",
            "leaflet": self._address(LEAFLET),
            "leaflet_style": self._address(LEAFLET_STYLE),
            "picture": self._address(f"{here}{MAP}"),
            "picture_small": self._address(f"{here}{SHEET_MAPS['outbound']}"),
            "picture_words": picture_text(self.route, self.measures, self.settings),
        }

    def _asset(self, name: str) -> str:
        return self._address(f"{ASSETS}/{name}")

    def _address(self, target: str) -> str:
        return self.link(target, self.path)


def outward(html: Markup) -> Markup:
    """Return an author's text with links that open a window, not the frame."""
    # The text comes from `inline`, in which a `<a href="` that an author typed is escaped.
    return Markup(  # noqa: S704
        str(html).replace('<a href="', '<a target="_blank" rel="noopener" href="')
    )
