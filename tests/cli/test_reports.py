"""The commands on reports: import, list, done, reopen and note, from a file to pasted notes."""

import json

import pytest
import yaml
from click.testing import CliRunner

from building import crossing, gpx_text, leg, line_east, make_route, notes
from softpedal.cli import main
from softpedal.library.load import load_route
from softpedal.library.reports import FILE_NAME, Report, add_reports, load_reports
from softpedal.upkeep.check import check_library

ID, LOOP = "ferry-steps-to-chapel-green", "two-bridges"
REFERENCE = f"[softpedal {ID} outbound 1240 m 50.00000,-19.98268 2026-05-16]"
MBOX = f"""\
From bea@mail.example Thu May 21 10:00:00 2026
From: Bea Quill <bea@mail.example>
Subject: Gate
Date: Thu, 21 May 2026 10:00:00 +0100

Hello Ada,
the gate is locked now, ring me on 020 555 0187.
Best wishes
Bea

> {REFERENCE.replace(" m ", " m" + chr(10) + "> ")}

From cee@mail.example Fri May 22 10:00:00 2026
From: Cee <cee@mail.example>
Subject: Ferry Steps to Chapel Green
Date: Fri, 22 May 2026 10:00:00 +0100

Thank you, we loved it.

From x@mail.example Fri May 22 10:00:00 2026

"""


@pytest.fixture
def library(tmp_path):
    make_route(tmp_path, notes(crossings=[crossing("1.5 km")]), id=ID)
    return tmp_path


def run(library, *words, text=None):
    done = CliRunner().invoke(main, ["reports", *words, "--library", str(library)], input=text)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.output
    return done


def keys(library):
    return [report.key for report in load_reports(library).reports]


@pytest.fixture
def imported(library):
    (library / "in.mbox").write_text(MBOX, encoding="utf-8")
    run(library, "import", str(library / "in.mbox"))
    return library


def test_import_tells_what_was_added_what_was_there_and_what_was_skipped(library):
    file = library / "in.mbox"
    file.write_text(MBOX, encoding="utf-8")
    first = run(library, "import", str(file))
    assert first.exit_code == 0
    assert "Added: 2 reports." in first.stdout
    assert f"{ID}, 1.24 km: changed, 2026-05-21, of the page of 2026-05-16" in first.stdout
    assert f"{ID}, no chainage: thanks, 2026-05-22" in first.stdout
    assert "read what was added before you commit it" in first.stdout
    assert "Skipped: Mail 3: it is broken" in first.stderr
    again = run(library, "import", str(file))
    assert "Added: 0 reports." in again.stdout
    assert "There already: 2 reports." in again.stdout
    written = (library / FILE_NAME).read_text(encoding="utf-8")
    assert not [w for w in ("Bea", "Ada", "Quill", "Cee", "mail.example", "0187") if w in written]


def test_text_comes_from_standard_input_and_says_its_day(library):
    done = run(
        library, "import", "-", "--on", "2026-05-30", text="Gate shut.\n---\nA tree is down.\n"
    )
    assert "Added: 2 reports." in done.stdout
    assert "not placed, no chainage: changed, 2026-05-30" in done.stdout


def test_a_bad_line_of_json_is_told_and_the_others_are_kept(library):
    done = run(library, "import", "-", text='{"text": "Gate shut."}\n{"text"\n')
    assert done.exit_code == 1
    assert "Skipped: Line 2: is not a JSON object" in done.stderr
    assert len(keys(library)) == 1


def test_the_invitation_of_the_page_is_not_kept_in_any_language(library):
    (library / "languages").mkdir()
    texts = {"What has changed? Please do not write names of people.": "Was ist neu? Keine Namen."}
    (library / "languages" / "de.yml").write_text(yaml.safe_dump(texts), encoding="utf-8")
    (library / "softpedal.yml").write_text("language: de\n", encoding="utf-8")
    english = "What has changed? Please do not write names of people."
    text = f"Was ist neu? Keine\n> Namen.\nTor zu.\n---\n{english} Gate shut."
    run(library, "import", "-", text=text)
    assert [r.text for r in load_reports(library).reports] == ["Tor zu.", "Gate shut."]


def test_links_to_the_site_itself_are_kept(library):
    text = "See https://lindenferry.example/rides/gaps/ and https://x.example/ada too"
    (library / "mkdocs.yml").write_text("site_url: https://lindenferry.example/rides/\n")
    run(library, "import", "-", text=text)
    (report,) = load_reports(library).reports
    assert report.text == "See https://lindenferry.example/rides/gaps/ and [link] too"


def test_list_is_by_route_and_chainage_and_shows_the_open_ones(imported):
    run(imported, "import", "-", "--on", "2026-05-30", text="Gate shut at 0.3 km somewhere.")
    add_reports(imported, [a_report(route="no-such-way")])
    done = run(imported, "list")
    lines = done.stdout.splitlines()
    assert lines[0] == ID
    assert "no chainage: thanks" in lines[1]
    assert "1.24 km: changed" in lines[3]
    assert "no-such-way (there is no such route)" in lines
    assert lines.index("Not placed") > lines.index("no-such-way (there is no such route)")
    assert "Write `route:`" in lines[lines.index("Not placed") + 1]
    assert lines[-1] == "4 reports: 4 open, 0 done."
    assert run(imported, "list").stdout == done.stdout


def test_done_and_reopen_change_what_list_shows(imported):
    first, second = keys(imported)
    assert "1 report now done, 0 before." in run(imported, "done", first).stdout
    assert "1 report now done, 1 before." in run(imported, "done", first, second, second).stdout
    assert run(imported, "list").stdout == "2 reports: 0 open, 2 done.\n"
    assert first in run(imported, "list", "--done").stdout
    assert "2026-05-21, of the page of 2026-05-16, done" in run(imported, "list", "--all").stdout
    run(imported, "reopen", first)
    assert first in run(imported, "list").stdout
    assert second not in run(imported, "list").stdout


def test_list_as_json(imported):
    document = json.loads(run(imported, "list", "--route", ID, "--format", "json").stdout)
    assert document["schema"] == 1
    thanks, changed = document["reports"]
    assert thanks["sort"] == "thanks"
    assert thanks["at"] is thanks["metres"] is thanks["place"] is None
    assert changed == {
        "key": keys(imported)[0],
        "route": ID,
        "at": "1.24 km",
        "metres": 1240.0,
        "place": [50.0, -19.98268],
        "direction": "outbound",
        "sort": "changed",
        "on": "2026-05-21",
        "page": "2026-05-16",
        "text": "the gate is locked now, [number].",
        "state": "open",
    }


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["done", "r0000000000"], "no report `r0000000000`"),
        (["note", "x"], "no report `x`"),
        (["list", "--all", "--done"], "--all or --done"),
        (["list", "--route", "zzz"], "no route `zzz`"),
        (["import", "no-such-file"], "does not exist"),
    ],
)
def test_misuse_is_told(imported, words, says):
    done = run(imported, *words)
    assert done.exit_code == 2
    assert says in done.stderr


def test_a_faulty_file_is_told_and_left_alone(imported):
    (imported / FILE_NAME).write_text("- key: x\n", encoding="utf-8")
    for words in (["list"], ["done", "x"], ["note", "x"], ["import", "-"]):
        done = run(imported, *words, text="Gate shut.")
        assert done.exit_code == 1
        assert "reports.yml:1:" in done.stderr
        assert "softpedal check" in done.stderr
    assert (imported / FILE_NAME).read_text(encoding="utf-8") == "- key: x\n"


# -- notes from reports ------------------------------------------------------------------------

TEXT = 'The "gate" {is}: shut #1. It was - open - before, says nobody: [x]\nSecond line \u202e!'
FOUND = {"alert": "alerts", "hazard": "hazards", "dismount": "dismounts"}
FOUND |= {"landmark": "landmarks", "barrier": "barriers"}

LISTS = {
    "none": "",
    "indented": "{key}:\n  - {one}\n",
    "at the margin": "{key}:  # mine\n- {one}\n",
    "deep": "{key}:\n      - {one}\n",
    "in brackets": "{key}: [{one}]\n",
}
ONE = {
    "alert": '{from: 2026-01-02, text: "x"}',
    "hazard": '{at: 100 m, what: "x"}',
    "dismount": '{at: 100 m, why: "x"}',
    "landmark": '{at: 100 m, what: "x"}',
    "barrier": '{at: 100 m, what: "x"}',
}


def a_report(key="rabcdef0123", **more):
    made = {"key": key, "sort": "changed", "on": "2026-05-21", "text": TEXT, "state": "open"}
    return Report.model_validate({**made, "route": ID, **more})


def paste(path, printed):
    """Paste what was printed where its first line says."""
    head, *lines = printed.stdout.rstrip("\n").split("\n")
    text = path.read_text(encoding="utf-8").split("\n")
    if "inside the brackets" in head:
        number = int(head.split(", line ")[1].split(",")[0])
        before, bracket, after = text[number - 1].partition("[")
        text[number - 1] = before + bracket + lines[0] + " " + after
    elif "below line" in head:
        number = int(head.split("below line ")[1].split(" ")[0])
        text[number:number] = lines
    else:
        assert head.endswith("at its end")
        text[-1:] = [*lines, ""]
    path.write_text("\n".join(text), encoding="utf-8")


@pytest.mark.parametrize("form", LISTS)
@pytest.mark.parametrize("sort", FOUND)
def test_what_note_prints_is_valid_where_it_says(library, sort, form):
    folder = library / "routes" / ID
    there = LISTS[form].format(key=FOUND[sort], one=ONE[sort])
    path = folder / "notes.yml"
    path.write_text(path.read_text(encoding="utf-8") + there, encoding="utf-8")
    add_reports(library, [a_report(at="1.24 km")])
    printed = run(library, "note", "rabcdef0123", "--as", sort)
    assert printed.exit_code == 0, printed.stderr
    assert printed.stdout.startswith(f"# routes/{ID}/notes.yml, ")
    paste(path, printed)
    assert [str(p) for p in check_library(library) if p.is_error] == []
    items = getattr(load_route(folder).route.notes, FOUND[sort])
    assert len(items) == (1 if form == "none" else 2)
    item = items[0]
    if sort == "alert":
        said = " ".join(TEXT.split("\n")) + "\u202c"
        assert (item.from_, item.text) == ("2026-05-21", f"A reader reports: {said}")
        return
    assert item.at.metres == 1240
    assert item.source.get("outbound") == "reported"
    assert item.note.get("outbound") == " ".join(TEXT.split("\n")) + "\u202c"
    words = item.why if sort == "dismount" else item.what
    assert words == 'The "gate" {is}: shut #1'


def test_a_report_of_the_way_back_is_noted_in_the_order_of_the_notes(library):
    add_reports(library, [a_report(at="0.30 km", direction="return")])
    printed = run(library, "note", "rabcdef0123", "--as", "hazard")
    assert "from the start of the way out" in printed.stderr
    paste(library / "routes" / ID / "notes.yml", printed)
    route = load_route(library / "routes" / ID).route
    assert route.outbound.hazards == ()
    assert [h.at_m for h in route.way_back.hazards] == [pytest.approx(300)]


@pytest.mark.parametrize("there", [[], [{"at": "100 m", "what": "x"}]])
def test_a_way_back_of_its_own_has_its_own_lists(tmp_path, there):
    back = {"legs": [leg("start", "back street")], **({"hazards": there} if there else {})}
    folder = make_route(
        tmp_path,
        notes(**{"return": back}),
        id=ID,
        return_gpx=gpx_text(line_east(1800, lat=50.0)[::-1]),
    )
    add_reports(tmp_path, [a_report(at="0.30 km", direction="return")])
    paste(folder / "notes.yml", run(tmp_path, "note", "rabcdef0123", "--as", "hazard"))
    assert check_library(tmp_path) == []
    found = [p.at_m for p in load_route(folder).route.way_back.hazards]
    assert pytest.approx(300) in found
    assert len(found) == len(there) + 1


def test_where_the_line_was_drawn_anew_the_place_tells(library):
    lat, lon = load_route(library / "routes" / ID).route.along.track.at(700.0)
    place = f"{lat:.5f}, {lon:.5f}"
    add_reports(library, [a_report(at="1.24 km", place=place)])
    printed = run(library, "note", "rabcdef0123", "--as", "hazard")
    assert "at: 0.70 km" in printed.stdout
    assert "drawn anew" in printed.stderr
    add_reports(library, [a_report("r0000000001", at="1.24 km", place="50.10000, -20.00000")])
    printed = run(library, "note", "r0000000001", "--as", "hazard")
    assert "at: 1.24 km" in printed.stdout
    assert "no longer passes" in printed.stderr


@pytest.mark.parametrize(
    ("more", "sort", "says"),
    [
        ({"route": ""}, "alert", "Write `route:`"),
        ({"route": "zzz"}, "alert", "`zzz` is not there"),
        ({}, "hazard", "no chainage"),
        ({"at": "9 km"}, "hazard", "no chainage"),
    ],
)
def test_a_report_without_its_place_is_no_note_yet(library, more, sort, says):
    add_reports(library, [a_report(**more)])
    printed = run(library, "note", "rabcdef0123", "--as", sort)
    assert printed.exit_code == 1
    assert says in printed.stderr
    assert printed.stdout == ""


def test_a_report_of_an_old_id_is_noted_in_the_route_that_has_it_now(library):
    make_route(library, notes(was=["old-way"]), id=LOOP)
    add_reports(library, [a_report(route="old-way")])
    printed = run(library, "note", "rabcdef0123")
    assert printed.stdout.startswith(f"# routes/{LOOP}/notes.yml, at its end\nalerts:\n")
