"""What a report is about, by the words in it: changed, a better way, thanks or something else."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, cast

from softpedal.library.yaml_source import read_yaml

if TYPE_CHECKING:
    from softpedal.library.reports import Sort

WORDS = Path(__file__).with_name("report_words.yml")


def sort_of(text: str) -> Sort:
    """Return the sort of a report, by the first list of report_words.yml that fits it.

    It is a first guess: the author reads every report and may write another sort.
    """
    words = " ".join(re.sub(r"[\u2018\u2019]", "'", text).casefold().split())
    for sort, pattern in _patterns().items():
        if pattern.search(words):
            return sort
    return "other"


@lru_cache(maxsize=1)
def _patterns() -> dict[Sort, re.Pattern[str]]:
    source, problems = read_yaml(WORDS.read_bytes(), WORDS.name)
    if source is None:
        raise ValueError(str(problems[0]))
    return {
        cast("Sort", sort): re.compile("|".join(map(_expression, phrases.splitlines())))
        for sort, phrases in source.data.items()
    }


def _expression(phrase: str) -> str:
    parts = (
        r"(?:\S+ ){0,4}" if word == "…" else _word(word) + r"(?:\W+|$)"
        for word in phrase.casefold().split()
    )
    return rf"\b{''.join(parts)}"


def _word(word: str) -> str:
    return r"\w*".join(re.escape(part) for part in word.split("*")) if word != "*" else r"\w+"
