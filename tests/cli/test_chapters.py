"""`softpedal chapters`: what it prints, and when it refuses."""

from __future__ import annotations

from click.testing import CliRunner
from markdown_it import MarkdownIt

from building import leg, make_route, notes
from softpedal.cli import main
from softpedal.library.placeholders import SUMMARY


def run(library, *arguments):
    return CliRunner().invoke(main, ["chapters", "a-way", "--library", str(library), *arguments])


def made(tmp_path, *films, **changes):
    legs = [
        leg(f"{i * 300} m" if i else "start", "back street", f"Lane {i}", film=film)
        for i, film in enumerate(films)
    ]
    make_route(tmp_path, notes(**({"legs": legs} if legs else {}), **changes), id="a-way")
    return tmp_path


def test_the_whole_text_has_figures_link_caution_and_chapters(tmp_path) -> None:
    result = run(made(tmp_path, "0:20", "1:00"), "--base", "https://site.example/")
    assert (result.exit_code, result.stderr) == (0, "")
    for text in (
        "Length: 2.0 km",
        "0 % quiet, and 100 % on back streets",
        "https://site.example/routes/a-way/",
        "Quiet is not a promise of safety.",
        "\n\nChapters\n0:00 Start: Ferry Steps\n0:20 Lane 0, back street\n",
    ):
        assert text in result.stdout
    assert "Chapters" not in run(tmp_path, "--plain").stdout


def test_without_a_base_the_link_is_left_out_and_said(tmp_path) -> None:
    result = run(made(tmp_path, "0:20", "1:00"), "--part", "description")
    assert "http" not in result.stdout
    assert "0:20" not in result.stdout
    assert "Give --base" in result.stderr


def test_a_long_text_keeps_within_5000_characters(tmp_path) -> None:
    long = "word " * 399
    thanks = "thank " * 300
    library = made(tmp_path, *["0:20"], summary=long, thanks=thanks, title="T" * 120)
    result = run(library, "--part", "description")
    assert len(result.stdout.rstrip("\n")) <= 5000
    assert max(len(line) for line in result.stdout.splitlines()[:1]) == 100


def test_nothing_on_film_is_refused_but_the_description_is_not(tmp_path) -> None:
    made(tmp_path)
    refused = run(tmp_path)
    assert refused.exit_code != 0
    assert "says where it is in the film" in refused.stderr
    assert run(tmp_path, "--part", "description").exit_code == 0


def test_a_film_that_begins_before_the_line_has_no_false_start(tmp_path) -> None:
    library = made(tmp_path, "3:57", "5:00", "6:00")
    result = run(library, "--part", "chapters")
    assert result.stdout.startswith("0:00 Before the start\n3:57 Lane 0, back street\n")
    assert "The film runs for 3:57 before the line begins." in result.stderr


def test_the_folder_of_a_route_is_as_good_as_its_name(tmp_path) -> None:
    folder = made(tmp_path, "0:20", "1:00") / "routes" / "a-way"
    by_folder = CliRunner().invoke(main, ["chapters", str(folder), "--library", str(tmp_path)])
    assert by_folder.stdout == run(tmp_path).stdout
    assert by_folder.exit_code == 0


def test_what_a_draft_left_to_be_written_is_not_printed(tmp_path) -> None:
    library = made(tmp_path, "0:20", "1:00", summary=SUMMARY, status="draft")
    assert SUMMARY not in run(library).stdout


def test_the_site_s_own_configuration_says_where_it_is(tmp_path) -> None:
    library = made(tmp_path, "0:20", "1:00")
    (library / "mkdocs.yml").write_text(
        "site_url: https://site.example/rides/\nuse_directory_urls: false\n"
    )
    result = run(library)
    assert result.stderr == ""
    assert "https://site.example/rides/routes/a-way/index.html" in result.stdout
    named = run(library, "--base", "https://other.example/", "--addresses", "directory").stdout
    assert "https://other.example/routes/a-way/\n" in named


def test_alerts_that_are_not_over_stand_in_it_with_their_dates(tmp_path) -> None:
    alerts = [
        {"from": "2020-01-01", "until": "2020-02-01", "text": "Long over."},
        {"from": "2020-03-01", "text": "The *weir* is being mended."},
        {"from": "2199-01-01", "until": "2199-02-01", "text": "Lights are renewed."},
    ]
    text = run(made(tmp_path, "0:20", "1:00", alerts=alerts)).stdout
    assert "Long over." not in text
    assert "\nFrom 1 March 2020: The weir is being mended.\n" in text
    assert "\n1 January 2199 to 1 February 2199: Lights are renewed.\n" in text


def test_many_alerts_leave_room_for_the_rest(tmp_path) -> None:
    alerts = [{"from": f"2199-01-{day:02}", "text": "works " * 300} for day in range(1, 7)]
    library = made(tmp_path, "0:20", "1:00", alerts=alerts, summary="word " * 399)
    for form in ("text", "markdown"):
        result = run(library, "--base", "https://site.example/", "--format", form)
        assert result.stderr == ""
        assert len(result.stdout.rstrip("\n")) <= 5000
        assert "2 more alerts stand on the route’s page." in result.stdout
        assert "Quiet is not a promise of safety." in result.stdout


def test_as_markdown_chapters_lead_to_their_second(tmp_path) -> None:
    video = {
        "link": "https://video.example/w/12",
        "jump": "https://video.example/w/12?a=1&t={seconds}",
        "chapters": True,
    }
    library = made(tmp_path, "0:20", "1:00", title="Quay *to* <Mill>", video=video)
    result = run(library, "--format", "markdown", "--base", "https://site.example/")
    html = MarkdownIt("commonmark").render(result.stdout)
    assert "<h1>Quay to ‹Mill›</h1>" in html
    assert '<a href="https://site.example/routes/a-way/">Map, cues and all figures</a>' in html
    assert '<a href="https://video.example/w/12?a=1&amp;t=60">1:00</a> Lane 1, back street' in html
    assert "## Chapters" not in run(library, "--format", "markdown", "--plain").stdout


def test_without_the_film_s_address_times_are_plain(tmp_path) -> None:
    result = run(made(tmp_path, "0:20", "1:00"), "--format", "markdown", "--part", "chapters")
    assert result.stdout == (
        "- 0:00 Start: Ferry Steps\n- 0:20 Lane 0, back street\n- 1:00 Lane 1, back street\n"
    )
