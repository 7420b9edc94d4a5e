"""Under `mkdocs serve` a save makes one route anew, and the site is the one made from nothing."""

from __future__ import annotations

import io
import json
import logging
import re
import shutil
import warnings
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort
from mkdocs.structure.pages import Page
from PIL import Image

from building import LAT, LON, crossing, leg, line_east, line_north, make_route, notes
from site_building import CONFIG, Site
from softpedal.mkdocs_plugin.served import ServedFile
from softpedal.mkdocs_plugin.served_pages import _Template
from softpedal.site import publish as publishing
from softpedal.site.addresses import route_path

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from mkdocs.structure.files import File

QUAY, MILL, LOCK, WEIR = "quay-to-green", "mill-lane", "lock-walk", "weir-loop"
URL = "http://127.0.0.1:8000/"


def jpeg(colour: tuple[int, int, int]) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(out, "JPEG")
    return out.getvalue()


def make_library(folder: Path) -> None:
    """Four routes that meet: one with a photo and a story, one across it, two on from it."""
    busy = leg("600 m", "mixed street", "Dock Road", speed_limit="50 km/h", lanes=4)
    make_route(
        folder,
        notes(
            title="Quay to Green",
            legs=[leg("start", "back street"), busy],
            crossings=[crossing("1.1 km", "signals", vehicles_per_day=9000, lanes=2)],
            photos=[{"file": "lock.jpg", "at": "500 m", "alt": "A lock."}],
        ),
        line_east(2000, height=8.0),
        id=QUAY,
        files={"story.md": "It rained.\n", "photos/lock.jpg": jpeg((90, 120, 60))},
    )
    across = line_north(1500, lat=LAT - 0.006, lon=LON + 0.01)
    make_route(folder, notes(title="Mill Lane", area=["Mill Side"]), across, id=MILL)
    make_route(folder, notes(title="Lock Walk"), line_east(1200, lon=LON + 0.0279), id=LOCK)
    make_route(folder, notes(title="Weir Loop"), line_east(900, lat=LAT + 0.02), id=WEIR)
    (folder / "docs").mkdir()
    (folder / "docs" / "index.md").write_text("# Home\n\n[All routes](routes/index.md)\n")
    (folder / "docs" / "about.md").write_text(
        "# About\n\n[The quay](routes/quay-to-green/index.md)\n"
    )
    configure(folder)


def configure(folder: Path, **changes: Any) -> None:
    nav = [*CONFIG["nav"], "about.md", {"Weir": route_path(WEIR)}]
    (folder / "mkdocs.yml").write_text(yaml.safe_dump({**CONFIG, "nav": nav, **changes}))


class Serve:
    """The rebuilds of one `mkdocs serve`, as its server starts them."""

    def __init__(self, library: Path) -> None:
        self.library, self.site = library, library / "site"
        self.plugin = self.config().plugins["softpedal"]
        self.state: dict[str, Any] | None = None

    def config(self) -> Any:
        config = load_config(str(self.library / "mkdocs.yml"), site_dir=str(self.site))
        config.site_url = URL
        return config

    def rebuild(self) -> Site:
        """Build again; MkDocs has one instance of a plugin in a process, so its state is ours."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # MkDocs' and the theme's own
            config = self.config()
            if self.state is None:
                config.plugins.on_startup(command="serve", dirty=False)
            else:
                vars(self.plugin).update(self.state)
            try:
                build(config, serve_url=URL)
            finally:
                kept = ("author", "is_dirty", "served")
                self.state = {name: getattr(self.plugin, name) for name in kept}
        return Site(self.site, [], [])


def anew(library: Path, to: Path) -> dict[str, bytes]:
    """Return the files of a site served from a copy of a library, by a server that just began."""
    shutil.rmtree(to, ignore_errors=True)
    shutil.copytree(library, to, ignore=shutil.ignore_patterns("site", ".softpedal"))
    return Serve(to).rebuild().files()


@pytest.fixture
def library(tmp_path) -> Path:
    folder = tmp_path / "library"
    make_library(folder)
    return folder


@contextmanager
def edited(path: Path) -> Iterator[dict[str, Any]]:
    data = yaml.safe_load(path.read_text()) if path.exists() else {}
    yield data
    path.write_text(yaml.safe_dump(data, sort_keys=False))


def edits(library: Path) -> Iterator[str]:  # noqa: PLR0915 - a list, one after the other
    """Make one change after the other, and say which."""
    routes = library / "routes"
    quay = routes / QUAY / "notes.yml"
    with edited(quay) as data:
        data["legs"][1]["street"] = "Chandler Street"
    yield "a street"
    with edited(quay) as data:
        data["title"] = "From Quay to Green"
    yield "a title, that stands on other routes' pages"
    with edited(routes / WEIR / "notes.yml") as data:
        data["title"] = "Weir Way"
    yield "the title of a page in the navigation"
    with edited(routes / MILL / "notes.yml") as data:
        data["area"] = ["Lindenferry", "Mill Side"]
        data["legs"] = [leg("start", "mixed street", speed_limit="50 km/h", lanes=4)]
    yield "an area, and a street that is not quiet"
    moved = line_north(1500, lat=LAT - 0.006, lon=LON + 0.012)
    make_route(library, yaml.safe_load((routes / MILL / "notes.yml").read_text()), moved, id=MILL)
    yield "a track"
    alert = {"at": f"{LAT}, {LON + 0.012}", "radius": "50 m", "from": "2026-05-01", "text": "Shut."}
    (library / "alerts.yml").write_text(yaml.safe_dump([alert]))
    yield "an alert for all that pass a place"
    alert["at"] = f"{LAT + 0.02}, {LON + 0.002}"
    (library / "alerts.yml").write_text(yaml.safe_dump([alert]))
    yield "an alert that moved"
    (library / "alerts.yml").unlink()
    yield "no alert"
    (library / "softpedal.yml").write_text("units: imperial\nlanguage: xx\n")
    (library / "languages").mkdir()
    yield "settings, with a language that is not there"
    with edited(library / "languages" / "en-GB.yml") as data:
        data["About this route"] = "About"
        data["Crosses"] = "Goes over"
    (library / "softpedal.yml").write_text("language: en-GB\n")
    yield "a language"
    with edited(library / "languages" / "en-GB.yml") as data:
        data["Crosses"] = "Meets"
    yield "a word of the language"
    ground = {"type": "FeatureCollection", "features": [water(0.002)]}
    (library / "ground.geojson").write_text(json.dumps(ground))
    (library / "softpedal.yml").write_text("background: ground.geojson\n")
    yield "a background"
    ground["features"] = [water(0.004)]
    (library / "ground.geojson").write_text(json.dumps(ground))
    yield "another background"
    make_route(library, notes(title="Kiln"), line_east(700, lat=LAT + 0.001), id="kiln")
    yield "a new route"
    (routes / MILL).rename(routes / "a-mill-lane")
    yield "a route with another id"
    shutil.rmtree(routes / LOCK)
    yield "a route less"
    (routes / QUAY / "photos" / "lock.jpg").write_bytes(jpeg((20, 20, 160)))
    yield "a photo"
    (routes / QUAY / "story.md").write_text("It *snowed*.\n")
    yield "a story"
    (routes / QUAY / "story.md").unlink()
    yield "no story"
    text = quay.read_text()
    quay.write_text("title: [\n")
    yield "notes that cannot be read"
    quay.write_text(text)
    yield "notes that can be read again"
    with edited(quay) as data:
        data["status"] = "draft"
    yield "a draft"
    with edited(quay) as data:
        data["status"] = "published"
        data["was"] = ["old-quay"]
    yield "a route with an old id"
    (library / "docs" / "about.md").write_text("# About us\n\n[Kiln](routes/kiln/index.md)\n")
    yield "a page of the author's own"
    configure(library, site_name="Another name")
    yield "the configuration"
    configure(library, markdown_extensions=["attr_list", {"toc": {"permalink": True}}])
    yield "an extension of the Markdown"
    configure(library, theme={"name": "mkdocs"})
    yield "a theme"
    configure(library)
    yield "the theme that was"
    (library / "docs" / "routes" / "kiln").mkdir(parents=True)
    (library / "docs" / route_path("kiln")).write_text("# Ours in place of theirs\n")
    yield "a page that takes a generated one's place"
    shutil.rmtree(library / "docs" / "routes")
    yield "the generated page in its place again"
    yield "nothing"


def water(size: float) -> dict[str, Any]:
    west, south = LON + 0.001, LAT - 0.001
    ring = [(0, 0), (size, 0), (size, size), (0, size), (0, 0)]
    shape = {"type": "Polygon", "coordinates": [[(west + x, south + y) for x, y in ring]]}
    return {"type": "Feature", "properties": {"layer": "water"}, "geometry": shape}


def test_after_any_change_the_site_is_the_one_made_from_nothing(
    library, tmp_path, monkeypatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1780000000")  # a home page may say when it was built
    serve = Serve(library)
    before = serve.rebuild().files()
    for change in edits(library):
        now = serve.rebuild().files()
        whole = anew(library, tmp_path / "anew")
        assert now.keys() == whole.keys(), change
        assert [path for path in whole if whole[path] != now[path]] == [], change
        assert change == "nothing" or now != before, change
        before = now


def counted(monkeypatch: pytest.MonkeyPatch, of: object, name: str) -> list[Any]:
    """Count the calls of a function: their first arguments."""
    calls: list[Any] = []
    real: Callable[..., Any] = getattr(of, name)

    def called(first: Any, *args: Any, **kwargs: Any) -> Any:
        calls.append(first)
        return real(first, *args, **kwargs)

    monkeypatch.setattr(of, name, called)
    return calls


def test_a_save_makes_that_route_alone(library, monkeypatch) -> None:
    """Asked is what is slow: measuring and drawing, Markdown, templates, and writing files."""
    serve = Serve(library)
    serve.rebuild()
    serve.rebuild()
    made = counted(monkeypatch, publishing, "publish_route")
    rendered = counted(monkeypatch, Page, "render")
    filled = counted(monkeypatch, _Template, "fill")
    copied = counted(monkeypatch, ServedFile.__base__, "copy_file")
    with edited(library / "routes" / LOCK / "notes.yml") as data:
        data["legs"][0]["street"] = "Towpath Steps"
    page = serve.rebuild().text(f"routes/{LOCK}/index.html")
    assert "Towpath Steps" in page
    assert [folder.name for folder in made] == [LOCK]
    of_routes = [page.file.src_uri for page in rendered if page.file.src_uri.startswith("routes/")]
    # What stands in the navigation is rendered each time; it is made before a plugin is asked.
    assert set(of_routes) == {route_path(LOCK), "routes/index.md", route_path(WEIR)}
    assert len(filled) <= 4  # the route, the home page, and those that are no pages
    again = {file.src_uri for file in copied if is_of_a_route(file)}
    assert again
    assert all(path.startswith(f"routes/{LOCK}/") for path in again)


def test_an_alert_makes_those_routes_alone_that_it_may_reach(library, monkeypatch) -> None:
    serve = Serve(library)
    serve.rebuild()
    made = counted(monkeypatch, publishing, "publish_route")
    place = {"at": f"{LAT}, {LON + 0.001}", "radius": "30 m"}
    write = (library / "alerts.yml").write_text
    for text in ("Quay shut.", "Quay half shut."):
        write(yaml.safe_dump([{**place, "from": "2026-05-01", "text": text}]))
        assert text in serve.rebuild().text(f"routes/{QUAY}/index.html")
    assert [folder.name for folder in made] == [QUAY, QUAY]


def is_of_a_route(file: File) -> bool:
    return re.fullmatch(r"routes/[^/]+/.+", file.src_uri) is not None


def test_a_rebuild_tells_what_it_has_recomputed(library, caplog) -> None:
    serve = Serve(library)
    caplog.set_level(logging.INFO, "mkdocs.plugins.softpedal")
    serve.rebuild()
    assert re.search(r"4 routes recomputed: .+, \d+\.\d s", caplog.text)
    caplog.clear()
    with edited(library / "routes" / LOCK / "notes.yml") as data:
        data["summary"] = "By the water."
    serve.rebuild()
    assert re.search(rf"1 route recomputed: {LOCK}, \d+\.\d s", caplog.text)


def test_another_plugin_may_look_at_anything_so_pages_are_made_anew(library, tmp_path) -> None:
    """A hook writes into every page how many routes there are."""
    (library / "hook.py").write_text(
        "def on_page_content(html, page, config, files):\n"
        "    return html + str(sum(f.src_uri.startswith('routes/') for f in files))\n"
    )
    configure(library, hooks=["hook.py"])
    serve = Serve(library)
    serve.rebuild()
    make_route(library, notes(title="Kiln"), line_east(700, lat=LAT + 0.001), id="kiln")
    assert serve.rebuild().files() == anew(library, tmp_path / "anew")


def test_a_rebuild_after_one_that_failed_is_whole(library, tmp_path) -> None:
    serve = Serve(library)
    serve.rebuild()
    (library / "routes").rename(library / "elsewhere")
    with pytest.raises(Abort):
        serve.rebuild()
    (library / "elsewhere").rename(library / "routes")
    assert serve.rebuild().files() == anew(library, tmp_path / "anew")


def test_a_build_keeps_nothing(library) -> None:
    config = load_config(str(library / "mkdocs.yml"), site_dir=str(library / "site"))
    config.plugins.on_startup(command="build", dirty=False)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        build(config)
    assert config.plugins["softpedal"].served is None
    assert not (library / "site" / ".softpedal").exists()
