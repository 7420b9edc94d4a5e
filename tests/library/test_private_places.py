"""A route folder that holds a private place is refused, wherever in it the place stands."""

from __future__ import annotations

import io
import pickle

import pytest
from PIL import Image, PngImagePlugin

from building import gpx_text, line_east, make_route, notes, notes_text
from library.pictures import picture
from softpedal.library.load import load_route
from softpedal.library.photo_file import has_position, positions
from softpedal.library.private_places import private_problems
from softpedal.library.private_zones import NO_ZONES, Zone, Zones
from softpedal.library.track import WGS84
from softpedal.upkeep.check import check_library

SECRET = bytes(range(32))
#: The track of `make_route` leads from here 2 km due east; the zone lies 9 km north of it.
NORTH = 50.08123
ZONES = Zones((), SECRET).with_zone(Zone("Granny Smith", NORTH, -20.01234, 250.0))
(CIRCLE,) = ZONES.circles()
INSIDE = f"{CIRCLE.lat:.5f}, {CIRCLE.lon:.5f}"
OUTSIDE = "50.09900, -20.01234"


def _places(folder, zones=ZONES):
    return [(p.file.removeprefix(f"routes/{folder.name}/"), p.line) for p in _own(folder, zones)]


def _own(folder, zones=ZONES):
    return [p for p in load_route(folder, None, zones).problems if p.code == "private-zone"]


def _past(metres=900.0):
    """Return two points outside, with the zone between them."""
    ends = [WGS84.fwd(CIRCLE.lon, CIRCLE.lat, bearing, metres) for bearing in (90, 270)]
    return [(lat, lon) for lon, lat, _ in ends]


def test_a_route_elsewhere_is_as_it_was(tmp_path):
    folder = make_route(tmp_path, files={"story.md": f"Not at {OUTSIDE}."})
    with_zones, without = load_route(folder, None, ZONES), load_route(folder)
    assert with_zones.problems == without.problems
    assert with_zones.route is not None


def test_the_refusal_keeps_the_route_off_the_site_and_tells_nothing(tmp_path):
    folder = make_route(tmp_path, files={"story.md": f"One\n\nTwo, at {INSIDE}.\n"})
    loaded = load_route(folder, None, ZONES)
    assert loaded.route is None
    (problem,) = _own(folder)
    assert (problem.file, problem.line) == (f"routes/{folder.name}/story.md", 3)
    assert problem.is_error
    said = f"{problem}"
    for secret in ("Granny", "250", INSIDE, f"{CIRCLE.lat:.2f}", f"{CIRCLE.lon:.2f}"):
        assert secret not in said
    assert load_route(folder, None, NO_ZONES).route is not None


def _in_gpx(name):
    def make(tmp_path):
        track = gpx_text([(CIRCLE.lat, CIRCLE.lon), *line_east(500, lat=CIRCLE.lat)])
        return make_route(tmp_path, files={name: track})

    return make


def _drawn(tmp_path):
    text = gpx_text(_past())
    return make_route(tmp_path, gpx=text)


def _second_track(tmp_path):
    """A file with two tracks is faulty, and the reader drops the second: git would not."""
    first, second = gpx_text(line_east(500)), gpx_text(_past())
    body = second[second.index("<trk>") : second.index("</gpx>")]
    return make_route(tmp_path, gpx=first.replace("</gpx>", f"{body}</gpx>"))


def _prefixed(tmp_path):
    text = gpx_text(_past()).replace("<trk", "<g:trk").replace("</trk", "</g:trk")
    return make_route(tmp_path, gpx=text.replace("xmlns=", "xmlns:g="))


def _cut_off(tmp_path):
    return make_route(tmp_path, gpx=gpx_text(_past()).rpartition("</trkseg>")[0])


def _waypoint(tmp_path):
    places = {"Front door": (CIRCLE.lat, CIRCLE.lon)}
    return make_route(tmp_path, gpx=gpx_text(line_east(2000), waypoints=places))


def _utf_16(tmp_path):
    text = gpx_text(_past()).replace("UTF-8", "UTF-16")
    return make_route(tmp_path, gpx=text.encode("utf-16"))


def _entities(tmp_path):
    text = gpx_text(_past()).replace('lat="5', 'lat="&#53;')
    return make_route(tmp_path, gpx=text)


GPX = {
    "a point of the track": (_in_gpx("track.gpx"), "track.gpx", 5),
    "a point of the way back": (_in_gpx("return.gpx"), "return.gpx", 5),
    "a point of the direct road": (_in_gpx("direct.gpx"), "direct.gpx", 5),
    "a point of a variant": (_in_gpx("variant-dry.gpx"), "variant-dry.gpx", 5),
    "a file in capitals": (_in_gpx("RAW.GPX"), "RAW.GPX", 5),
    "a hidden file": (_in_gpx(".old.gpx"), ".old.gpx", 5),
    "a file in a folder": (_in_gpx("raw/ride.gpx"), "raw/ride.gpx", 5),
    "a step between two points": (_drawn, "track.gpx", 6),
    "a second track": (_second_track, "track.gpx", None),
    "names with a prefix": (_prefixed, "track.gpx", 6),
    "a file that is cut off": (_cut_off, "track.gpx", 6),
    "a waypoint": (_waypoint, "track.gpx", 3),
    "UTF-16": (_utf_16, "track.gpx", 6),
    "digits as entities": (_entities, "track.gpx", 0),
}


@pytest.mark.parametrize(("make", "file", "line"), GPX.values(), ids=GPX)
def test_a_line_that_enters_a_zone_is_refused(make, file, line, tmp_path):
    ((found, at),) = _places(make(tmp_path))
    assert found == file
    assert line is None or at == line


def test_a_gap_between_parts_is_no_line(tmp_path):
    (east, west) = _past()
    lon = (west[1] - 0.01, east[1] + 0.01)
    points = [(west[0], lon[0]), west, east, (east[0], lon[1])]
    folder = make_route(tmp_path, gpx=gpx_text(points, parts=[2]))
    assert _places(folder) == []
    assert _places(make_route(tmp_path, gpx=gpx_text(points))) == [("track.gpx", 7)]


LAT, LON = f"{CIRCLE.lat:.6f}", f"{CIRCLE.lon:.6f}"
WRITTEN = {
    "as the format has it": f"{LAT}, {LON}",
    "with a chainage": f"at: {LAT}, {LON} near 2.5 km",
    "without a space": f"{LAT},{LON}",
    "longitude first": f"[{LON}, {LAT}]",
    "sides for signs": f"{LAT} N {LON[1:]} W",
    "sides and degrees": f"{LAT}° N, {LON[1:]}° W",
    "sides first": f"N{LAT} W{LON[1:]}",
    "an address": f"https://map.example/#17/{LAT}/{LON}",
    "a query": f"https://map.example/?mlat={LAT}&mlon={LON}",
    "escaped": f"https://map.example/?q={LAT}%2C{LON}",
    "two keys": f"lat: {LAT}\nlon: {LON}",
    "after another number": f"1, {LAT}, {LON}",
    "rough": f"{CIRCLE.lat:.3f}, {CIRCLE.lon:.3f}",
}


@pytest.mark.parametrize("file", ["story.md", "ride.vtt", "notes.txt"])
@pytest.mark.parametrize("text", WRITTEN.values(), ids=WRITTEN)
def test_coordinates_in_any_text_are_found_with_their_line(text, file, tmp_path):
    folder = make_route(tmp_path, files={file: f"First\n\n{text}\n"})
    assert _places(folder) == [(file, 3)]


def test_a_comment_in_the_notes_is_text_too(tmp_path):
    folder = make_route(tmp_path, f"# from {INSIDE}\n{notes_text(notes())}")
    assert _places(folder) == [("notes.yml", 1)]


@pytest.mark.parametrize("broken", ["title: [", "", "\x00"])
def test_notes_that_do_not_load_are_searched_all_the_same(broken, tmp_path):
    folder = make_route(tmp_path, f"{broken}\n# {INSIDE}\n")
    assert ("notes.yml", 2) in _places(folder)
    folder = make_route(tmp_path, broken, gpx=gpx_text(_past()))
    assert ("track.gpx", 6) in _places(folder)


def _photo(lat, lon, form="JPEG", **more):
    exif = Image.Exif()
    exif[0x8825] = {
        1: "N" if lat >= 0 else "S",
        2: (int(abs(lat)), 0.0, (abs(lat) % 1) * 3600),
        3: "E" if lon >= 0 else "W",
        4: (int(abs(lon)), 0.0, (abs(lon) % 1) * 3600),
    }
    out = io.BytesIO()
    Image.new("RGB", (8, 6), (120, 120, 120)).save(out, form, exif=exif, **more)
    return out.getvalue()


def _xmp(lat, lon):
    def written(value, sides):
        return f"{int(abs(value))},{(abs(value) % 1) * 60:.6f}{sides[value < 0]}"

    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:Description '
        f'exif:GPSLatitude="{written(lat, "NS")}" exif:GPSLongitude="{written(lon, "EW")}"/>'
        "</x:xmpmeta>"
    )


@pytest.mark.parametrize(
    ("form", "name"), [("JPEG", "a.jpg"), ("PNG", "a.png"), ("WEBP", "a.webp")]
)
def test_a_photo_taken_in_a_zone_is_refused(form, name, tmp_path):
    folder = make_route(tmp_path, files={f"photos/{name}": _photo(CIRCLE.lat, CIRCLE.lon, form)})
    assert _places(folder) == [(f"photos/{name}", 0)]
    ((lat, lon),) = positions(folder / "photos" / name)
    assert (lat, lon) == pytest.approx((CIRCLE.lat, CIRCLE.lon), abs=1e-6)
    folder = make_route(tmp_path, files={f"photos/{name}": _photo(50.5, -20.5, form)})
    assert _places(folder) == []


def test_a_position_in_xmp_counts_too(tmp_path):
    xmp = _xmp(CIRCLE.lat, CIRCLE.lon)
    out = io.BytesIO()
    Image.new("RGB", (8, 6)).save(out, "JPEG", xmp=xmp.encode())
    texts = PngImagePlugin.PngInfo()
    texts.add_itxt("XML:com.adobe.xmp", xmp, zip=True)
    png = io.BytesIO()
    Image.new("RGB", (8, 6)).save(png, "PNG", pnginfo=texts)
    files = {"photos/a.jpg": out.getvalue(), "photos/b.png": png.getvalue()}
    folder = make_route(tmp_path, files=files)
    assert _places(folder) == [("photos/a.jpg", 0), ("photos/b.png", 0)]
    assert all(has_position(folder / name) for name in files)


@pytest.mark.parametrize("content", [b"", b"\xff\xd8\xff\xe1 no picture", b"plain text"])
def test_a_file_that_is_no_photo_does_not_stop_the_rest(content, tmp_path):
    folder = make_route(tmp_path, files={"photos/a.jpg": content, "story.md": INSIDE})
    assert _places(folder) == [("story.md", 1)]


def test_a_photo_without_a_position_is_none_of_its_business(tmp_path):
    folder = make_route(tmp_path, files={"photos/a.jpg": picture()})
    assert _places(folder) == []
    assert not has_position(folder / "photos" / "a.jpg")


def test_links_are_not_followed(tmp_path):
    (tmp_path / "elsewhere.md").write_text(INSIDE, encoding="utf-8")
    folder = make_route(tmp_path)
    (folder / "story.md").symlink_to(tmp_path / "elsewhere.md")
    assert _places(folder) == []


def test_check_fails_for_such_a_folder_and_names_each_file_once(tmp_path):
    make_route(tmp_path, id="good")
    make_route(tmp_path, id="bad", files={"story.md": f"{INSIDE}\n{INSIDE}\n"})
    found = [(p.route, p.code) for p in check_library(tmp_path, zones=ZONES) if p.is_error]
    assert found == [("bad", "private-zone")]
    assert [p for p in check_library(tmp_path) if p.is_error] == []


def test_it_can_be_done_in_another_process(tmp_path):
    folder = make_route(tmp_path, files={"story.md": INSIDE})
    assert private_problems(folder, pickle.loads(pickle.dumps(ZONES)))


def test_many_numbers_are_searched_in_no_time(tmp_path):
    import time

    folder = make_route(tmp_path, points=line_east(20_000, step=5))
    begin = time.perf_counter()
    assert private_problems(folder, ZONES) == []
    assert time.perf_counter() - begin < 2.0
