"""A second language is one file; a page in a made-up language has no English left."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from building import crossing, leg, line_east, make_route, notes
from site_building import build_site
from softpedal.site import language
from softpedal.site.language import Language, date, number, tr, trn, use

#: Letters of the made-up language: no ASCII letter is left in a text that went through it.
MADE_UP = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "åƀçđéƒğħíĵķłɱñöƥɋřšŧûṽŵẋýžÅƁÇĐÉƑĞĤÍĴĶŁṀÑÖƤɊŘŠŦÛṼŴẊÝŽ",
)

#: What is the same in every language: units, file formats, names of places and addresses.
SAME = {
    "km",
    "m",
    "mi",
    "min",
    "s",
    "GPX",
    "GeoJSON",
    "mph",
    "h",
    "UTC",
    "CSV",
    "cm",
    "PNG",
    "QR",
    "SVG",
}


def made_up(text: str) -> str:
    """Put a text into the made-up language, but not the names in its braces."""
    return "".join(
        part if part.startswith("{") else part.translate(MADE_UP)
        for part in re.split(r"(\{[^}]*\})", text)
    )


@pytest.fixture(autouse=True)
def _english_afterwards():
    yield
    use(Language())


@pytest.fixture
def library(tmp_path):
    """A route that uses much; every word of its author is in capitals of another alphabet."""
    text = notes(
        title="ΑΛΦΑ",
        area=["ΒΗΤΑ"],
        start="ΓΑΜΑ",
        finish="ΔΕΛΤΑ",
        summary="ΕΨΙΛΟΝ.",
        legs=[
            leg(
                "start",
                None,
                "ΖΗΤΑ",
                hours={"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"},
                closed_by="ΗΤΑ",
                lit="no",
                walkers="many",
                surface="cobbles",
            ),
            leg("600 m", "painted lane", "ΘΗΤΑ", speed_limit="30 mph", lanes=2, parking=True),
            leg("1.2 km", "filtered street", "ΙΟΤΑ", source="said", confidence="check"),
        ],
        crossings=[
            crossing("590 m", "zebra", road="ΚΑΠΑ", vehicles_per_day=9000, lanes=2),
            crossing("1.1 km", "none", road="ΛΑΜΔΑ", vehicles_per_day=12000, lanes=2),
        ],
        dismounts=[{"at": "1.3 km", "why": "ΜΙ", "metres": 15, "direction": "return"}],
        hazards=[
            {"at": "700 m", "to": "800 m", "what": "ΝΙ", "severity": "serious", "source": "map"}
        ],
        barriers=[{"at": "1.4 km", "what": "ΞΙ", "gap": "1.2 m", "lift": True}],
        landmarks=[{"at": "900 m", "what": "ΟΜΙΚΡΟΝ", "side": "left"}],
        alerts=[{"from": "2026-09-01", "until": "2026-10-15", "text": "ΠΙ."}],
        closed=["21:00-06:00"],
        who={"child": "no", "cargo": "with care"},
        changed=[{"on": "2025-04", "text": "ΡΟ."}],
        planned=[{"text": "ΣΙΓΜΑ.", "expected": 2027}],
        wishes=[{"at": "1 km", "what": "ΤΑΦ"}],
        direct={"km": 1.8, "minutes": 9},
        ridden=[{"on": "2026-05-16", "direction": "outbound", "moving": 9, "standing": 2}],
    )
    make_route(tmp_path, text, line_east(2000, height=lambda s: 10 + s / 60), id="route-1")
    return tmp_path


class _Text(HTMLParser):
    """Collects what is seen or spoken: text, and the attributes that are read out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in CODE:
            self.hidden += 1
        self.found += [v for k, v in attrs if k in {"aria-label", "alt", "title"} and v]

    def handle_endtag(self, tag: str) -> None:
        if tag in CODE:
            self.hidden -= 1

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.found.append(data)


#: What stands in a page without being read as its words.
CODE = {"script", "style", "textarea"}


def english_in(html: str) -> list[str]:
    parser = _Text()
    parser.feed(html)
    text = re.sub(r"https?://\S+", "", " ".join(parser.found))
    words = re.findall(r"[A-Za-z]{2,}", text)
    return sorted({w for w in words if w not in SAME})


def article(page: str) -> str:
    return page[page.index("<article") : page.index("</article>")]


@pytest.mark.parametrize(
    "path",
    [
        "routes/route-1/index.html",
        "routes/index.html",
        "areas/index.html",
        "gaps/index.html",
        "due/index.html",
    ],
)
def test_no_english_is_left_in_a_made_up_language(library, monkeypatch, path) -> None:
    spoken = Language("en", {}, through=made_up)
    monkeypatch.setattr(language, "language_of", lambda *_: spoken)
    (library / "softpedal.yml").write_text("title: ΨΙ\n", encoding="utf-8")
    page = article(build_site(library, repo_url=None, edit_uri=None).text(path))
    assert english_in(page) == []


def test_no_english_is_left_on_the_page_that_others_embed(library, monkeypatch) -> None:
    spoken = Language("en", {}, through=made_up)
    monkeypatch.setattr(language, "language_of", lambda *_: spoken)
    (library / "softpedal.yml").write_text("title: ΨΙ\n", encoding="utf-8")
    page = build_site(library).text("routes/route-1/embed/index.html")
    assert len(page) > 3000
    assert english_in(page) == []


def test_the_map_s_texts_are_in_the_language_too(library, monkeypatch) -> None:
    spoken = Language("en", {}, through=made_up)
    monkeypatch.setattr(language, "language_of", lambda *_: spoken)
    data = build_site(library).text("routes/route-1/map.js")
    shown = re.findall(r'"(?:label|level|name|kind|move|whole|canvas|close)":"([^"]*)"', data)
    assert len(shown) > 8
    assert english_in(" ".join(shown)) == []


def test_one_file_adds_a_language(library) -> None:
    folder = library / "languages"
    folder.mkdir()
    (folder / "de.yml").write_text(
        "quiet share: ruhiger Anteil\n"
        "Turn by turn: Schritt für Schritt\n"
        '"{count} routes, the easier ones first.":\n'
        '  {one: "{count} Strecke.", other: "{count} Strecken."}\n',
        encoding="utf-8",
    )
    (library / "softpedal.yml").write_text("language: de\n", encoding="utf-8")
    site = build_site(library)
    page = site.text("routes/route-1/index.html")
    assert site.warnings == []
    assert "ruhiger Anteil" in page
    assert "Schritt für Schritt" in page
    assert "2,0 km" in page
    assert "16. Mai 2026" in page
    assert "1 Strecke." in site.text("routes/index.html")


def test_a_long_text_is_a_file_of_its_own(library) -> None:
    """How we measure is prose, and is translated as a whole; its constants stay the code's."""
    folder = library / "languages"
    folder.mkdir()
    (folder / "de.yml").write_text("quiet share: ruhiger Anteil\n", encoding="utf-8")
    (folder / "de.how_we_measure.md").write_text(
        "# So messen wir\n\nAb {{ c.BUSY_VEHICLES_PER_DAY }} Fahrzeugen am Tag.\n",
        encoding="utf-8",
    )
    (library / "softpedal.yml").write_text("language: de\n", encoding="utf-8")
    page = build_site(library).text("how-we-measure/index.html")
    assert "So messen wir" in page
    assert "Ab 2000 Fahrzeugen am Tag." in page


def test_a_language_that_is_not_there_is_said_and_english_stays(library) -> None:
    (library / "softpedal.yml").write_text("language: fr\n", encoding="utf-8")
    site = build_site(library)
    assert any("languages/fr.yml" in info for info in site.infos)
    assert "quiet share" in site.text("routes/route-1/index.html")


def test_plurals_numbers_and_dates_follow_the_language() -> None:
    use(
        Language(
            "pl",
            {
                "{count} routes": {
                    "one": "{count} trasa",
                    "few": "{count} trasy",
                    "many": "{count} tras",
                    "other": "{count} trasy",
                }
            },
        )
    )
    assert [trn("{count} route", "{count} routes", n) for n in (1, 3, 5)] == [
        "1 trasa",
        "3 trasy",
        "5 tras",
    ]
    assert number("1.24 km") == "1,24 km"
    assert date("2026-05-16") == "16 maja 2026"
    use(Language())
    assert tr("{up} up", up="3 m") == "3 m up"
    assert date("2025-04") == "April 2025"
    assert date("2026-05-06") == "6 May 2026"
