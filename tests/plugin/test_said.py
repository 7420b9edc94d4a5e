"""What was only said on the ride stands on the page as that, and is not counted as confirmed."""

from __future__ import annotations

import re

import pytest

from building import leg, line_east, make_route, notes
from plugin.test_language import made_up
from site_building import build_site
from softpedal.site import language
from softpedal.site.language import Language

SAID = "said on the ride, not yet confirmed"


@pytest.fixture
def library(tmp_path):
    found = {"source": "said", "evidence": "said at 4:10: “<b>Mind</b> the pothole”"}
    text = notes(
        legs=[
            leg("start", "back street"),
            leg("500 m", "filtered street", closed_by="posts", confidence="check", **found),
        ],
        hazards=[{"at": "700 m", "what": "pothole", **found}],
        landmarks=[{"at": "900 m", "what": "silo", "confidence": "guess", **found}],
        ridden=[{"on": "2026-05-16", "direction": "outbound"}],
    )
    make_route(tmp_path, text, line_east(2000), id="route-1")
    return tmp_path


def page(library):
    text = build_site(library).text("routes/route-1/index.html")
    return re.sub(r"\s+", " ", text)


def test_the_page_says_of_each_that_it_was_said(library):
    found = page(library)
    assert found.count(f"<em>{SAID}, to be checked.</em>") >= 1
    assert found.count(f"<em>{SAID}, a guess.</em>") >= 1
    assert found.count(f"<em>{SAID}.</em>") >= 1
    assert "counted as a back street" in found
    assert "Outbound: 25 % of the distance confirmed by riding." in found
    assert "<b>Mind</b>" not in found


def test_it_says_so_in_another_language_too(library, monkeypatch):
    spoken = Language("en", {}, through=made_up)
    monkeypatch.setattr(language, "language_of", lambda *_: spoken)
    found = page(library)
    assert made_up(SAID) in found
    assert SAID not in found
