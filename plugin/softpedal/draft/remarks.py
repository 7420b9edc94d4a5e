"""Sentences of a commentary → what they suggest for the notes, by the phrases of a table.

Speech is never sure: a suggestion is for an author to look at. What is denied, past, wished for or
only heard of suggests nothing.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.draft.observed import Suggestion
from softpedal.draft.phrase_patterns import BREAK, heard
from softpedal.draft.phrase_table import MAX_LABEL

if TYPE_CHECKING:
    import re
    from collections.abc import Iterable, Iterator, Sequence

    from softpedal.draft.observed import Sort
    from softpedal.draft.phrase_patterns import Heard
    from softpedal.draft.phrase_table import Entry, PhraseTable
    from softpedal.draft.sentences import Sentence

#: A negation reaches no further than this many words on, for captions without commas; those of
#: a noun, like "no" and "without", reach less far.
REACH_WORDS = 7
NEAR_WORDS = 3

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Match:
    start: int
    end: int
    entry: Entry | None
    """None for a turn of speech that says nothing."""


def suggestions(sentences: Iterable[Sentence], table: PhraseTable) -> tuple[Suggestion, ...]:
    """Return what the sentences suggest, in their order.

    A sentence may suggest several things; each sort at most once in each of its clauses, and the
    same facts once.
    """
    return tuple(found for each in sentences for found in _of_sentence(each, table))


def _of_sentence(sentence: Sentence, table: PhraseTable) -> Iterator[Suggestion]:
    spoken = heard(sentence.text)
    matches = _matches(spoken.text, table)
    clauses = _Clauses(spoken.text, table, matches)
    given: list[tuple[Sort, dict[str, str]]] = []
    taken: set[tuple[str, int]] = set()
    for match in matches:
        entry = match.entry
        if entry is None or not clauses.holds(match):
            continue
        key = (entry.sort, clauses.around(match)[0])
        facts = _facts(sentence.text, spoken, match, clauses)
        if key in taken or any(s == entry.sort and facts.items() <= f.items() for s, f in given):
            continue
        taken.add(key)
        given = [(s, f) for s, f in given if s != entry.sort or not f.items() <= facts.items()]
        given.append((entry.sort, facts))
    for sort, facts in given:
        yield Suggestion(sentence.start_s, sentence.text, sort, facts)


def _matches(text: str, table: PhraseTable) -> list[_Match]:
    """Return where phrases stand, without those that stand within a longer one.

    What overlaps a turn of speech that says nothing says nothing either, unless it is the longer.
    """
    found = [
        _Match(*match.span(), entry)
        for entry in table.entries
        for match in entry.phrases.finditer(text)
    ]
    found += [_Match(*span, None) for span in _spans(table.nothing, text)]
    found.sort(key=lambda m: (m.start, -m.end, m.entry is not None))
    kept: list[_Match] = []
    furthest = _Match(0, 0, None)
    for match in found:
        same = (match.start, match.end) == (furthest.start, furthest.end)
        if match.end <= furthest.end and (furthest.entry is None or not same):
            continue
        kept.append(match)
        furthest = match
    nothing = [(match.start, match.end) for match in kept if match.entry is None]
    return [m for m in kept if m.entry is None or not _is_cut(m, nothing)]


def _is_cut(match: _Match, nothing: Sequence[Span]) -> bool:
    """Whether a turn of speech begins before a match ends and reaches out of it, or the reverse."""
    index = bisect_right(nothing, (match.end - 1, match.end)) - 1
    while index >= 0 and nothing[index][1] > match.start:
        if nothing[index][0] < match.start or nothing[index][1] > match.end:
            return True
        index -= 1
    return False


def _facts(said: str, spoken: Heard, match: _Match, clauses: _Clauses) -> dict[str, str]:
    assert match.entry is not None
    facts = dict(match.entry.facts)
    if match.entry.said:
        words = spoken.as_said(said, match.start, clauses.around(match)[1])
        facts[match.entry.said] = words[:MAX_LABEL].strip()
    if match.entry.sort == "banned" and clauses.is_other_way(match):
        facts["direction"] = "return"
    return facts


def _spans(pattern: re.Pattern[str] | None, text: str) -> list[Span]:
    return [match.span() for match in pattern.finditer(text)] if pattern else []


class _Clauses:
    """Where the clauses of a sentence begin and end, and which words of it take a meaning away."""

    def __init__(self, text: str, table: PhraseTable, matches: Sequence[_Match]) -> None:
        self.text, self.table = text, table
        self.phrases = _merged((match.start, match.end) for match in matches)
        self.unless: dict[int, list[Span]] = {}
        commas = [(at, at + 2) for at in range(1, len(text)) if text[at] == BREAK]
        breaks = sorted(commas + self._free(table.breaks))
        self.break_starts = [start for start, _ in breaks]
        self.break_ends = sorted(end for _, end in breaks)
        far = self._free(table.negations) + self._free(table.unreal)
        self.before = {
            REACH_WORDS: sorted(far),
            NEAR_WORDS: sorted(self._free(table.negations_near)),
        }
        self.after = sorted(self._free(table.negations_after) + self._free(table.unreal_after))
        self.past, self.ended = self._free(table.past), self._free(table.ended)
        self.other_way = _spans(table.other_way, text)
        self.this_way = _spans(table.this_way, text)

    def around(self, match: _Match) -> Span:
        """Return from where to where the clause of a match reaches."""
        index = bisect_right(self.break_ends, match.start) - 1
        start = self.break_ends[index] if index >= 0 else 0
        index = bisect_left(self.break_starts, match.end)
        end = self.break_starts[index] if index < len(self.break_starts) else len(self.text)
        return start, max(end, match.end)

    def holds(self, match: _Match) -> bool:
        """Whether a match is meant as it is said."""
        clause = self.around(match)
        if any(start < clause[1] and end > clause[0] for start, end in self._unless(match.entry)):
            return False
        if self._is_reached(clause[0], match.start) or _within(self.after, match.end, clause[1]):
            return False
        past = _within(self.past, clause[0], match.start)
        return not (past and _next(self.ended, match.end, clause[1]))

    def is_other_way(self, match: _Match) -> bool:
        """Whether a match is about the way back: by its clause, or else by its sentence."""
        clause = self.around(match)
        if _within(self.other_way, *clause):
            return True
        return bool(self.other_way) and not _within(self.this_way, *clause)

    def _unless(self, entry: Entry | None) -> list[Span]:
        """Return where the words stand that take the meaning of an entry away."""
        if entry is None or entry.unless is None:
            return []
        if id(entry) not in self.unless:
            self.unless[id(entry)] = _spans(entry.unless, self.text)
        return self.unless[id(entry)]

    def _is_reached(self, clause_start: int, start: int) -> bool:
        """Whether a negation stands shortly before a place, in its clause."""
        for reach, spans in self.before.items():
            index = bisect_left(spans, (start, 0)) - 1
            while index >= 0 and spans[index][1] > start:
                index -= 1
            if index >= 0 and spans[index][0] >= clause_start:
                between = self.text[spans[index][1] : min(start, spans[index][1] + reach * 20)]
                if between.count(" ") < reach:
                    return True
        return False

    def _free(self, pattern: re.Pattern[str] | None) -> list[Span]:
        """Return where words stand that belong to no phrase."""
        starts = [start for start, _ in self.phrases]
        found = []
        for start, end in _spans(pattern, self.text):
            index = bisect_right(starts, start) - 1
            if index < 0 or self.phrases[index][1] < end:
                found.append((start, end))
        return found


def _merged(spans: Iterable[Span]) -> list[Span]:
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start < merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _within(spans: Sequence[Span], start: int, end: int) -> list[Span]:
    """Return which of some spans, in order, lie between two places."""
    first = bisect_left(spans, (start, 0))
    last = bisect_right(spans, (end, 0))
    return [span for span in spans[first:last] if span[1] <= end]


def _next(spans: Sequence[Span], start: int, end: int) -> bool:
    """Whether one begins between two places, the second included: it may be a break itself."""
    return bisect_right(spans, (end, 1 << 60)) > bisect_left(spans, (start, 0))
