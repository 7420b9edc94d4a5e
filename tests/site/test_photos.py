"""Photos are published as pictures alone: whatever a camera or a program wrote beside is gone."""

from __future__ import annotations

import io

import pytest
from mkdocs.exceptions import Abort
from PIL import Image, PngImagePlugin

from building import line_east, load, make_route, notes
from library.pictures import picture
from site_building import build_site
from softpedal.library.photo_file import picture_only
from softpedal.library.private_zones import Zone, read_zones, write_zones
from softpedal.site.photos import MAX_SIDE_PX, photo_files

#: Words that a published photo must not hold, in any of the ways in which a file can carry them.
SECRETS = ("Kestrel Camera 7", "Pier Nine", "Invented Photographer", "2026-05-16T08:14:00")


def _exif() -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F] = SECRETS[0]
    exif[0x013B] = SECRETS[2]
    exif[0x8769] = {0x9003: SECRETS[3]}
    return exif


def _xmp() -> bytes:
    said = "".join(f"<dc:{i}>{text}</dc:{i}>" for i, text in enumerate(SECRETS))
    return f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{said}</x:xmpmeta>".encode()


def _iptc() -> bytes:
    """Return an APP13 segment with a city and a by-line (IPTC IIM records 2:90 and 2:80)."""
    fields = b"".join(
        b"\x1c\x02" + bytes([number]) + len(text).to_bytes(2) + text.encode()
        for number, text in ((90, SECRETS[1]), (80, SECRETS[2]))
    )
    block = b"Photoshop 3.0\x008BIM\x04\x04\x00\x00" + len(fields).to_bytes(4) + fields
    return b"\xff\xed" + (len(block) + 2).to_bytes(2) + block


def _jpeg() -> bytes:
    out = io.BytesIO()
    image = Image.new("RGB", (40, 30), (90, 120, 60))
    image.save(out, "JPEG", exif=_exif(), xmp=_xmp(), comment=SECRETS[1], icc_profile=b"profile")
    whole = out.getvalue()
    return whole[:2] + _iptc() + whole[2:]


def _png() -> bytes:
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Author", SECRETS[2])
    texts.add_text("Comment", SECRETS[1], zip=True)
    texts.add_itxt("XML:com.adobe.xmp", _xmp().decode())
    out = io.BytesIO()
    Image.new("RGB", (40, 30), (90, 120, 60)).save(out, "PNG", pnginfo=texts, exif=_exif())
    return out.getvalue()


def _webp() -> bytes:
    out = io.BytesIO()
    image = Image.new("RGB", (40, 30), (90, 120, 60))
    image.save(out, "WEBP", exif=_exif(), xmp=_xmp())
    return out.getvalue()


PHOTOS = {"lock.jpg": (_jpeg, "JPEG"), "mill.png": (_png, "PNG"), "weir.webp": (_webp, "WEBP")}


def _library(tmp_path):
    listed = [{"file": name, "at": "500 m", "alt": "A lock."} for name in PHOTOS]
    files = {f"photos/{name}": make() for name, (make, _) in PHOTOS.items()}
    return make_route(tmp_path, notes(photos=listed), files=files)


def _chunks(png: bytes) -> set[bytes]:
    found, at = set(), 8
    while at < len(png):
        size = int.from_bytes(png[at : at + 4])
        found.add(png[at + 4 : at + 8])
        at += size + 12
    return found


def _segments(jpeg: bytes) -> set[int]:
    """Return the markers of a JPEG file up to its first scan (ISO/IEC 10918-1, annex B)."""
    found, at = set(), 2
    while jpeg[at + 1] != 0xDA:
        found.add(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4])
    return found


@pytest.mark.parametrize(("make", "form"), PHOTOS.values(), ids=PHOTOS)
def test_the_photo_that_is_tested_says_much(make, form):
    with Image.open(io.BytesIO(make())) as opened:
        assert opened.getexif()[0x010F] == SECRETS[0]
    assert any(text.encode() in make() for text in SECRETS)
    with Image.open(io.BytesIO(picture_only(make(), form))) as opened:
        assert opened.format == form
        assert not opened.getexif()
        assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", *WEBP}


#: What Pillow says of any WebP file: how an animation is played.
WEBP = ("background", "loop", "timestamp", "duration")


def test_nothing_but_the_picture_is_in_the_built_site(tmp_path):
    _library(tmp_path)
    files = build_site(tmp_path).files()
    photos = {path.rpartition("/")[2]: data for path, data in files.items() if "/photos/" in path}
    assert set(photos) == set(PHOTOS)
    for path, data in files.items():
        assert not any(text.encode() in data for text in SECRETS), path
    assert _chunks(photos["mill.png"]) <= {b"IHDR", b"IDAT", b"IEND"}
    # No APP1 (EXIF, XMP), APP2 (profile), APP13 (IPTC) or comment; APP0 is the format's own.
    assert _segments(photos["lock.jpg"]) <= {0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDD}
    assert not any(chunk in photos["weir.webp"] for chunk in (b"EXIF", b"XMP ", b"ICCP"))


def test_a_photo_is_turned_upright_before_its_data_go():
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was held on its side: turn by 90 degrees to the right
    out = io.BytesIO()
    image = Image.new("RGB", (40, 30), (255, 255, 255))
    image.paste((0, 0, 0), (0, 0, 40, 10))
    image.save(out, "PNG", exif=exif)
    with Image.open(io.BytesIO(picture_only(out.getvalue(), "PNG"))) as turned:
        assert turned.size == (30, 40)
        assert turned.getpixel((25, 20)) == (0, 0, 0)
        assert turned.getpixel((5, 20)) == (255, 255, 255)


def test_a_large_photo_is_made_smaller(tmp_path):
    listed = [{"file": "lock.jpg", "at": "500 m", "alt": "A lock."}]
    content = picture(size=(2 * MAX_SIDE_PX, 900))
    folder = make_route(tmp_path, notes(photos=listed), files={"photos/lock.jpg": content})
    (file,) = photo_files(load(folder))
    with Image.open(io.BytesIO(file.content)) as opened:
        assert opened.size == (MAX_SIDE_PX, 450)


@pytest.mark.usefixtures("own_folder")
def test_a_route_in_a_private_zone_is_not_built(tmp_path):
    make_route(tmp_path, notes(title="From Home"), id="from-home")
    make_route(tmp_path, points=line_east(2000, lat=50.1), id="elsewhere")
    write_zones(read_zones().with_zone(Zone("Granny Smith", 50.0, -20.0, 250.0)))
    site = build_site(tmp_path)
    assert any("private-zone" in warning for warning in site.warnings)
    assert not any("Granny" in said for said in (*site.warnings, *site.infos))
    files = site.files()
    assert "routes/elsewhere/index.html" in files
    assert not [path for path in files if "from-home" in path]
    assert not [path for path, data in files.items() if b"From Home" in data]


def test_a_damaged_file_of_zones_stops_the_build(tmp_path, own_folder, caplog):
    path = write_zones(read_zones().with_zone(Zone("home", 50.5, -20.0, 250.0)))
    assert path.parent.as_posix() == own_folder
    path.write_text("{", encoding="utf-8")
    make_route(tmp_path)
    with pytest.raises(Abort):
        build_site(tmp_path)
    assert "private.json, which holds your private zones, is damaged" in caplog.text
