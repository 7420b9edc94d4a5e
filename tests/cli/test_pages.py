"""`softpedal pages` and `softpedal policy`: what they write, and when they refuse."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from building import make_route, notes
from softpedal.cli import main


def run(*arguments):
    return CliRunner().invoke(main, list(map(str, arguments)))


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path / "library", id="a-way")
    return tmp_path / "library"


def test_pages_are_written_and_written_anew(library, tmp_path) -> None:
    to = tmp_path / "deep" / "pages"
    for _ in range(2):
        result = run("pages", "--library", library, "--to", to, "--base", "https://a.example/")
        assert (result.exit_code, result.stderr) == (0, "")
        assert f"written to {to}" in result.stdout
    assert (to / "routes/a-way/index.md").is_file()
    assert (to / "assets/softpedal/softpedal.css").is_file()
    assert [p.name for p in to.parent.iterdir()] == ["pages"]


def test_without_a_base_what_needs_whole_addresses_is_left_out_and_told(library, tmp_path) -> None:
    result = run("pages", "--library", library, "--to", tmp_path / "pages")
    assert result.exit_code == 0
    (line,) = result.stderr.splitlines()
    assert "advice site-address: The site's address is not known" in line
    assert "`--base`" in line
    names = {path.name for path in (tmp_path / "pages").rglob("*")}
    assert not names & {"feed.xml", "catalogue.json", "routes.geojson", "sitemap.xml"}
    assert not [name for name in names if name.endswith(".head.html")]


def test_an_empty_folder_is_filled(library, tmp_path) -> None:
    (tmp_path / "pages").mkdir()
    assert run("pages", "--library", library, "--to", tmp_path / "pages").exit_code == 0


def test_a_folder_of_somebody_else_is_left_as_it_was(library, tmp_path) -> None:
    to = tmp_path / "pages"
    to.mkdir()
    (to / "mine.md").write_text("mine", encoding="utf-8")
    result = run("pages", "--library", library, "--to", to)
    assert result.exit_code == 2
    assert "pages holds what `softpedal pages` did not write: mine.md." in result.stderr
    assert [(p.name, p.read_text()) for p in to.iterdir()] == [("mine.md", "mine")]


def test_a_file_put_into_our_folder_is_not_lost(library, tmp_path) -> None:
    to = tmp_path / "pages"
    assert run("pages", "--library", library, "--to", to).exit_code == 0
    (to / "routes" / "mine.md").write_text("mine", encoding="utf-8")
    result = run("pages", "--library", library, "--to", to)
    assert result.exit_code == 2
    assert "routes/mine.md" in result.stderr
    assert (to / "routes" / "mine.md").read_text() == "mine"


def test_a_file_is_no_folder(library, tmp_path) -> None:
    (tmp_path / "pages").write_text("x", encoding="utf-8")
    result = run("pages", "--library", library, "--to", tmp_path / "pages")
    assert (result.exit_code, (tmp_path / "pages").read_text()) == (2, "x")


def test_addresses_and_base(library, tmp_path) -> None:
    to = tmp_path / "pages"
    run("pages", "--library", library, "--to", to, "--addresses", "file")
    assert 'href="a-way/index.html"' in (to / "routes/index.md").read_text(encoding="utf-8")
    run("pages", "--library", library, "--to", to, "--base", "https://lindenferry.example/rides")
    text = (to / "routes/a-way/index.md").read_text(encoding="utf-8")
    assert "https://lindenferry.example/rides/routes/a-way/" in text


def test_a_broken_route_is_left_out_and_told(library, tmp_path) -> None:
    make_route(library, notes(title=None), id="bad-way")
    result = run("pages", "--library", library, "--to", tmp_path / "pages")
    assert result.exit_code == 1
    assert "routes/bad-way/notes.yml" in result.stderr
    assert (tmp_path / "pages/routes/a-way/index.md").is_file()
    assert not (tmp_path / "pages/routes/bad-way").exists()


def test_a_folder_without_routes_is_misuse(tmp_path) -> None:
    result = run("pages", "--library", tmp_path, "--to", tmp_path / "pages")
    assert (result.exit_code, (tmp_path / "pages").exists()) == (2, False)


def test_a_policy_names_each_script_that_stands_in_a_page(tmp_path) -> None:
    """The hash is that of the example in W3C's Content Security Policy Level 2, section 7.17.2.

    The section's number is from memory.
    """
    (tmp_path / "deep").mkdir()
    page = "<script>alert('Hello, world.');</script><script type=\"application/json\">{}</script>"
    (tmp_path / "deep" / "x.html").write_text(page + '<script src="y.js"></script>')
    result = run("policy", tmp_path)
    assert result.exit_code == 0
    script = next(p for p in result.stdout.split("; ") if p.startswith("script-src"))
    assert script == "script-src 'self' 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"


@pytest.mark.parametrize(
    ("page", "words"),
    [
        ("", "no page"),
        ('<p style="color: red">x</p>', "`style=` on <p>"),
        ('<button onclick="x()">x</button>', "`onclick=` on <button>"),
    ],
)
def test_what_no_hash_allows_is_told(tmp_path, page, words) -> None:
    if page:
        (tmp_path / "x.html").write_text(page)
    result = run("policy", tmp_path)
    assert result.exit_code == 2
    assert words in result.stderr
