"""Captions → sentences, each with the second of the film at which it begins.

Captions are cut to fit the screen, not the sense: a sentence runs over several, or several stand in
one. Captions made by a machine have no full stops, and roll: each repeats the line before.
The limits here were chosen, not measured: they stand in no published source, and were tried only on
invented captions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from softpedal.draft.captions import Caption

#: A silence that ends a sentence, full stop or none.
PAUSE_S = 1.5
#: Longer than this, words without a full stop are cut at their best place.
RUN_S = 12.0
#: No sentence is longer: three lines of print.
MAX_CHARACTERS = 300
#: A caption that follows this soon may repeat the one before.
ROLLING_S = 0.5
#: A roll repeats a line or two, never more words than this.
ROLLING_WORDS = 60

#: Noises in square brackets; in round ones where they begin a line; music; marks of a new speaker.
_NO_SPEECH = re.compile(
    r"\[[^\[\]]{0,80}\]|^(?:-+ ?)?\([^()]{0,80}\)|[♪♫][^♪♫]{0,200}[♪♫]|[♪♫]|^-+ |>>+",
    re.MULTILINE,
)
_ENDS = re.compile(r"[.!?…][\"'”’»)]*$")
_ALWAYS_ENDS = re.compile(r"[!?…][\"'”’»)]*$")
#: Words with a stop of their own: short forms, single letters, numbers.
_SHORT = re.compile(
    r"(?:st|rd|ave|ln|sq|mr|mrs|ms|dr|no|nr|approx|min|mins|sec|km|vs|etc|str|pl|ca|bzw|usw|ggf|evtl"
    r"|z\.?\s?b|d\.?\s?h|e\.g|i\.e|[^\W\d_]|\d+)\.",
    re.IGNORECASE,
)
#: Words at which a run without stops is cut; English and German.
_JOINS = frozenset(
    ["and", "so", "then", "now", "okay", "ok", "but", "und", "dann", "jetzt", "also", "aber"]
)


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence; seconds of the film.

    Attributes:
        start_s, end_s: from when to when it was said; within a caption, by its characters.
        text: its words with single spaces between them.
    """

    start_s: float
    end_s: float
    text: str


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    start_s: float
    end_s: float


def sentences(captions: Iterable[Caption]) -> tuple[Sentence, ...]:
    """Return the sentences of a commentary in the order of time.

    What is repeated by rolling captions is taken once; noises and music are left out.
    """
    words = list(_words(captions))
    found: list[Sentence] = []
    begin = 0
    for index in range(1, len(words) + 1):
        if index == len(words) or _ends(words[index - 1], words[index]):
            for piece in _pieces(words[begin:index]):
                text = " ".join(word.text for word in piece)
                found.append(Sentence(piece[0].start_s, piece[-1].end_s, text))
            begin = index
    return tuple(found)


def _words(captions: Iterable[Caption]) -> Iterator[_Word]:
    """Yield each word that is new, with its seconds."""
    said: list[str] = []
    before_s, last_line = float("-inf"), 0
    listed = list(captions)
    for index, caption in enumerate(listed):
        text = _NO_SPEECH.sub(" ", caption.text)
        words = text.split()
        bare = [_bare(word) for word in words]
        rolls = caption.start_s - before_s <= ROLLING_S
        new = _repeated(said, bare, last_line) if rolls else 0
        end_s = caption.end_s
        if index + 1 < len(listed):
            end_s = min(end_s, max(listed[index + 1].start_s, caption.start_s))
        yield from _timed(words[new:], caption.start_s, end_s)
        said = [*said, *bare[new:]][-ROLLING_WORDS:]
        if words:
            before_s, last_line = caption.end_s, len(text.rstrip().rsplit("\n", 1)[-1].split())


def _repeated(said: Sequence[str], words: Sequence[str], last_line: int) -> int:
    """Return how many of a caption's words repeat the last that were said.

    One word alone may be said twice; it is a repetition only where it was a whole line.
    """
    for count in range(min(len(said), len(words), ROLLING_WORDS), 0, -1):
        if list(words[:count]) == list(said[-count:]) and (count > 1 or last_line == 1):
            return count
    return 0


def _timed(words: list[str], start_s: float, end_s: float) -> Iterator[_Word]:
    letters = sum(len(word) + 1 for word in words)
    gone = 0
    for word in words:
        begin = start_s + (end_s - start_s) * gone / letters
        gone += len(word) + 1
        yield _Word(word, begin, start_s + (end_s - start_s) * gone / letters)


def _ends(word: _Word, following: _Word) -> bool:
    if following.start_s - word.end_s > PAUSE_S:
        return True
    if not _ENDS.search(word.text):
        return False
    if _ALWAYS_ENDS.search(word.text):
        return not following.text[0].islower()
    return not (_SHORT.fullmatch(word.text) or following.text[0].islower())


def _pieces(words: Sequence[_Word]) -> Iterator[Sequence[_Word]]:
    """Yield a run of words in pieces that are neither too long nor, without stops, too slow."""
    while words:
        cut = _cut(words)
        yield words[:cut]
        words = words[cut:]


def _cut(words: Sequence[_Word]) -> int:
    """Return how many of the words come before the first cut."""
    slow = not _ENDS.search(words[-1].text)
    letters, limit = 0, len(words)
    for index, word in enumerate(words):
        letters += len(word.text) + 1
        late = slow and word.end_s - words[0].start_s > RUN_S
        if index and (late or letters > MAX_CHARACTERS):
            limit = index
            break
    else:
        return limit
    return max(range(max(limit // 2, 1), limit + 1), key=lambda index: _ease(words, index))


def _ease(words: Sequence[_Word], index: int) -> tuple[bool, float, bool, int]:
    """Return how well a run can be cut before a word: at a comma, a pause, a joining word; late."""
    before, word = words[index - 1], words[index]
    return (
        before.text[-1] in ",;:",
        round(max(word.start_s - before.end_s, 0.0), 1),
        _bare(word.text) in _JOINS,
        index,
    )


def _bare(word: str) -> str:
    return re.sub(r"[^\w]+", "", word).casefold() or word
