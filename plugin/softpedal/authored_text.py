"""What somebody typed, kept to itself: on one line, and turning nothing round but its own words."""

from __future__ import annotations

import re

#: White space that breaks a line or stands for nothing else; a no-break space stays one.
_BREAKS = re.compile("[ \t\n\r\v\f\x85\u2028\u2029]+")

_POP_EMBEDDING, _POP_ISOLATE = "\u202c", "\u2069"
#: What turns the direction of the text after it, and what ends that.
_ENDED_BY = {
    **dict.fromkeys("\u202a\u202b\u202d\u202e", _POP_EMBEDDING),
    **dict.fromkeys("\u2066\u2067\u2068", _POP_ISOLATE),
}

_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")


def one_line(text: str) -> str:
    """Return text on one line, which turns nothing round that stands after it."""
    return direction_closed(_BREAKS.sub(" ", text).strip(" "))


def shortened(text: str, most: int) -> str:
    """Return a line of at most so many characters, cut at a word; `most` is 2 or more."""
    if len(text) <= most:
        return text
    cut = text[: most - 1]
    at_word = cut.rpartition(" ")[0] if text[most - 1] != " " else cut
    cut = f"{(at_word or cut).rstrip(' ,;:')}…"
    closed = direction_closed(cut)
    return closed if len(closed) <= most else _TURNS.sub("", cut)


def direction_closed(text: str) -> str:
    """Return text in which every embedding, override and isolate ends, and no other is ended.

    Without it a title that opens a right-to-left override would turn round the words after it.
    The marks U+200E and U+200F, which open nothing, stay. The pairs are those of Unicode Standard
    Annex #9: rule BD9 pairs isolates; a pop of an embedding does nothing outside the isolate that
    it stands in (X7); the end of an isolate ends the embeddings within it (X6a).
    """
    kept: list[str] = []
    open_: list[str] = []  # what will end each, the innermost last
    for character in text:
        if end := _ENDED_BY.get(character):
            open_.append(end)
        elif character == _POP_EMBEDDING:
            if open_[-1:] != [_POP_EMBEDDING]:
                continue
            open_.pop()
        elif character == _POP_ISOLATE:
            if _POP_ISOLATE not in open_:
                continue
            while open_.pop() != _POP_ISOLATE:
                pass
        kept.append(character)
    return "".join([*kept, *reversed(open_)])
