"""What the workflows' files say is run, in order, as the hosts would; and who may do what there."""

from __future__ import annotations

import os
import re
from typing import TYPE_CHECKING

import pytest
import yaml

from softpedal.start.new_library import EXAMPLE
from start.started import NAMED_ONLY, REQUIREMENT, Host, run_github, run_gitlab, started

if TYPE_CHECKING:
    from pathlib import Path

HOSTS = {"github": (run_github, "site"), "gitlab": (run_gitlab, "public")}
PLAIN = "EXTRACT_URL is not set: maps are drawn on a plain ground."


@pytest.fixture(params=HOSTS)
def host(request):
    return HOSTS[request.param]


def _github(library: Path):
    return yaml.safe_load((library / ".github/workflows/pages.yml").read_text("utf-8"))


@pytest.mark.parametrize("extract", ["download", "lfs", "none"])
def test_a_new_library_is_checked_and_built(host, extract, tmp_path) -> None:
    run, site = host
    at = Host(started(tmp_path / "library", extract))
    assert run(at, address="https://code.example/routes"), at.said
    assert "pip install -r requirements.txt" in at.said
    assert (PLAIN in at.said) == (extract == "download")
    page = (at.library / site / "index.html").read_text("utf-8")
    assert '<link rel="canonical" href="https://code.example/routes/">' in page
    assert (at.library / site / "feed.xml").is_file()


def test_without_an_address_it_builds_too(host, tmp_path) -> None:
    run, site = host
    at = Host(started(tmp_path / "library"))
    assert run(at), at.said
    assert (at.library / site / EXAMPLE / "index.html").is_file()


def test_a_fault_stops_it(host, tmp_path) -> None:
    run, site = host
    at = Host(started(tmp_path / "library"))
    notes = at.library / EXAMPLE / "notes.yml"
    notes.write_text(notes.read_text("utf-8").replace("crossings:", "crosings:"), "utf-8")
    assert not run(at, address="https://code.example/routes")
    assert "notes-unknown-key" in at.said
    assert not (at.library / site).exists()


def test_github_shows_a_fault_at_its_line(tmp_path) -> None:
    at = Host(started(tmp_path / "library"))
    notes = at.library / EXAMPLE / "notes.yml"
    notes.write_text(notes.read_text("utf-8").replace("crossings:", "crosings:"), "utf-8")
    run_github(at)
    assert re.search(rf"^::error file={EXAMPLE}/notes\.yml,line=\d+,col=1,", at.said, re.MULTILINE)


def test_a_requirement_that_nobody_can_fetch_stops_it_with_words(host, tmp_path) -> None:
    run, _ = host
    at = Host(started(tmp_path / "library", requirement=""), programs=NAMED_ONLY)
    assert not run(at)
    assert "requirements.txt does not say where softpedal can be had" in at.said
    (at.library / "requirements.txt").write_text(f"{REQUIREMENT}\n")
    assert run(at), at.said


@pytest.fixture
def town(tmp_path):
    path = tmp_path / "their town.osm"
    path.write_bytes(b"first")
    return path


def test_the_map_is_fetched_and_the_kept_one_does_while_its_host_is_away(
    host, town, tmp_path
) -> None:
    run, _ = host
    at = Host(started(tmp_path / "library"), programs=NAMED_ONLY)
    address = town.as_uri()
    kept = at.library / "maps/town.osm.pbf"
    assert run(at, extract=address), at.said
    assert kept.read_bytes() == b"first"
    assert int(kept.stat().st_mtime) == int(town.stat().st_mtime)
    town.unlink()
    assert run(at, extract=address), at.said
    assert kept.read_bytes() == b"first"
    assert [p.name for p in kept.parent.iterdir()] == ["town.osm.pbf"]


def test_a_newer_map_replaces_the_kept_one(host, town, tmp_path) -> None:
    run, _ = host
    at = Host(started(tmp_path / "library"), programs=NAMED_ONLY)
    kept = at.library / "maps/town.osm.pbf"
    kept.parent.mkdir()
    kept.write_bytes(b"kept")
    at_ns = town.stat().st_mtime_ns
    for seconds, expected in ((3600, b"kept"), (-3600, b"first")):
        os.utime(kept, ns=(at_ns, at_ns + seconds * 10**9))
        assert run(at, extract=town.as_uri()), at.said
        assert kept.read_bytes() == expected


def test_a_map_that_was_never_there_stops_it(host, tmp_path) -> None:
    run, _ = host
    at = Host(started(tmp_path / "library"), programs=NAMED_ONLY)
    assert not run(at, extract=(tmp_path / "nowhere.osm.pbf").as_uri())
    assert "curl: (" in at.said


def test_least_rights_and_pinned_majors(tmp_path) -> None:
    library = started(tmp_path / "library")
    workflow = _github(library)
    assert workflow["permissions"] == {"contents": "read"}
    rights = {name: job["permissions"] for name, job in workflow["jobs"].items()}
    assert rights == {
        "check": {"contents": "read", "pages": "read"},
        "publish": {"pages": "write", "id-token": "write"},
    }
    used = re.findall("uses: (.+)", (library / ".github/workflows/pages.yml").read_text("utf-8"))
    assert len(used) == 6
    assert all(re.fullmatch(r"actions/[a-z-]+@v\d+", action) for action in used)


def test_only_the_default_branch_is_published(tmp_path) -> None:
    library = started(tmp_path / "library")
    jobs = _github(library)["jobs"]
    default = "github.ref_name == github.event.repository.default_branch"
    assert jobs["publish"]["if"] == default
    assert jobs["publish"]["needs"] == "check"
    sent = [s for s in jobs["check"]["steps"] if "pages" in s.get("uses", "")]
    assert len(sent) == 2
    assert all(step["if"] == default for step in sent)
    gitlab = yaml.safe_load((library / ".gitlab-ci.yml").read_text("utf-8"))
    assert gitlab["pages"]["rules"] == [{"if": "$CI_COMMIT_BRANCH == $CI_DEFAULT_BRANCH"}]
    assert gitlab["pages"]["needs"] == ["check"]
    assert gitlab["pages"]["artifacts"]["paths"] == gitlab["check"]["artifacts"]["paths"]


def test_nothing_of_an_author_is_put_into_a_script(tmp_path) -> None:
    """What a host fills in comes as a variable: a branch's name or an address is never run."""
    for step in _github(started(tmp_path / "library"))["jobs"]["check"]["steps"]:
        assert "${{" not in step.get("run", "")
