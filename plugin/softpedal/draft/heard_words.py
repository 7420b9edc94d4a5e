"""What was said, as the notes keep it: the sentence and its second of the film as evidence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.film_time import film_text
from softpedal.library.note_values import DRAFTED
from softpedal.library.plain_text import UNPRINTABLE

if TYPE_CHECKING:
    from softpedal.draft.observed import Remark
    from softpedal.draft.written import Item

#: A remark placed this well, in metres, is to be checked; one placed worse is a guess.
WELL_PLACED_M = 30.0
#: Of a sentence, so much is kept as evidence, and so much as the name of a thing; characters.
MAX_SENTENCE, MAX_NAME = 300, 80
#: Evidence is a `Text` of the notes, which holds 2000 characters: room is left for the last words.
MAX_EVIDENCE = 1900
_MORE = "more was said or seen here"


def excerpt(sentence: str, most: int) -> str:
    """Return a sentence in one line, cut between words to so many characters at most."""
    text = " ".join(UNPRINTABLE.sub(" ", sentence).split())
    if len(text) <= most:
        return text
    cut = text[: most - 1]
    words = cut.rsplit(" ", 1)[0] if " " in cut else cut
    return words.rstrip(" ,;:") + "…"


def add_evidence(item: Item, words: str) -> None:
    """Put words behind the evidence of an item, as far as there is room."""
    known = item.get("evidence", "")
    if not known:
        item["evidence"] = words
    elif words in known:
        return  # one sentence may suggest several things
    elif len(known) + len(words) + 2 <= MAX_EVIDENCE:
        item["evidence"] = f"{known}; {words}"
    elif not known.endswith(_MORE):
        item["evidence"] = f"{known[:MAX_EVIDENCE]}; {_MORE}"


def add_remark(item: Item, remark: Remark, *, against: bool = False, film: bool = True) -> None:
    """Give an item a remark as evidence.

    Args:
        item: it is changed.
        remark: what was said there.
        against: whether the remark says otherwise than the map: what was sure is to be checked.
        film: whether the item gets the second of the film, if it has none.
    """
    said = remark.suggestion
    how = ", against the map" if against else ""
    sentence = excerpt(said.sentence, MAX_SENTENCE)
    add_evidence(item, f"said at {film_text(said.film_s)}{how}: “{sentence}”")
    if against:
        lower(item)
    if film:
        item.setdefault("film", film_text(said.film_s))


def new_item(remark: Remark, values: Item, confidence: str = "") -> Item:
    """Return an item of which nothing but a remark tells."""
    item = values | {"source": "said", "confidence": confidence or confidence_of(remark)}
    add_remark(item, remark)
    return item


def confidence_of(remark: Remark) -> str:
    """Return how sure one may be of what only a remark tells: never sure."""
    return "check" if remark.off_m <= WELL_PLACED_M else "guess"


def lower(item: Item) -> None:
    """Make what was sure a thing to be checked."""
    if item.get("confidence", "sure") == "sure":
        item["confidence"] = "check"


def is_doubted(item: Item) -> bool:
    """Whether a drafted item says of itself that it is not sure."""
    return item.get("source") in DRAFTED and item.get("confidence") in ("check", "guess")
