"""An issue of the newsletter: HTML and text with the same facts, within what mail carries."""

from __future__ import annotations

import pytest

from building import notes, route_of
from mail_html import issue_html
from softpedal.measure.route_measures import measure
from softpedal.settings import Settings
from softpedal.site import language
from softpedal.site.issue_news import Happened
from softpedal.site.issue_parts import Piece, TooManyError
from softpedal.site.language import Language
from softpedal.site.mail_card import LINE
from softpedal.site.newsletter import ROOM, NoAddressError, TooLongError, newsletter
from softpedal.site.plain_pages import Addresses
from softpedal.site.wording import CAUTION_SHORT

HOME = "https://lindenferry.example/rides/"
LINK = Addresses("directory", HOME)
SETTINGS = Settings(
    title="Quiet ways",
    cards=True,
    background_attribution="An invented map, CC0",
    report_address="mailto:reports@lindenferry.example?subject=Changed&body=x",
)
NEW = (Happened("new", "2026-05-16"),)
TODAY = "2026-11-20"


def piece(id_="a-way", happened=NEW, **changes):
    route = route_of(notes(**changes), id=id_)
    return Piece(route, measure(route, SETTINGS), happened)


def issue(*pieces, settings=SETTINGS, link=LINK, **more):
    return newsletter(pieces, settings, link, **{"today": TODAY, **more})


def flat(text):
    return " ".join(text.split())


def four():
    gone = {"status": "withdrawn", "withdrawn": {"why": "The *lock* is shut.", "on": "2026-11-02"}}
    works = {"from": "2026-11-01", "text": "Works."}
    return [
        piece("shut", (Happened("withdrawn", "2026-11-02", "x"),), title="Shut", **gone),
        piece("again", (Happened("re-ridden", "2026-10-01"),), title="Again"),
        piece("works", (Happened("alert", "2026-11-01", "Works."),), title="Dug", alerts=[works]),
        piece("over", (Happened("alert over", "2026-10-31", "Old *works*."),), title="Clear"),
        piece("open", (Happened("reopened"), Happened("re-ridden", "2026-11-01")), title="Open"),
        piece("new", title="Fresh"),
    ]


def test_groups_stand_in_their_order_and_each_route_once() -> None:
    made = issue(*four(), gone=["Lost"])
    order = ["New", "Fresh", "Ridden again", "Again", "Closed or reopened", "Shut", "Dug", "Clear"]
    for found in (issue_html(made.html).text, flat(made.text)):
        # From where the list begins: the line beside the subject names the routes before.
        begun = found[found.index("Issue of") :]
        at = [begun.index(words) for words in [*order, "Open", "No longer offered: Lost."]]
        assert at == sorted(at)
        assert "Ridden again on 1 October 2026." in found
        assert "Withdrawn on 2 November 2026." in found
        assert "Offered again: it had been withdrawn." in found
        assert "Ended on 31 October 2026: Old works." in found
        assert "From 1 November 2026: Works." in found
        assert found.count("Closed or reopened") == 1
    assert made.subject == "Quiet ways: 1 new route, 1 ridden again, 5 closed or reopened"
    assert (made.short, made.only_named) == (0, 0)


def test_both_forms_have_the_same_addresses_and_the_foot() -> None:
    made = issue(*four(), intro="See [this](https://a.example/x).")
    html = issue_html(made.html)
    assert html.faults == []
    pages = {f"{HOME}routes/{p.route.id}/" for p in four()}
    assert {*pages, f"{HOME}routes/"} <= set(html.links)
    for address in {*pages, f"{HOME}routes/", "https://a.example/x"}:
        assert address in made.text
    assert SETTINGS.report_address in html.links
    assert "Report it:\nreports@lindenferry.example\n" in made.text
    for found in (html.text, flat(made.text)):
        assert found.count(CAUTION_SHORT) == len(pages) + 1
        assert found.count("An invented map, CC0.") == len(pages) + 1
        assert "Issue of 20 November 2026" in found
        assert "Something here is wrong or has changed? Report it" in found
    assert all(a.startswith(("https://", "mailto:")) for a in html.links)
    assert all(p["src"].startswith("https://") for p in html.pictures)


def test_only_what_is_gone_makes_an_issue_too() -> None:
    made = issue(gone=["Lost & found"])
    for found in (issue_html(made.html).text, flat(made.text)):
        assert "Closed or reopened" in found
        assert "No longer offered: Lost & found." in found
    assert made.subject == "Quiet ways: 1 closed or reopened"


def test_chosen_routes_stand_in_the_order_in_which_they_were_named() -> None:
    made = issue(piece("z", (), title="Zed"), piece("a", (), title="Ay"))
    assert made.text.index("\nZed\n") < made.text.index("\nAy\n")
    assert "\nRoutes\n======\n" in made.text
    assert made.subject == "Quiet ways: 2 routes"
    assert issue(piece(title="Zed")).subject == "Quiet ways: 1 new route, Zed"


def test_the_frame_is_whole() -> None:
    made = issue(piece())
    for words in (
        '<html lang="en" dir="ltr">',
        '<meta charset="utf-8">',
        '<meta name="color-scheme" content="light dark">',
        "<title>Quiet ways: 1 new route, Ferry Steps to Chapel Green</title>",
    ):
        assert words in made.html
    assert issue_html(made.html).text.startswith("Ferry Steps to Chapel Green Quiet ways Issue of")
    assert "@import" not in made.html
    assert "url(" not in made.html
    assert issue(piece()) == made


def test_another_language_says_its_own_and_its_direction() -> None:
    before = language.current()
    language.use(Language("he", {"New": "חדש", "All routes": "כל המסלולים"}))
    try:
        made = issue(piece())
    finally:
        language.use(before)
    assert '<html lang="he" dir="rtl">' in made.html
    assert "חדש\n===\n" in made.text
    assert issue_html(made.html).faults == []


def test_opening_words_are_markdown_and_html_in_them_is_text() -> None:
    intro = (
        "# Hello\n\n## Below\n\n<script>x()</script> **strong** ![p](https://a.example/p.png)\n\n"
        "3. three\n\n> said\n\n- a\n- b\n\n```js\n<b>\n```\n\n---\n\n"
        '[bad](javascript:x) [good](https://a.example/?a="1"&b=2 "title > here")\n'
    )
    html = issue(piece(), intro=intro).html
    walked = issue_html(html)
    assert walked.faults == []
    assert "<script>x()</script> strong" in walked.text
    assert "[bad](javascript:x)" in walked.text
    assert "https://a.example/?a=%221%22&b=2" in walked.links
    assert '<h2 style="' in html
    assert html.index("Hello</h2>") < html.index("Below</h3>")
    assert '<ol start="3" style' in html
    assert " class=" not in html
    assert intro.splitlines()[0] in issue(piece(), intro=intro).text


def test_long_opening_words_are_wrapped_in_the_text() -> None:
    text = issue(piece(), intro="word " * 100).text
    assert max(map(len, text.splitlines())) <= LINE


def test_a_title_cannot_leave_its_place() -> None:
    evil = "</td></table><script>x()</script>\u202e {{ 7*7 }} {% if"
    made = issue(piece(title=evil), settings=SETTINGS.model_copy(update={"title": evil}))
    walked = issue_html(made.html)
    assert walked.faults == []
    assert "<script>x()</script>" in walked.text
    assert "{{ 7*7 }}" in made.text
    assert made.subject.count("\u202e") == made.subject.count("\u202c")


@pytest.mark.parametrize("subject", ["One\r\nBcc: a@b.example", " One\nBcc: a@b.example "])
def test_a_subject_is_one_line(subject) -> None:
    assert issue(piece(), subject=subject).subject == "One Bcc: a@b.example"


def test_forty_routes_of_full_length_fit_and_none_is_dropped() -> None:
    """40 routes within 70 kB: what has no card has a row with its figures and its alerts."""
    long = {
        "summary": "Along the water and through the park, past the mill. " * 6,
        "alerts": [{"from": "2026-11-01", "until": "2027-01-31", "text": "Quay wall works."}],
    }
    pieces = [piece(f"way-{n}", title=f"Way number {n} of many", **long) for n in range(40)]
    made = issue(*pieces, intro="Hello. " * 100)
    assert len(made.html.encode()) <= ROOM
    assert 0 < made.short < 40
    assert made.only_named == 0
    walked = issue_html(made.html)
    assert walked.faults == []
    for found in (walked.text, flat(made.text)):
        for n in range(40):
            assert f"Way number {n} of many" in found
        assert found.count("0 % quiet share") == 40
        assert found.count("1 November 2026 to 31 January 2027: Quay wall works.") == 40
    assert {f"{HOME}routes/way-{n}/" for n in range(40)} <= set(walked.links)
    assert len(walked.pictures) == 40 - made.short


def test_hundreds_of_routes_are_told_by_their_titles() -> None:
    one = piece(summary="x")
    made = issue(*[one] * 250)
    assert len(made.html.encode()) <= ROOM
    assert made.only_named > 0
    assert issue_html(made.html).links.count(f"{HOME}routes/a-way/") >= 250
    assert made.text.count(f"{HOME}routes/a-way/") == 250
    with pytest.raises(TooManyError, match="1,000 routes are more than"):
        issue(*[one] * 1000)


def test_what_cannot_be_made_is_refused() -> None:
    with pytest.raises(NoAddressError, match="address of the published site") as refused:
        issue(piece(), link=Addresses())
    assert "site_url" in refused.value.hint
    assert "--base" in refused.value.hint
    with pytest.raises(TooLongError, match="70,000 bytes"):
        issue(piece(), intro="word " * 20_000)
