"""Sorting by words: precision and recall on invented sentences, half of them held out."""

from pathlib import Path

import pytest
import yaml

from softpedal.upkeep.reports.sorting import sort_of

LISTS = Path(__file__).parent / "report_lists"


def counts(name):
    """Return (right, given, meant) for each sort: how often both, the program, the person."""
    lists = yaml.safe_load((LISTS / f"{name}.yml").read_text(encoding="utf-8"))
    pairs = [(sort, sort_of(text)) for sort, texts in lists.items() for text in texts]
    return {
        sort: (
            sum(meant == given == sort for meant, given in pairs),
            sum(given == sort for _, given in pairs),
            sum(meant == sort for meant, _ in pairs),
        )
        for sort in lists
    }


def wrong(name):
    lists = yaml.safe_load((LISTS / f"{name}.yml").read_text(encoding="utf-8"))
    return [(s, sort_of(t), t) for s, texts in lists.items() for t in texts if sort_of(t) != s]


def test_the_lists_have_forty_sentences_and_half_of_them_were_held_out():
    sizes = [sum(meant for _, _, meant in counts(n).values()) for n in ("development", "heldout")]
    assert sum(sizes) >= 40
    assert sizes[1] >= 20


@pytest.mark.parametrize("name", ["development", "heldout"])
def test_precision_and_recall(name):
    """At most one sentence of each list is sorted wrongly: none worked with, one held out.

    They are by the same hand as the words and few, so that letters from readers will do worse.
    """
    right = sum(count for count, _, _ in counts(name).values())
    total = sum(meant for _, _, meant in counts(name).values())
    assert right >= total - 1, wrong(name)
    given, meant = (sum(c[i] for s, c in counts(name).items() if s == "changed") for i in (1, 2))
    assert (given, meant) == (counts(name)["changed"][0],) * 2, wrong(name)


@pytest.mark.parametrize(
    ("text", "sort"),
    [
        ("", "other"),
        ("Thanks, but the gate is shut", "changed"),
        ("THE GATE IS\nSHUT", "changed"),
        ("a nice view of the leaf", "other"),
        ("It\u2019s no longer there", "changed"),
        ("Why not, thanks", "better way"),
    ],
)
def test_the_first_list_that_fits_wins(text, sort):
    assert sort_of(text) == sort
