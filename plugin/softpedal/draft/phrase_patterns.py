"""The small pattern language of the phrase tables, and the form of speech that it is matched with.

    get off                  these words, next to each other
    {walk|push} the bike     one of several; each may be several words
    bump(s|y)                a word with or without an ending
    get off (the bike)       words that may be left out
    get * off                up to two words between, no negation among them
    ~pflaster                up to twenty letters before, within or after; ~ alone is any word
    <road>                   one of the table's group of that name

Capitals, apostrophes, hyphens, accents and umlauts do not matter: "can't", "cant" and "CAN’T" are
one, as are "für" and "fuer". Nothing in a pattern repeats without a bound, so that matching takes
time in proportion to the length of what was said.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

#: How a stop or a comma is heard; it stands between two clauses.
BREAK = ","
MAX_GAPS = 5
MAX_DEPTH = 4

_TOKEN = re.compile(
    r"\d+(?:[.,:]\d+)+|[^\W_]+(?:['’´`][^\W_]+)*|[.,;:!?…()\[\]/–—]|(?<=\s)-+(?=\s)"
)
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "æ": "ae", "ø": "oe", "å": "aa"})
_PIECE = re.compile(r"[{}()|]|<[\w-]+>|[^\s{}()|<>]+|\S")
_WORD = re.compile(r"[a-z0-9~]+")
_GAP = "*"
_STEM = "[^ ,]{0,20}"


class PatternError(ValueError):
    """A phrase that is not one."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A sentence as it is matched.

    Attributes:
        text: its words in plain letters and `BREAK`s, with one space before and after each.
        starts: where each of them begins in `text`.
        spans: where each of them stands in the sentence as said.
    """

    text: str
    starts: tuple[int, ...]
    spans: tuple[tuple[int, int], ...]

    def as_said(self, sentence: str, start: int, end: int) -> str:
        """Return the piece of the sentence that stands for `text[start:end]`."""
        first = bisect_right(self.starts, start) - 1
        last = bisect_left(self.starts, end) - 1
        return sentence[self.spans[first][0] : self.spans[last][1]]


def heard(sentence: str) -> Heard:
    """Return a sentence in the form that patterns are matched with."""
    words, starts, spans, at = [], [], [], 1
    for token in _TOKEN.finditer(sentence):
        word = plain_word(token[0]) or BREAK
        words.append(word)
        starts.append(at)
        spans.append(token.span())
        at += len(word) + 1
    text = f" {' '.join(words)} " if words else " "
    return Heard(text, tuple(starts), tuple(spans))


def plain_word(word: str) -> str:
    """Return the letters and digits of a word in their plain form; "" where it has none."""
    folded = unicodedata.normalize("NFC", word).casefold().translate(_UMLAUTS)
    return "".join(c for c in unicodedata.normalize("NFKD", folded) if c.isalnum())


def any_of(
    phrases: Iterable[str], groups: Mapping[str, str], not_between: str = ""
) -> re.Pattern[str] | None:
    """Return a pattern that finds any of some phrases in `Heard.text`; None for none.

    Args:
        phrases: in the pattern language.
        groups: the expressions that `group` returned, by name.
        not_between: the expression of words that may not stand in a gap.

    Raises:
        PatternError: one of them cannot be read.
    """
    choices = [expression(phrase, groups, not_between) for phrase in phrases]
    return re.compile(f"(?<= )(?:{'|'.join(choices)})") if choices else None


def group(phrases: Iterable[str], groups: Mapping[str, str]) -> str:
    """Return the expression for one of some phrases, which other phrases may name.

    Raises:
        PatternError: one of them cannot be read.
    """
    return f"(?:{'|'.join(expression(phrase, groups) for phrase in phrases)})"


def expression(phrase: str, groups: Mapping[str, str], not_between: str = "") -> str:
    """Return the regular expression for one phrase; each of its words ends with a space.

    Raises:
        PatternError: it cannot be read.
    """
    parser = _Parser(phrase, groups, not_between)
    found, needs_word = parser.sequence(0)
    if parser.at < len(parser.pieces):
        raise PatternError(f"`{parser.pieces[parser.at][0]}` closes nothing.")
    if not needs_word:
        raise PatternError("It asks for no word.")
    words = phrase.split()
    if _GAP in (words[0], words[-1]):
        raise PatternError(f"{_GAP} stands at an end, where it says nothing.")
    if parser.gaps > MAX_GAPS:
        raise PatternError(f"It has more than {MAX_GAPS} gaps.")
    return found


class _Parser:
    """Reads a phrase from left to right."""

    def __init__(self, phrase: str, groups: Mapping[str, str], not_between: str) -> None:
        self.pieces = [(m[0], m.start(), m.end()) for m in _PIECE.finditer(phrase)]
        self.at, self.gaps, self.groups = 0, 0, groups
        forbidden = f"(?!{not_between})" if not_between else ""
        self.gap = f"(?:{forbidden}[^ ,]+ ){{0,2}}"

    def sequence(self, depth: int) -> tuple[str, bool]:
        """Return the expression for words next to each other, and whether it asks for one."""
        parts, needs_word = [], False
        while self.at < len(self.pieces) and self.pieces[self.at][0] not in "|})":
            part, needed = self._item(depth)
            parts.append(part)
            needs_word = needs_word or needed
        return "".join(parts), needs_word

    def _item(self, depth: int) -> tuple[str, bool]:
        piece, _, end = self.pieces[self.at]
        self.at += 1
        if piece == _GAP:
            self.gaps += 1
            return self.gap, False
        if piece in ("{", "("):
            closing = "}" if piece == "{" else ")"
            choices = self._choices(closing, depth + 1)
            return f"{choices}{'' if piece == '{' else '?'}", piece == "{"
        if piece.startswith("<"):
            if piece[1:-1] not in self.groups:
                raise PatternError(f"There is no group {piece} above it.")
            return self.groups[piece[1:-1]], True
        parts = [_letters(part) for part in piece.split("-")]
        if self.at < len(self.pieces) and self.pieces[self.at][:2] == ("(", end):
            self.at += 1
            return f"{' '.join(parts)}(?:{'|'.join(self._endings())})? ", True
        return "".join(f"{part} " for part in parts), True

    def _choices(self, closing: str, depth: int) -> str:
        if depth > MAX_DEPTH:
            raise PatternError(f"Its brackets stand more than {MAX_DEPTH} deep.")
        found = []
        while True:
            choice, needs_word = self.sequence(depth)
            if not needs_word:
                raise PatternError("A choice asks for no word.")
            found.append(choice)
            mark = self.pieces[self.at][0] if self.at < len(self.pieces) else ""
            self.at += 1
            if mark == closing:
                return f"(?:{'|'.join(found)})"
            if mark != "|":
                raise PatternError(f"`{closing}` is missing.")

    def _endings(self) -> list[str]:
        found = []
        while True:
            ending, _, _ = self.pieces[self.at] if self.at < len(self.pieces) else ("", 0, 0)
            found.append(_letters(ending))
            mark = self.pieces[self.at + 1][0] if self.at + 1 < len(self.pieces) else ""
            self.at += 2
            if mark == ")":
                return found
            if mark != "|":
                raise PatternError("`)` is missing after the endings.")


def _letters(word: str) -> str:
    plain = "~".join(plain_word(part) for part in word.split("~"))
    if plain == "~":
        return "[^ ,]{1,20}"
    if not _WORD.fullmatch(plain) or not plain.strip("~") or "~~" in plain:
        raise PatternError(f"`{word[:20]}` is no word.")
    return plain.replace("~", _STEM)
