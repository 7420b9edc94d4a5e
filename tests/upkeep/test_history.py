"""The library as it stood on a day, from real git repositories; git is read and never written."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
from dataclasses import replace

import pytest

from building import load, make_route, notes
from softpedal.library.past_notes import PastAlert, PastNotes
from softpedal.upkeep import history
from softpedal.upkeep.history import NoHistoryError, library_before

ALERT = {"from": "2026-06-01", "until": "2026-06-30", "text": "Works."}


@pytest.fixture(autouse=True)
def _alone(monkeypatch, tmp_path_factory) -> None:
    """No configuration of who runs the tests, and no repository around the folder."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path_factory.getbasetemp()))


def git(folder, *arguments, day="2026-05-01", hour="12:00:00+00:00"):
    who = {f"GIT_{r}_{k}": v for r in ("AUTHOR", "COMMITTER") for k, v in WHO.items()}
    when = {f"GIT_{role}_DATE": f"{day}T{hour}" for role in ("AUTHOR", "COMMITTER")}
    done = subprocess.run(
        ["git", "-C", folder, *arguments],
        env={**os.environ, **who, **when},
        check=True,
        capture_output=True,
    )
    return done.stdout.decode()


WHO = {"NAME": "A Test", "EMAIL": "test@lindenferry.example"}


def commit(folder, day, **more):
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "--message", f"as of {day}", day=day, **more)


def before(library, day, zone=dt.UTC):
    moment = dt.datetime.fromisoformat(day).replace(tzinfo=zone)
    return library_before(library, moment).notes


def told(library, day):
    return {name: past.status for name, past in before(library, day).items()}


@pytest.fixture
def library(tmp_path):
    """A draft on 1 May, published on 10 May with an alert; another route on 20 May."""
    folder = tmp_path / "library"
    folder.mkdir()
    git(folder, "init", "--quiet", "--initial-branch", "main")
    make_route(folder, notes(status="draft"), id="a-way")
    commit(folder, "2026-05-01")
    make_route(folder, notes(alerts=[ALERT]), id="a-way")
    commit(folder, "2026-05-10")
    make_route(folder, notes(title="B"), id="b-way")
    commit(folder, "2026-05-20")
    return folder


def test_notes_are_told_as_they_stood_when_a_day_began(library) -> None:
    assert told(library, "2026-05-10") == {"a-way": "draft"}
    assert before(library, "2026-05-11") == {
        "a-way": PastNotes(
            "published",
            "Ferry Steps to Chapel Green",
            frozenset(["2026-05-16"]),
            frozenset([PastAlert("2026-06-01", "2026-06-30", "Works.")]),
        )
    }
    assert told(library, "2026-05-21") == {"a-way": "published", "b-way": "published"}


def test_a_day_begins_in_the_librarys_time_zone(library) -> None:
    east = dt.timezone(dt.timedelta(hours=13))
    assert set(before(library, "2026-05-21", east)) == {"a-way"}, "noon UTC is past midnight there"
    assert set(before(library, "2026-05-21")) == {"a-way", "b-way"}


def test_a_commit_at_midnight_belongs_to_its_day(library) -> None:
    make_route(library, notes(title="C"), id="c-way")
    commit(library, "2026-06-01", hour="00:00:00+00:00")
    assert "c-way" not in told(library, "2026-06-01")
    assert "c-way" in told(library, "2026-06-02")


def test_a_library_may_be_a_part_of_its_repository(tmp_path) -> None:
    git(tmp_path, "init", "--quiet")
    library = tmp_path / "a b" / "Ü"
    make_route(library, id="a-way")
    make_route(tmp_path, id="elsewhere")
    commit(tmp_path, "2026-05-01")
    assert set(before(library, "2026-06-01")) == {"a-way"}


def test_work_on_a_branch_is_published_when_it_is_merged(library) -> None:
    git(library, "checkout", "--quiet", "-b", "work")
    make_route(library, notes(title="C"), id="c-way")
    commit(library, "2026-05-22")
    git(library, "checkout", "--quiet", "main")
    git(library, "merge", "--quiet", "--no-ff", "--message", "merged", "work", day="2026-06-10")
    assert "c-way" not in told(library, "2026-06-01")
    assert "c-way" in told(library, "2026-06-11")


def test_a_history_that_begins_later_tells_nothing(library) -> None:
    with pytest.raises(NoHistoryError, match="the git history begins after that day"):
        before(library, "2026-04-30")
    with pytest.raises(NoHistoryError, match="there was no git then"):
        before(library, "1995-01-01")


def test_a_shallow_clone_tells_only_what_it_has(library, tmp_path) -> None:
    clone = tmp_path / "clone"
    git(tmp_path, "clone", "--quiet", "--depth", "1", f"file://{library}", clone)
    assert set(before(clone, "2026-06-01")) == {"a-way", "b-way"}
    with pytest.raises(NoHistoryError, match="shallow clone that begins after that day"):
        before(clone, "2026-05-11")


def test_a_library_that_was_moved_tells_nothing_of_before(library) -> None:
    (library / "in").mkdir()
    git(library, "mv", "routes", "in/routes")
    commit(library, "2026-06-01")
    assert set(before(library / "in", "2026-06-02")) == {"a-way", "b-way"}
    with pytest.raises(NoHistoryError, match="the git history of routes/ begins after that day"):
        before(library / "in", "2026-05-25")


def test_no_repository_no_commit_and_no_git_are_said(tmp_path, monkeypatch) -> None:
    make_route(tmp_path, id="a-way")
    with pytest.raises(NoHistoryError, match="no git repository"):
        before(tmp_path, "2026-05-10")
    git(tmp_path, "init", "--quiet")
    with pytest.raises(NoHistoryError, match="nothing is committed yet"):
        before(tmp_path, "2026-05-10")
    (tmp_path / "other").write_text("x")
    git(tmp_path, "add", "other")
    git(tmp_path, "commit", "--quiet", "-m", "other")
    with pytest.raises(NoHistoryError, match="no route of this library is in a git repository"):
        before(tmp_path, "2026-05-10")
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(NoHistoryError, match="git is not installed"):
        before(tmp_path, "2026-05-10")


def test_git_that_hangs_or_cannot_be_run_is_given_up(library, tmp_path, monkeypatch) -> None:
    slow = tmp_path / "git"
    slow.write_text("#!/bin/sh\nexec sleep 60\n")
    slow.chmod(0o755)
    monkeypatch.setattr(shutil, "which", lambda _: str(slow))
    monkeypatch.setattr(history, "TIMEOUT_S", 0.2)
    with pytest.raises(NoHistoryError, match="longer than"):
        before(library, "2026-05-11")
    monkeypatch.setattr(shutil, "which", lambda _: str(library))
    with pytest.raises(NoHistoryError, match="cannot be run"):
        before(library, "2026-05-11")


def test_what_was_no_mapping_a_link_or_too_big_is_left_out(library) -> None:
    make_route(library, "- a list", id="c-way")
    make_route(library, f"title: {'x' * 300_000}", id="d-way")
    make_route(library, "status: published\ntitel: old key\nridden: [x, {on: 1}]", id="e-way")
    (library / "routes" / "f-way").mkdir()
    (library / "routes" / "f-way" / "notes.yml").symlink_to("../a-way/notes.yml")
    make_route(library, id="Odd_Name")
    commit(library, "2026-06-01")
    assert set(told(library, "2026-06-02")) == {"a-way", "b-way", "e-way"}
    assert before(library, "2026-06-02")["e-way"] == PastNotes(
        "published", "", frozenset(), frozenset()
    )


def test_nothing_that_a_configuration_names_is_run_and_nothing_is_written(
    library, tmp_path, monkeypatch
) -> None:
    mark = tmp_path / "ran"
    program = tmp_path / "program"
    program.write_text(f"#!/bin/sh\ntouch '{mark}'\ncat\n")
    program.chmod(0o755)
    for key in (
        "core.fsmonitor",
        "core.pager",
        "core.sshCommand",
        "diff.external",
        "alias.ls-tree",
    ):
        git(library, "config", key, str(program))
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    for hook in ("post-index-change", "post-checkout", "reference-transaction"):
        shutil.copy(program, hooks / hook)
    git(library, "config", "core.hooksPath", str(hooks))
    mark.unlink(missing_ok=True)
    for name in ("GIT_EXTERNAL_DIFF", "GIT_PAGER", "GIT_SSH_COMMAND"):
        monkeypatch.setenv(name, str(program))
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "nowhere"))
    monkeypatch.setenv("GIT_TRACE", str(mark))
    there = state(library)
    assert told(library, "2026-05-11") == {"a-way": "published"}
    assert not mark.exists()
    assert state(library) == there


def test_a_part_that_lies_elsewhere_is_not_fetched(library, tmp_path) -> None:
    """A clone without blobs asks its remote for each one that is needed: here it must not."""
    git(library, "config", "uploadpack.allowFilter", "true")
    clone = tmp_path / "clone"
    git(
        tmp_path,
        *("clone", "--quiet", "--filter=blob:none", "--no-checkout"),
        f"file://{library}",
        clone,
    )
    there = state(clone)
    with pytest.raises(NoHistoryError, match="lies elsewhere"):
        before(clone, "2026-05-11")
    assert state(clone) == there


def state(folder):
    return {
        path.relative_to(folder): (path.stat().st_mtime_ns, path.stat().st_size)
        for path in folder.rglob("*")
    }


def test_alerts_of_the_library_were_known_of_the_routes_that_pass_them(library) -> None:
    text = "- {at: '50.0, -19.99', radius: 40 m, from: 2026-05-22, text: The bridge is shut.}\n"
    (library / "alerts.yml").write_text(text)
    commit(library, "2026-05-22")
    routes = [load(library / "routes" / name) for name in ("a-way", "b-way")]
    renamed = replace(routes[1], id="c-way", notes=notes_with(routes[1], was=["b-way"]))
    moment = dt.datetime(2026, 5, 23, tzinfo=dt.UTC)
    past = library_before(library, moment)
    known = past.known_of([routes[0], renamed])
    shut = PastAlert("2026-05-22", None, "The bridge is shut.")
    assert all(shut in known[name].alerts for name in ("a-way", "b-way"))
    assert len(known["a-way"].alerts) == 2
    assert library_before(library, moment - dt.timedelta(days=1)).alerts == ()


def notes_with(route, **changes):
    return route.notes.model_copy(update=changes)
