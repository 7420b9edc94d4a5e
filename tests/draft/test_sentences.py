import pytest
from hypothesis import given
from hypothesis import strategies as st

from softpedal.draft.captions import Caption
from softpedal.draft.sentences import MAX_CHARACTERS, RUN_S, sentences


def _texts(*captions):
    return [sentence.text for sentence in sentences([Caption(*each) for each in captions])]


def test_a_sentence_runs_over_captions():
    assert _texts((0, 2, "We turn left"), (2, 4, "by the church.")) == [
        "We turn left by the church."
    ]


def test_a_caption_with_two_sentences_is_cut_in_proportion_to_its_characters():
    first, second = sentences([Caption(10.0, 20.0, "Turn left. Turn left.")])
    assert (first.text, second.text) == ("Turn left.", "Turn left.")
    assert first.start_s == 10.0
    assert second.start_s == pytest.approx(15.0)
    assert second.end_s == pytest.approx(20.0)


def test_a_pause_ends_a_sentence_and_a_breath_does_not():
    assert _texts((0, 1, "turn left"), (2, 3, "by the church"), (5, 6, "get off")) == [
        "turn left by the church",
        "get off",
    ]


@pytest.mark.parametrize(
    "text", ["Into St. Agnes Row", "It is 2.5 km to Mill Rd. east", "By no. 5"]
)
def test_stops_that_end_nothing(text):
    assert _texts((0, 2, text)) == [text]


def test_rolling_captions_are_taken_once():
    found = _texts(
        (0, 2, "turn left here"),
        (2, 2.01, "turn left here"),
        (2.01, 4, "turn left here\nand get off"),
        (4, 4.01, "and get off"),
        (4.01, 6, "and get off\nby the gate"),
    )
    assert found == ["turn left here and get off by the gate"]


def test_a_line_of_one_word_rolls_too():
    assert _texts((0, 1, "now\nleft"), (1, 2, "left\nby the quay")) == ["now left by the quay"]


def test_growing_captions_are_taken_once():
    assert _texts((0, 1, "turn"), (1, 2, "turn left"), (2, 3, "turn left here")) == [
        "turn left here"
    ]


def test_words_said_twice_stay():
    assert _texts((0, 1, "go on and on"), (1, 2, "on we go")) == ["go on and on on we go"]
    assert _texts((0, 1, "turn left."), (9, 10, "turn left.")) == ["turn left.", "turn left."]


def test_noises_are_no_speech():
    found = _texts((0, 1, "[Music]"), (1, 2, "(wind noise) turn left"), (2, 3, "♪ la la ♪"))
    assert found == ["turn left"]
    assert _texts((0, 1, ">> get off (by the gate)")) == ["get off (by the gate)"]


def test_a_long_run_without_stops_is_cut_where_a_word_joins():
    words = [(i, i + 1, "and then" if i % 5 == 0 else "we ride on") for i in range(40)]
    found = sentences([Caption(*each) for each in words])
    assert all(s.end_s - s.start_s <= RUN_S for s in found)
    assert all(s.text.startswith("and") for s in found)


_captions = st.lists(
    st.tuples(st.floats(0, 3), st.floats(0, 3), st.text("ab .,!?\n[]()♪>-", max_size=60)),
    max_size=12,
)


@given(_captions)
def test_any_captions_give_ordered_sentences_of_their_words(pieces):
    captions, at = [], 0.0
    for gap, length, text in pieces:
        at += gap
        captions.append(Caption(at, at + length, text))
    said = " ".join(caption.text for caption in captions).split()
    found = sentences(captions)
    starts = [sentence.start_s for sentence in found]
    assert starts == sorted(starts)
    for sentence in found:
        assert sentence.end_s >= sentence.start_s
        words = sentence.text.split()
        assert len(sentence.text) <= MAX_CHARACTERS or len(words) == 1
        assert all(any(word in whole for whole in said) for word in words)
