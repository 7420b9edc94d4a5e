"""softpedal.yml: defaults, values, and faults with their line and column."""

import pytest

from building import make_route
from softpedal.library.load import load_settings
from softpedal.settings import Settings
from softpedal.upkeep.check import check_library


def read(tmp_path, text):
    path = tmp_path / "softpedal.yml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return load_settings(path)


def test_no_file_means_the_defaults(tmp_path):
    assert load_settings(tmp_path / "softpedal.yml") == (Settings(), [])


@pytest.mark.parametrize("text", ["", "# nothing yet\n", "null\n", "{}\n"])
def test_an_empty_file_means_the_defaults(tmp_path, text):
    assert read(tmp_path, text) == (Settings(), [])


def test_every_setting_of_the_format_is_known(tmp_path):
    settings, problems = read(
        tmp_path,
        """\
title: Quiet ways in Lindenferry
units: imperial
time_zone: Atlantic/Azores
country: PT
emergency_number: "112"
report_address: "mailto:ways@lindenferry.example"
newsletter_from: Quiet ways <news@lindenferry.example>
cruising_speed: 14
walking_speed: 1.1
signal_cycle: 80
signal_green: 25.5
typical_week: 2026-06-08
extract: lindenferry.osm.pbf
background: ground.geojson
background_attribution: Invented
tiles: {url: "https://tiles.example/{z}/{x}/{y}.png", attribution: Invented, max_zoom: 18}
keep_times: true
language: de
cards: false
limits: {bytes: 2048, points: 100, depth: 10}
easy: {km: 6, climb_m: 50, gradient_percent: 4}
moderate: {km: 15, climb_m: 150, gradient_percent: 7, dismounts: 5, pushed_m: 300}
""",
    )
    assert problems == []
    assert settings.cruising_speed == 14.0
    assert settings.tiles.max_zoom == 18
    assert settings.limits.points == 100
    assert settings.typical_week == "2026-06-08"
    assert settings.easy.dismounts is None
    assert set(settings.model_fields_set) == set(Settings.model_fields)


@pytest.mark.parametrize(
    ("text", "expected", "says", "hint"),
    [
        ("titel: x\n", ("settings-value", 1, 1), "`titel`", "`title`"),
        ("title: x\nlimits: {point: 3}\n", ("settings-value", 2, 10), "`limits`", "`points`"),
        ("tiles: {attribution: x}\n", ("settings-value", 1, 8), "`url` is missing", "`url: …`"),
        ("units: miles\n", ("settings-value", 1, 8), "metric, imperial", "one of these"),
        ("units: imperal\n", ("settings-value", 1, 8), "`units: imperal`", "`imperial`"),
        ("\n\ntime_zone: Mars\n", ("settings-value", 3, 12), "`Mars`", "`UTC`"),
        ("time_zone: /etc/passwd\n", ("settings-value", 1, 12), "time zone", "`UTC`"),
        ("time_zone: ../x\n", ("settings-value", 1, 12), "time zone", "`UTC`"),
        ("country: pt\n", ("settings-value", 1, 10), "country code", "`GB`"),
        ("emergency_number: 112\n", ("settings-value", 1, 19), "is not text", "quotes"),
        ("emergency_number: call\n", ("settings-value", 1, 19), "telephone number", "112"),
        (
            "report_address: javascript:x\n",
            ("settings-value", 1, 17),
            "an address to report to",
            "mailto",
        ),
        ("cruising_speed: 60\n", ("settings-value", 1, 17), "more than 40", "up to 40"),
        ('cruising_speed: "15"\n', ("settings-value", 1, 17), "not a number", "without quotes"),
        ("cruising_speed: 15 km/h\n", ("settings-value", 1, 17), "15 km/h", "a unit"),
        ("cruising_speed: .inf\n", ("settings-value", 1, 17), "not a number", "plain"),
        ("walking_speed: 0\n", ("settings-value", 1, 16), "less than 0.2", "from 0.2"),
        ("signal_cycle: 0\n", ("settings-value", 1, 15), "greater than 0", "than 0"),
        ("typical_week: 2026-06-09\n", ("settings-value", 1, 15), "Monday", "`2026-06-08`"),
        ("typical_week: soon\n", ("settings-value", 1, 15), "Monday", "`2026-06-08`"),
        ("keep_times: yes\n", ("settings-value", 1, 13), "neither true nor false", "true"),
        ("limits: {points: 1}\n", ("settings-value", 1, 18), "less than 2", "from 2"),
        ("limits: 3\n", ("settings-value", 1, 9), "mapping", "braces"),
        ("easy: {km: 3}\n", ("settings-value", 1, 7), "`climb_m` is missing", "`climb_m: …`"),
        ("title:\n", ("settings-value", 1, 7), "no value", "leave the key out"),
        ("- title\n", ("settings-value", 1, 1), "mapping", "title"),
        (
            'tiles: {url: "x", attribution: x}\n',
            ("settings-value", 1, 14),
            "address of tiles",
            "https://",
        ),
        ("title: x\ntitle: y\n", ("yaml-duplicate", 2, 1), "`title`", "Keep one"),
        ("title: way #2\n", ("yaml-hash", 1, 12), "way #2", "quotes"),
        ("title: &a x\n", ("yaml-refused", 1, 8), "Anchors", "Write it out"),
        ("title: [\n", ("yaml-syntax", 2, 1), "YAML", "Check"),
        (b"title: \xff\n", ("file-unreadable", 1, 8), "0xff", "UTF-8"),
        (b"#" * (256 * 1024 + 1), ("yaml-too-big", 0, 0), "262,144", "story.md"),
    ],
    ids=lambda value: repr(value)[:40] if isinstance(value, str | bytes) else "",
)
def test_a_fault_is_reported_at_its_place(tmp_path, text, expected, says, hint):
    settings, problems = read(tmp_path, text)
    assert settings is None
    if "easy" not in repr(text):  # three keys are missing there
        assert len(problems) == 1
    problem = problems[0]
    assert (problem.code, problem.line, problem.column) == expected
    assert problem.file == "softpedal.yml"
    assert says in problem.message
    assert hint in problem.hint
    assert problem.route == ""


def test_settings_that_cannot_be_read_are_reported(tmp_path):
    (tmp_path / "softpedal.yml").mkdir()
    settings, (problem,) = load_settings(tmp_path / "softpedal.yml")
    assert settings is None
    assert problem.code == "file-unreadable"


def test_a_link_to_no_settings_is_reported(tmp_path):
    (tmp_path / "softpedal.yml").symlink_to(tmp_path / "nothing.yml")
    settings, (problem,) = load_settings(tmp_path / "softpedal.yml")
    assert settings is None
    assert problem.code == "file-unreadable"


def test_a_fault_in_the_settings_leaves_the_routes_alone(tmp_path):
    make_route(tmp_path)
    read(tmp_path, "units: imperal\n")
    (problem,) = check_library(tmp_path)
    assert (problem.code, problem.route) == ("settings-value", "")
    assert check_library(tmp_path, ["ferry-steps-to-chapel-green"]) == [problem]
