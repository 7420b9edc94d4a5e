"""Points that a film and its line probably share: spoken street names, and turns."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from softpedal.draft.bends import bends
from softpedal.draft.heard_words import excerpt
from softpedal.draft.phrase_patterns import plain_word
from softpedal.library.film_time import film_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.film_sync import FilmSync
    from softpedal.draft.sentences import Sentence
    from softpedal.library.track import Track

#: A name is heard if it is so like what was said, of 100; a turn alone fits so well.
LIKE, TURN_FITS = 82.0, 60.0
#: Shorter names than this many letters must be heard to the letter.
_SHORT_NAME = 5
#: How far from where the film is thought to be a name and a turn are looked for, metres, besides
#: what the sync itself says it may be off.
NAME_M, TURN_M = 400.0, 100.0
#: A street that is spoken of is at most so far away, metres.
FAR_M = 120.0
#: What the sync explains within so many metres needs no point.
KNOWN_M = 15.0
#: A turn is spoken of at most so long after it was made, and so long before, seconds.
LATE_S, EARLY_S = 8.0, 45.0
#: So much of the fit is lost for each 100 m that a place lies from where the sync puts it.
_LOST_PER_100_M = 8.0

_SHORT_FORMS = {
    "street": "st", "road": "rd", "lane": "ln", "avenue": "ave", "square": "sq", "saint": "st",
}  # fmt: skip
_WORDS = re.compile(r"[^\W_]+(?:['’´`][^\W_]+)*")
_TURNS = re.compile(
    r"\b(?:turn(?:ing)?|bear(?:ing)?|go(?:ing)?|sharp|hard)\s+(left|right)\b"
    r"|\b(left|right)\s+(?:here|turn|now|into|onto|on to)\b"
)


@dataclass(frozen=True, slots=True)
class Proposal:
    """A point that film and line may share.

    Attributes:
        film_s: second of the film.
        at_m: chainage, metres.
        said: the sentence.
        why: what it fits, in words.
        fit: how well, up to 100.
    """

    film_s: float
    at_m: float
    said: str
    why: str
    fit: float

    def as_option(self) -> str:
        """Return it as it is typed on the command line."""
        return f"--sync {film_text(self.film_s)}={self.at_m / 1000:.2f}km"


def proposals(
    sentences: Sequence[Sentence],
    legs: Sequence[tuple[float, str]],
    track: Track,
    film: FilmSync,
) -> tuple[Proposal, ...]:
    """Return points that spoken names and turns suggest, ascending on film and line.

    Args:
        sentences: of the commentary.
        legs: (chainage at which it begins, street) in riding order.
        track: the line.
        film: the sync as it is known so far.

    Returns:
        The set that fits best of all that run the same way on film and line, without those that
        the sync explains already.
    """
    turns = [(bend.at_m, "right" if bend.turn_degrees > 0 else "left") for bend in bends(track)]
    found = [p for each in sentences for p in _of_sentence(each, legs, turns, film)]
    return tuple(p for p in _in_order(found) if not _is_known(p, film))


def unfit_names(
    sentences: Sequence[Sentence],
    legs: Sequence[tuple[float, str]],
    length_m: float,
    film: FilmSync,
) -> tuple[int, int]:
    """Return how many spoken street names are far from their streets, and how many there are.

    Args:
        sentences: of the commentary.
        legs: (chainage at which it begins, street) in riding order.
        length_m: of the line.
        film: the sync.
    """
    ends = [*(from_m for from_m, _ in legs[1:]), length_m]
    far = named = 0
    for sentence in sentences:
        place, said = film.place(sentence.start_s), _plain(sentence.text)
        apart = [
            max(from_m - place[0], place[0] - end_m, 0.0)
            for (from_m, street), end_m in zip(legs, ends, strict=True)
            if place is not None and _likeness(street, said) >= LIKE
        ]
        named += bool(apart)
        far += bool(apart) and min(apart) > FAR_M
    return far, named


def _of_sentence(
    sentence: Sentence,
    legs: Sequence[tuple[float, str]],
    turns: Sequence[tuple[float, str]],
    film: FilmSync,
) -> list[Proposal]:
    place = film.place(sentence.start_s)
    if place is None:
        return []
    said = _plain(sentence.text)
    match = _TURNS.search(said)
    side = (match[1] or match[2]) if match else ""
    found = []
    for at_m, street in legs:
        like = _likeness(street, said)
        if like >= LIKE and at_m > 0:
            fit = like - _lost(at_m, place, NAME_M)
            turned = any(s == side and abs(m - at_m) <= 40 for m, s in turns)
            why = f"“{street}” begins here" + (f", with a turn {side}" if turned else "")
            found.append(_proposal(sentence, at_m, why, fit + 10 * turned))
    if not found:
        for at_m, way in turns:
            if way == side:
                fit = TURN_FITS - 3 * _lost(at_m, place, TURN_M)
                found.append(_proposal(sentence, at_m, f"the line turns {side} here", fit))
    return [p for p in found if p.fit > 0]


def _proposal(sentence: Sentence, at_m: float, why: str, fit: float) -> Proposal:
    words = excerpt(sentence.text, 120)
    return Proposal(sentence.start_s, at_m, words, why, min(round(fit, 1), 100.0))


def _lost(at_m: float, place: tuple[float, float], within_m: float) -> float:
    """Return what a fit loses by distance; a great deal beyond reach."""
    off_m = abs(at_m - place[0])
    return 1000.0 if off_m > within_m + place[1] else off_m / 100 * _LOST_PER_100_M


def _likeness(street: str, said: str) -> float:
    """Return how like a street's name is to words in a row of what was said, up to 100."""
    name = _plain(street)
    if len(name.replace(" ", "")) < _SHORT_NAME:
        return 100.0 if name and f" {name} " in f" {said} " else 0.0
    words, most = said.split(), len(name.split()) + 1
    best = 0.0
    for start in range(len(words)):
        for end in range(start + 1, min(start + most + 1, len(words)) + 1):
            spoken = "".join(words[start:end])
            best = max(best, fuzz.ratio(name.replace(" ", ""), spoken))
    return best


def _plain(text: str) -> str:
    words = (plain_word(word) for word in _WORDS.findall(text))
    return " ".join(_SHORT_FORMS.get(word, word) for word in words)


def _in_order(found: Sequence[Proposal]) -> list[Proposal]:
    """Return the proposals of the greatest fit that ascend on film and line, one a sentence."""
    rows = sorted(found, key=lambda p: (p.film_s, p.at_m))
    best: list[tuple[float, int]] = []
    for i, here in enumerate(rows):
        before = [
            (best[k][0], k) for k in range(i) if rows[k].film_s < here.film_s
            and rows[k].at_m < here.at_m
        ]  # fmt: skip
        total, came = max(before, default=(0.0, -1))
        best.append((total + here.fit, came))
    if not rows:
        return []
    index = max(range(len(rows)), key=lambda i: best[i][0])
    chain = []
    while index >= 0:
        chain.append(rows[index])
        index = best[index][1]
    return chain[::-1]


def _is_known(proposal: Proposal, film: FilmSync) -> bool:
    """Whether the sync, if it is good there, brings the film to the place soon enough.

    One says where one will turn before one does.
    """
    place, second = film.place(proposal.film_s), film.second(proposal.at_m)
    if place is None or second is None or place[1] > 2 * KNOWN_M:
        return False
    return -LATE_S <= second - proposal.film_s <= EARLY_S
