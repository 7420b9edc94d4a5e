import re
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softpedal.draft.phrase_patterns import PatternError, any_of, expression, group, heard
from softpedal.draft.phrase_table import PhrasesError, languages, load_phrases


def _finds(phrase, said, groups=None):
    pattern = any_of([phrase], groups or {}, "(?:not )")
    match = pattern.search(heard(said).text)
    return match and match[0].strip()


@pytest.mark.parametrize(
    ("phrase", "said"),
    [
        ("get off", "Now GET off!"),
        ("can't go", "you cant go"),
        ("can't go", "you can’t go"),
        ("{walk|push} the bike", "push the bike"),
        ("bump(s|y)", "bumpy"),
        ("bump(s|y)", "bump"),
        ("get off (the bike) here", "get off here"),
        ("get off (the bike) here", "get off the bike here"),
        ("get * off", "get right straight off"),
        ("get * off", "get off"),
        ("~pflaster", "Kopfsteinpflaster"),
        ("für fußgänger", "fuer Fussgaenger"),
        ("one-way", "one way"),
        ("one way", "one-way"),
        ("{on the <road>|here}", "on the lane"),
        ("~ street", "mill street"),
        ("café", "cafe"),
    ],
)
def test_the_pattern_language_finds(phrase, said):
    assert _finds(phrase, said, {"road": group(["{road|lane}"], {})})


@pytest.mark.parametrize(
    ("phrase", "said"),
    [
        ("get off", "get offended"),
        ("get off", "forget off"),
        ("get off", "get, off"),
        ("get * off", "get one two three off"),
        ("get * off", "get not off"),
        ("get * off", "get, well off"),
        ("bump(s|y)", "bumper"),
        ("~pflaster", "pflasterer"),
    ],
)
def test_the_pattern_language_does_not_find(phrase, said):
    assert not _finds(phrase, said)


@pytest.mark.parametrize(
    "phrase",
    [
        "",
        "*",
        "* off",
        "off *",
        "{a|}",
        "{a",
        "a}",
        "(a)",
        "a(b",
        "<none>",
        "...",
        "a ~~b",
        "a * b * c * d * e * f * g",
        "{{{{{a}}}}}",
        "a|b",
    ],
)
def test_a_phrase_that_is_none_is_refused(phrase):
    with pytest.raises(PatternError):
        expression(phrase, {})


@given(st.text("ab {}()|*~<>-'.", max_size=30))
def test_any_text_is_a_phrase_or_refused(phrase):
    try:
        pattern = any_of([phrase], {}, "(?:not )")
    except PatternError:
        return
    assert isinstance(pattern, re.Pattern)


@given(st.text())
def test_what_was_heard_points_back_to_what_was_said(said):
    spoken = heard(said)
    assert len(spoken.starts) == len(spoken.spans)
    assert spoken.as_said(said, 0, len(spoken.text)) in said if spoken.spans else True


def test_matching_takes_time_in_proportion_to_the_length():
    hard = any_of(["~a~ * ~a~ * ~a~ (b) (b) {a|a a|~ ~} c"], {}, "(?:not )")
    assert hard is not None
    begin = time.perf_counter()
    for said in ("a" * 10_000, "a " * 5_000, "b " * 5_000):
        assert not hard.search(heard(said).text)
    assert time.perf_counter() - begin < 20


@pytest.mark.parametrize("language", languages())
def test_the_tables_load(language):
    assert load_phrases(language).language == language


def test_there_are_at_least_two_languages():
    assert {"en", "de"} <= set(languages())


TABLE = """language: en
entries:
  - sort: dismount
    phrases: |
      get off
"""


def test_an_author_has_a_table_of_their_own(tmp_path):
    file = tmp_path / "own.yml"
    file.write_text(TABLE)
    assert [entry.sort for entry in load_phrases(file).entries] == ["dismount"]


@pytest.mark.parametrize(
    ("old", "new", "place", "what"),
    [
        ("get off", "get {off", "own.yml:5: ", "`}` is missing"),
        ("get off", "# nothing", "own.yml:4:", "holds no phrase"),
        ("dismount", "dismounts", "own.yml:3:11: ", "Did you mean `dismount`"),
        ("phrases:", "phrase:", "own.yml:", "Did you mean `phrases`"),
        ("    phrases", "    facts: {must: perhaps}\n    phrases", "own.yml:3:", "law, barrier"),
        ("    phrases", "    facts: {what: x}\n    phrases", "own.yml:3:", "no fact `what`"),
        ("    phrases", "    said: must\n    phrases", "own.yml:3:", "cannot be the value"),
        ("entries", "negations: |\n  no\n  (ever)\nentries", "own.yml:4: ", "asks for no word"),
        ("entries", "groups:\n  a: <b>\nentries", "own.yml:3:6: ", "no group <b>"),
        ("language: en", "language: *en", "own.yml:1:", "aliases"),
    ],
)
def test_faults_have_file_line_and_column(tmp_path, old, new, place, what):
    file = tmp_path / "own.yml"
    file.write_text(TABLE.replace(old, new))
    with pytest.raises(PhrasesError) as error:
        load_phrases(file)
    assert str(error.value).startswith(place)
    assert what in str(error.value)


def test_a_language_without_a_table_is_named(tmp_path):
    with pytest.raises(PhrasesError, match="xx cannot be read"):
        load_phrases("xx")
    with pytest.raises(PhrasesError, match="cannot be read"):
        load_phrases(tmp_path)
