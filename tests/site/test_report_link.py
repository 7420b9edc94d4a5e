"""The address for reports: filled in, percent-encoded, and found again in what comes back."""

import re
from urllib.parse import parse_qs, parse_qsl, unquote, urlsplit

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as runs
from hypothesis import strategies as st
from pydantic import ValidationError

from building import make_route, notes
from softpedal.library.load import load_route, load_settings
from softpedal.library.report_reference import Reference, find_reference
from softpedal.settings import REPORT_PLACEHOLDERS, Settings
from softpedal.site.language import Language, use
from softpedal.site.plain_pages import Addresses
from softpedal.site.report_link import (
    invitation,
    library_report_link,
    report_link,
    report_row,
)

LINK = Addresses("directory", "https://lindenferry.example/rides/")
MAIL = "mailto:reports@lindenferry.example"
#: Characters that RFC 3986 lets stand in an address as they are.
ALLOWED = re.compile(r"[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+,;=%]*")


@pytest.fixture
def route(tmp_path):
    return load_route(make_route(tmp_path)).route


def link_of(route, address, **more):
    return report_link(Settings(report_address=address), route, LINK, **more)


def test_without_an_address_there_is_no_link(route):
    assert report_link(Settings(), route, LINK, 10.0) == ""
    assert report_row(None, 10.0, "outbound", "here") is None


def test_a_plain_mail_address_gets_subject_and_body(route):
    found = urlsplit(link_of(route, MAIL, at_m=1240.0))
    fields = parse_qs(found.query, strict_parsing=True)
    assert (found.scheme, found.path) == ("mailto", "reports@lindenferry.example")
    assert fields["subject"] == ["Ferry Steps to Chapel Green, 1.24 km"]
    lines = fields["body"][0].split("\r\n")
    assert lines[0] == invitation()
    assert lines[-2] == "https://lindenferry.example/rides/routes/ferry-steps-to-chapel-green/"
    lat, lon = route.along.track.at(1240.0)
    assert lines[-1] == (
        f"[softpedal ferry-steps-to-chapel-green outbound 1240 m {lat:.5f},{lon:.5f} 2026-05-16]"
    )


def test_lines_of_a_mail_end_as_rfc_6068_asks_and_spaces_are_no_plus(route):
    """RFC 6068, section 5: a line break is %0D%0A; section 2: a space is %20."""
    address = link_of(route, MAIL)
    assert "%0D%0A" in address
    assert "%0A" not in address.replace("%0D%0A", "")
    assert "+" not in address
    assert ALLOWED.fullmatch(address)


def test_a_mail_address_keeps_a_subject_of_its_own(route):
    address = link_of(route, f"{MAIL}?subject=Ways")
    assert parse_qs(urlsplit(address).query)["subject"] == ["Ways"]
    assert "body=What" in address


def test_a_plain_web_address_stays_as_it_is(route):
    address = "https://issues.example/new?labels=a+b"
    assert link_of(route, address, at_m=5.0) == address


def test_a_template_is_filled_in(route):
    names = [name for name in REPORT_PLACEHOLDERS if name not in ("subject", "body")]
    template = "https://issues.example/new?" + "&".join(f"{n}={{{n}}}" for n in names)
    found = dict(parse_qsl(urlsplit(link_of(route, template, at_m=1240.4)).query))
    lat, lon = route.along.track.at(1240.4)
    assert found == {
        "route": "ferry-steps-to-chapel-green",
        "title": "Ferry Steps to Chapel Green",
        "at": "1.24 km",
        "metres": "1240",
        "lat": f"{lat:.5f}",
        "lon": f"{lon:.5f}",
        "date": "2026-05-16",
        "address": "https://lindenferry.example/rides/routes/ferry-steps-to-chapel-green/",
    }


def test_what_is_not_known_is_empty(tmp_path):
    folder = make_route(tmp_path, notes(status="draft", ridden=None))
    template = "https://x.example/?a={at}&b={lat}&c={date}&d={address}&e={metres}"
    settings = Settings(report_address=template)
    address = report_link(settings, load_route(folder).route, Addresses("directory", ""))
    assert address == "https://x.example/?a=&b=&c=&d=&e="


def test_the_way_back_is_counted_and_placed_from_its_own_start(route):
    body = parse_qs(urlsplit(link_of(route, MAIL, at_m=200.0, direction="return")).query)["body"]
    found = find_reference(body[0])
    assert (found.direction, found.metres) == ("return", 200)
    assert found.place == pytest.approx(route.along.track.at(1800.0), abs=2e-5)


def test_units_and_language_of_the_page_are_used(route):
    settings = Settings(report_address=MAIL, units="imperial")
    use(Language("de", {"What has changed? Please do not write names of people.": "Was ist neu?"}))
    try:
        address = report_link(settings, route, LINK, 1609.344)
    finally:
        use(Language())
    fields = parse_qs(urlsplit(address).query)
    assert fields["subject"] == ["Ferry Steps to Chapel Green, 1,00 mi"]
    assert fields["body"][0].startswith("Was ist neu?\r\n")
    assert find_reference(fields["body"][0]).metres == 1609


def test_the_name_of_a_link_begins_with_its_words():
    """WCAG 2.2, 2.5.3 Label in Name: the visible words stand in the name."""
    row = report_row(lambda *_: "mailto:x@y.example", 1240.0, "outbound", "1.24 km, Dock Road")
    assert row.name == "Changed? 1.24 km, Dock Road"


NASTY = st.text(
    st.one_of(
        st.sampled_from(list("{}\"'<>&?#%+\\ \u202e\u2066\u200f\xa0äß😀")),
        st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]),
    ),
    min_size=1,
    max_size=60,
).filter(str.strip)


@runs(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(title=NASTY, text=NASTY)
def test_any_title_goes_there_and_back(route, title, text):
    """Braces in a title are no placeholders, and nothing of it ends its field."""
    noted = route.notes.model_copy(update={"title": f"{title}\r\n{text}"})
    named = type(route)(route.id, route.folder, noted, route.along)
    address = link_of(named, "https://x.example/{route}/?a={title}&b={subject}&c={body}", at_m=3.0)
    assert ALLOWED.fullmatch(address)
    parts = urlsplit(address).query.split("&")
    assert [unquote(part.partition("=")[2]) for part in parts[:2]] == [
        noted.title,
        f"{noted.title}, 0.00 km",
    ]
    assert len(parts) == 3
    assert find_reference(unquote(parts[2])).metres == 3


REFERENCES = st.builds(
    Reference,
    st.from_regex(r"[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,3}", fullmatch=True),
    st.sampled_from(["outbound", "return"]),
    st.integers(0, 99_999),
    st.tuples(st.floats(-89, 89), st.floats(-179, 179)).map(
        lambda place: tuple(round(each, 5) + 0.0 for each in place)
    ),
    st.sampled_from(["", "2026-05-16"]),
)


@given(reference=REFERENCES, gap=st.sampled_from([" ", "\n", "\n> ", "\r\n>> ", "  ", "\xa0"]))
def test_a_reference_is_found_again_quoted_and_wrapped(reference, gap):
    text = f"> Hallo!\n> {str(reference).replace(' ', gap)}\nDanke"
    assert find_reference(text) == reference


def test_a_reference_to_a_whole_page_is_found_and_other_brackets_are_none():
    whole = Reference("a-b", "return", page="2026-05-16")
    assert str(whole) == "[softpedal a-b return 2026-05-16]"
    assert find_reference(str(whole)) == whole
    assert find_reference("[softpedal] [softpedal a b c] [a-b outbound]") is None


@pytest.mark.parametrize(
    ("address", "says", "hint"),
    [
        ("https://x.example/{rout}", "{rout}", "{route}, {title}"),
        ("https://x.example/{route", "brace stands alone", "{route}"),
        ("https://x.example/route}", "brace stands alone", "{route}"),
        ("https://x.example/{}", "`{}`", "{route}"),
        ("https://x.example/{{route}}", "brace stands alone", "{route}"),
        ("mailto:a b@x.example", "address to report to", "mailto"),
    ],
)
def test_a_wrong_placeholder_is_a_fault_with_its_place(tmp_path, address, says, hint):
    path = tmp_path / "softpedal.yml"
    path.write_text(f'title: x\nreport_address: "{address}"\n', encoding="utf-8")
    settings, (problem,) = load_settings(path)
    assert settings is None
    assert (problem.code, problem.line, problem.column) == ("settings-value", 2, 17)
    assert says in problem.message
    assert hint in problem.hint


def test_every_placeholder_is_allowed_and_filled_in(route):
    template = "https://x.example/?" + "&".join(f"{n}={{{n}}}" for n in REPORT_PLACEHOLDERS)
    address = link_of(route, template, at_m=1.0)
    assert not set("{}") & set(address)
    assert "=&" not in address
    with pytest.raises(ValidationError):
        Settings(report_address=template + "{other}")


def test_without_a_route_a_template_is_filled_in_as_far_as_it_goes():
    template = "https://git.example/new?title={subject}&at={at}&body={body}"
    address = library_report_link(Settings(title="Quiet & near", report_address=template))
    fields = parse_qs(urlsplit(address).query, keep_blank_values=True)
    assert fields == {"title": ["Quiet & near"], "at": [""], "body": [invitation()]}
    assert library_report_link(Settings(report_address=MAIL)) == MAIL
    assert library_report_link(Settings()) == ""
