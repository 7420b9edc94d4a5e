"""The code on paper leads back to the page: read again by another program."""

from __future__ import annotations

import io
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import resvg_py
import segno
import zxingcpp
from PIL import Image

from softpedal.site.qr import BORDER, qr_svg

ADDRESSES = [
    "https://lindenferry.example/rides/routes/ferry-steps-to-chapel-green/",
    "https://lindenferry.example/rides/routes/a&b/?x=<y>",
    "https://lindenferry.example/" + "long/" * 60,
]


def picture(svg: str, width: int) -> Image.Image:
    drawn = resvg_py.svg_to_bytes(svg_string=svg, width=width, skip_system_fonts=True)
    return Image.open(io.BytesIO(bytes(drawn))).convert("L")


@pytest.mark.parametrize("address", ADDRESSES, ids=["route", "signs", "long"])
def test_another_program_reads_the_address(address) -> None:
    (found,) = zxingcpp.read_barcodes(np.array(picture(qr_svg(address), 600)))
    assert found.text == address


def test_it_has_its_quiet_zone_and_nothing_that_clashes() -> None:
    root = ET.fromstring(qr_svg(ADDRESSES[1]))
    side = int(root.get("viewBox").split()[2])
    pixels = np.array(picture(ET.tostring(root, encoding="unicode"), side * 4))
    assert BORDER == 4  # ISO/IEC 18004: four modules
    assert (pixels[: BORDER * 4] == 255).all()
    assert (pixels[:, : BORDER * 4] == 255).all()
    for element in root.iter():
        assert not {"id", "class", "style"} & set(element.attrib)


def test_it_is_read_with_a_wet_spot_on_it() -> None:
    pixels = np.array(picture(qr_svg(ADDRESSES[0]), 600))
    pixels[280:340, 280:340] = 128
    (found,) = zxingcpp.read_barcodes(pixels)
    assert found.text == ADDRESSES[0]


def test_an_address_that_does_not_fit_is_told() -> None:
    with pytest.raises(segno.DataOverflowError):
        qr_svg("https://lindenferry.example/" + "x" * 4000)
