"""Of plain YAML scalars, only true, false, null and JSON numbers are more than text."""

import pytest

from softpedal.library.yaml_source import read_yaml


def value_of(text):
    source, problems = read_yaml(f"key: {text}\n".encode(), "notes.yml")
    assert problems == []
    return source.data["key"]


@pytest.mark.parametrize(
    "text",
    [
        *("yes", "no", "on", "off", "y", "n", "True", "TRUE", "False", "Null", "~", "None"),
        *("1:30", "190:20:30", "010", "0o10", "0x1F", "0b1", "1_000", "+5", ".5", "5.", "1e"),
        *(".inf", "-.inf", ".nan", ".NaN", "NaN", "Infinity", "1,5", "1.2.3", "٣"),
        *("2026-05-16", "2026-05-16T09:14:05Z", "2025-04", "1.24 km", "50.0, -20.0", "=", "9" * 19),
    ],
)
def test_stays_text(text):
    assert value_of(text) == text


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("true", True),
        ("false", False),
        ("null", None),
        ("", None),
        ("0", 0),
        ("-0", 0),
        ("12", 12),
        ("-3", -3),
        ("1.5", 1.5),
        ("1e3", 1000.0),
        ("1.5E-1", 0.15),
        ('"12"', "12"),
        ("'true'", "true"),
        ('""', ""),
        ('"a # b"', "a # b"),
        ("a#b", "a#b"),
        ("a # comment", "a"),
        ("a  # comment", "a"),
        ("'a' #b", "a"),
    ],
)
def test_is_read_as(text, value):
    assert value_of(text) == value
    assert type(value_of(text)) is type(value)


def test_a_number_keeps_its_digits():
    assert value_of("14000") == 14000
    assert value_of("4.6") == 4.6


def test_a_text_on_several_lines_keeps_its_hash():
    source, _ = read_yaml(b"key: |\n  gate #2\n  and on\n", "notes.yml")
    assert source.data == {"key": "gate #2\nand on\n"}


def test_every_value_and_key_knows_its_place():
    source, _ = read_yaml("é: [1, {b: x}]\nc:\n  - d: 2\n".encode(), "notes.yml")
    assert source.marks == {
        (): (1, 1),
        ("é",): (1, 4),
        ("é", 0): (1, 5),
        ("é", 1): (1, 8),
        ("é", 1, "b"): (1, 12),
        ("c",): (3, 3),
        ("c", 0): (3, 5),
        ("c", 0, "d"): (3, 8),
    }
    assert source.key_marks == {
        ("é",): (1, 1),
        ("é", 1, "b"): (1, 9),
        ("c",): (2, 1),
        ("c", 0, "d"): (3, 5),
    }
    assert source.place(("c", 0, "zzz")) == (3, 5)
    assert source.place(("zzz", 3)) == (1, 1)
    assert source.places(1) == {(): (1, 1), ("é",): (1, 4), ("c",): (3, 3)}
