import pytest
from hypothesis import given
from hypothesis import strategies as st

from softpedal.draft import captions
from softpedal.draft.captions import Caption, CaptionsError, read_captions

VTT = """WEBVTT Kind: captions
Language: en

STYLE
::cue { color: white }

NOTE made by hand
on two lines

first
00:01.000 --> 00:02.500 align:start position:0%
<v Rider>turn <00:00:01.500><c> left</c> &amp; look

01:00:03.000 --> 01:00:04.000
over there
"""
SRT = (
    "1\n00:00:01,000 --> 00:00:02,500\n<i>turn</i> {\\an8}left\n\n"
    "2\n00:00:03,000 --> 00:00:04,000\nnow\n"
)


def _read(tmp_path, text, name="ride.vtt"):
    file = tmp_path / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_captions(file)


def test_webvtt_gives_the_words_without_notes_styles_and_tags(tmp_path):
    found = _read(tmp_path, VTT)
    assert found == (
        Caption(1.0, 2.5, "turn left & look"),
        Caption(3603.0, 3604.0, "over there"),
    )


def test_srt_is_told_by_its_content_whatever_its_name(tmp_path):
    assert _read(tmp_path, SRT) == (Caption(1.0, 2.5, "turn left"), Caption(3.0, 4.0, "now"))


@pytest.mark.parametrize("text", [VTT, SRT])
def test_a_byte_order_mark_and_other_line_ends_change_nothing(tmp_path, text):
    plain = _read(tmp_path, text)
    assert _read(tmp_path, "\ufeff" + text.replace("\n", "\r\n")) == plain
    assert _read(tmp_path, text.replace("\n", "\r")) == plain


def test_a_caption_without_text_is_left_out(tmp_path):
    assert _read(tmp_path, "WEBVTT\n\n00:01.000 --> 00:02.000\n\n00:02.000 --> 00:03.000\nx") == (
        Caption(2.0, 3.0, "x"),
    )


def test_an_empty_line_within_a_text_of_srt_loses_nothing(tmp_path):
    text = "1\n00:00:01,000 --> 00:00:02,500\nturn\n\nleft\n\n2\n00:00:03,000 --> 00:00:04,000\nx\n"
    assert [c.text for c in _read(tmp_path, text)] == ["turn\nleft", "x"]


@pytest.mark.parametrize(
    ("text", "place", "what"),
    [
        ("just words\n", "ride.vtt:1:", "neither WebVTT"),
        ("", "ride.vtt:1:", "neither WebVTT"),
        ("WEBVTTish\n", "ride.vtt:1:", "neither WebVTT"),
        ("WEBVTT\n\n00:01.000 --> 00:02\nx\n", "ride.vtt:3:", "not two times"),
        ("WEBVTT\n\n00:61.000 --> 00:62.000\nx\n", "ride.vtt:3:", "not two times"),
        ("WEBVTT\n\n00:01,000 --> 00:02,000\nx\n", "ride.vtt:3:", "not two times"),
        ("WEBVTT\n\n00:03.000 --> 00:02.000\nx\n", "ride.vtt:3:", "ends before it starts"),
        (VTT + "\n00:05.000 --> 00:06.000\nx\n", "ride.vtt:17:", "before the one above"),
        ("WEBVTT\n\n00:01.000 --> 00:02.000\nx\n\nlost words\n", "ride.vtt:6:", "No times"),
        ("lost\n\n" + SRT, "ride.vtt:1:", "No times"),
        ("00:00:01,000 --> 00:00:02,000\nx\n", "ride.vtt:1:", "No number"),
        (SRT + "\n00:00:05,000 --> 00:00:06,000\nx\n", "ride.vtt:9:", "No number"),
        (b"WEBVTT\n\n00:01.000 --> 00:02.000\ncaf\xe9\n", "ride.vtt:4:4:", "not UTF-8"),
        (VTT.encode("utf-16"), "ride.vtt:1:1:", "not UTF-8"),
    ],
)
def test_what_cannot_be_used_is_named_with_its_line(tmp_path, text, place, what):
    with pytest.raises(CaptionsError, match=what) as error:
        _read(tmp_path, text)
    assert str(error.value).startswith(place)


def test_limits(tmp_path, monkeypatch):
    with pytest.raises(CaptionsError, match="cannot be read"):
        read_captions(tmp_path / "none.vtt")
    monkeypatch.setattr(captions, "MAX_CUES", 1)
    with pytest.raises(CaptionsError, match="2 captions"):
        _read(tmp_path, VTT)
    monkeypatch.setattr(captions, "MAX_BYTES", 20)
    with pytest.raises(CaptionsError, match="20 bytes"):
        _read(tmp_path, VTT)


_lines = st.sampled_from(
    [
        "WEBVTT",
        "",
        "1",
        "00:00:01.000 --> 00:00:02.000",
        "00:00:01,000 --> 00:00:02,000",
        "turn",
        "NOTE x",
        "-->",
        "<c>",
        "STYLE",
        "&#0;",
        " ",
        "2024",
        "\x0c",
    ]
)


@given(st.lists(_lines, max_size=14))
def test_any_file_is_read_whole_or_refused(tmp_path_factory, lines):
    file = tmp_path_factory.mktemp("c") / "any.vtt"
    file.write_text("\n".join(lines), encoding="utf-8")
    try:
        found = read_captions(file)
    except CaptionsError:
        return
    words = sum(caption.text.split().count("turn") for caption in found)
    notes = "\n".join(lines).split("\n\n")
    silent = sum(b.count("turn") for b in notes if b.strip().startswith(("NOTE", "STYLE")))
    head = notes[0].count("turn") if lines and lines[0] == "WEBVTT" else 0
    assert words >= lines.count("turn") - silent - head
