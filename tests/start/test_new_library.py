"""A started library: it holds, it builds, and nothing of anybody's is in it or overwritten."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from importlib import resources
from pathlib import Path

import pytest
from mkdocs.utils.yaml import yaml_load

from softpedal.library.load import load_settings
from softpedal.problems import CannotDoError
from softpedal.start import new_library
from softpedal.start.new_library import EXAMPLE, library_files, start_library
from softpedal.upkeep.check import check_library
from start.started import Host, started

CHOICES = ("download", "lfs", "none")
ODD_TITLES = [
    'Quiet: "ways" #1',
    "'Tis & that's all: {a: [b]}",
    "Wege 🚲 – über Ä",
    "- no",
    "!ENV x",
    "\\n is no line break",
    "two\nlines\u2028here",
]


@pytest.fixture(params=CHOICES)
def library(request, tmp_path):
    return started(tmp_path / "library", request.param)


def test_there_is_nothing_to_report(library) -> None:
    assert check_library(library) == []


@pytest.mark.parametrize("address", ["", "https://rides.example/quiet/"])
def test_it_builds_strictly_with_and_without_an_address(library, address) -> None:
    host = Host(library, {"SITE_URL": address} if address else {})
    assert host.run("mkdocs build --strict", "sh -e"), host.said
    page = (library / "site" / EXAMPLE / "index.html").read_text("utf-8")
    assert "There is no such place, and nobody can ride here." in page
    assert "not a place to ride" in page
    assert (library / "site/feed.xml").is_file() == bool(address)
    assert "Traceback" not in host.said
    for path in (library / "site").rglob("*.html"):
        text = path.read_text("utf-8")
        asked = (
            r'<(?:script|img)[^>]* src="(https?:[^"]+)|<link rel="stylesheet"[^>]*"(https?:[^"]+)'
        )
        assert re.findall(asked, text) == [], path


@pytest.mark.parametrize("title", ODD_TITLES)
def test_any_title_is_text(title, tmp_path) -> None:
    library = started(tmp_path / "library", title=title)
    plain = " ".join(title.split())
    settings, problems = load_settings(library / "softpedal.yml")
    assert problems == []
    assert settings.title == plain
    assert yaml_load((library / "mkdocs.yml").read_text("utf-8"))["site_name"] == plain


@pytest.mark.parametrize("title", ["", "   ", "a <b>title</b>", "nul\0", "bell\a"])
def test_what_is_no_title_is_refused(title) -> None:
    with pytest.raises(CannotDoError, match="cannot be the title") as error:
        library_files(title, "none", "")
    assert "plain text on one line" in error.value.hint


def test_every_file_can_be_read_by_its_readers(library) -> None:
    for path in library.rglob("*"):
        if path.suffix == ".json":
            json.loads(path.read_text("utf-8"))
        elif path.suffix == ".yml":
            assert yaml_load(path.read_text("utf-8"))
        if path.is_file():
            text = path.read_text("utf-8")
            assert text.endswith("\n"), path
            assert not text.endswith("\n\n"), path
            assert "\n\n\n" not in text, path
            assert not re.search("[ \t]$", text, re.MULTILINE), path
            assert not re.search("<<|<%|%>", text), path


def test_editors_get_the_schemas_of_the_package(library) -> None:
    mapped = json.loads((library / ".vscode/settings.json").read_text())["yaml.schemas"]
    assert mapped == {
        ".schemas/notes.schema.json": "routes/*/notes.yml",
        ".schemas/settings.schema.json": "softpedal.yml",
    }
    for schema, pattern in mapped.items():
        own = resources.files("softpedal.library").joinpath(Path(schema).name)
        assert (library / schema).read_text("utf-8") == own.read_text("utf-8")
        assert list(library.glob(pattern))
    first = (library / EXAMPLE / "notes.yml").read_text("utf-8").splitlines()[0]
    named = first.removeprefix("# yaml-language-server: $schema=")
    assert (library / EXAMPLE / named).resolve() == library / ".schemas/notes.schema.json"


def test_nobody_is_named(library) -> None:
    """Addresses are those of invented hosts; actions are the host's own."""
    for path in library.rglob("*"):
        if not path.is_file() or path.suffix in {".json", ".gpx"}:
            continue
        text = path.read_text("utf-8")
        hosts = re.findall(r"(?:https?://|@)([a-z0-9-]+(?:\.[a-z0-9-]+)+)", text)
        assert all(host.endswith((".example", "example.org", "127.0.0.1")) for host in hosts), path
        assert {used.split("/")[0] for used in re.findall("uses: (.+)", text)} <= {"actions"}


@pytest.mark.parametrize("extract", CHOICES)
def test_the_map_comes_as_was_chosen(extract, tmp_path) -> None:
    library = started(tmp_path / "library", extract)
    settings, _ = load_settings(library / "softpedal.yml")
    assert settings.extract == (None if extract == "none" else "maps/town.osm.pbf")
    github = (library / ".github/workflows/pages.yml").read_text("utf-8")
    assert ("lfs: true" in github) == (extract == "lfs")
    for workflow in (github, (library / ".gitlab-ci.yml").read_text("utf-8")):
        assert ("EXTRACT_URL" in workflow) == (extract == "download")
    attributes = library / ".gitattributes"
    assert attributes.exists() == (extract == "lfs")
    assert ("Open Database License" in (library / "README.md").read_text("utf-8")) == (
        extract != "none"
    )


def _git(library: Path, *arguments: str) -> str:
    command = ["git", "-c", "user.name=A", "-c", "user.email=a@rides.example", *arguments]
    done = subprocess.run(command, cwd=library, check=True, capture_output=True, text=True)
    return done.stdout


def test_git_keeps_the_library_and_nothing_else(library) -> None:
    extract = "fetched" if (library / ".gitignore").read_text().count("maps/") else "kept"
    made = ("site/index.html", ".softpedal/x", "public/index.html")
    for name in ("rides/ride.gpx", "maps/town.osm.pbf", ".venv/x", *made):
        (library / name).parent.mkdir(exist_ok=True)
        (library / name).write_text("x")
    _git(library, "init", "--quiet")
    # Git LFS need not be at hand to see which paths git takes
    _git(library, "-c", "filter.lfs.clean=cat", "-c", "filter.lfs.required=false", "add", ".")
    _git(library, "commit", "--quiet", "-m", "A library")
    kept = set(_git(library, "ls-files").splitlines())
    files = {p.relative_to(library).as_posix() for p in library.rglob("*") if p.is_file()}
    ours = set(library_files("Quiet ways", "lfs", ""))
    assert kept - ours == ({"maps/town.osm.pbf"} if extract == "kept" else set())
    assert ours & files == kept & ours
    ignored = _git(library, "status", "--ignored", "--short").split("\n")
    assert {"!! rides/", "!! site/", "!! .softpedal/", "!! .venv/", "!! public/"} <= set(ignored)


def test_a_repository_without_a_file_is_empty(tmp_path) -> None:
    _git(tmp_path, "init", "--quiet", "library")
    started(tmp_path / "library")
    assert (tmp_path / "library/mkdocs.yml").is_file()


@pytest.mark.parametrize("held", ["mkdocs.yml", ".gitignore", "something else"])
def test_a_folder_that_holds_something_is_left_as_it_is(held, tmp_path) -> None:
    (tmp_path / held).write_text("mine")
    with pytest.raises(CannotDoError, match=f"is not empty: it holds {held}"):
        started(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == [held]
    assert (tmp_path / held).read_text() == "mine"


def test_many_names_are_cut_short(tmp_path) -> None:
    for number in range(7):
        (tmp_path / f"f{number}").write_text("")
    with pytest.raises(CannotDoError, match="it holds f0, f1, f2, f3, f4, …"):
        started(tmp_path)


def test_a_second_start_is_refused(tmp_path) -> None:
    library = started(tmp_path / "library")
    before = {p: p.stat().st_mtime_ns for p in library.rglob("*")}
    with pytest.raises(CannotDoError, match="is not empty"):
        started(library, title="Another")
    assert {p: p.stat().st_mtime_ns for p in library.rglob("*")} == before


@pytest.mark.parametrize("is_there", [True, False])
def test_what_cannot_be_written_whole_is_taken_away(is_there, tmp_path) -> None:
    folder = tmp_path / "deep" / "library"
    if is_there:
        folder.mkdir(parents=True)
    with pytest.raises(OSError, match="README"):
        start_library(folder, {"README.md": "x", "docs/index.md": "x", "README.md/no": "x"})
    assert list(tmp_path.rglob("*")) == ([folder.parent, folder] if is_there else [])


def test_every_template_is_used_and_packaged() -> None:
    """The glob of pyproject.toml takes a folder's files, and none that begins with a dot."""
    folder = resources.files("softpedal.start").joinpath("templates")
    there = {path.name for path in folder.iterdir()}
    used = set(new_library.FILES.values()) | set(new_library.LFS_FILES.values())
    assert there == used | {"install.sh", "fetch-extract.sh"}
    assert not [name for name in there if name.startswith(".")]
    project = Path(__file__).parents[2] / "pyproject.toml"
    assert '"start/templates/*"' in project.read_text("utf-8")


def test_the_example_can_be_taken_away_once_another_route_is_there(tmp_path) -> None:
    library = started(tmp_path / "library")
    shutil.copytree(library / EXAMPLE, library / "routes/mine")
    shutil.rmtree(library / EXAMPLE)
    assert check_library(library) == []
    assert Host(library).run("mkdocs build --strict", "sh -e")
