"""Draws the demonstration photos: flat scenes of the town in a few pale colours, as PNG."""

from __future__ import annotations

import struct
import zlib

import numpy as np
from grid import points
from shapely import contains_xy
from shapely.geometry import Polygon

_WIDTH, _HEIGHT = 480, 320

_INK = {
    "sky": (222, 233, 240),
    "far": (186, 205, 190),
    "grass": (150, 182, 140),
    "water": (143, 178, 200),
    "path": (222, 209, 183),
    "stone": (160, 152, 144),
    "wood": (110, 84, 62),
    "wall": (196, 150, 128),
    "roof": (124, 92, 88),
    "leaf": (82, 128, 84),
    "white": (245, 243, 238),
    "dark": (62, 66, 72),
}

#: Shapes are written back to front: colour and outline, x to the right and y downwards.
_SCENES: dict[str, tuple[tuple[str, str], ...]] = {
    "lock": (
        ("sky", "0,0 480,0 480,320 0,320"),
        ("far", "0,120 120,100 260,118 480,96 480,170 0,170"),
        ("grass", "0,165 480,150 480,320 0,320"),
        ("water", "250,160 330,158 430,320 180,320"),
        ("stone", "236,160 252,160 186,320 150,320"),
        ("stone", "328,158 346,158 470,320 428,320"),
        ("path", "120,166 150,166 90,320 -30,320"),
        ("wood", "236,196 296,210 296,250 226,226"),
        ("wood", "300,210 364,192 376,222 300,250"),
        ("white", "200,186 300,204 300,210 200,192"),
        ("white", "300,204 400,182 400,188 300,210"),
        ("leaf", "20,60 70,40 110,70 116,130 70,150 26,130"),
        ("wood", "64,140 74,140 76,182 62,182"),
        ("leaf", "404,70 440,52 474,76 474,120 440,136 408,120"),
        ("wood", "436,130 444,130 446,162 434,162"),
    ),
    "planters": (
        ("sky", "0,0 480,0 480,320 0,320"),
        ("wall", "0,60 150,96 150,214 0,262"),
        ("wall", "480,50 330,94 330,214 480,266"),
        ("roof", "0,60 0,24 150,80 150,98"),
        ("roof", "480,50 480,14 330,76 330,96"),
        ("white", "30,110 60,116 60,150 30,148"),
        ("white", "90,122 112,126 112,154 90,152"),
        ("white", "450,104 420,112 420,148 450,146"),
        ("white", "392,120 370,124 370,152 392,150"),
        ("stone", "0,262 150,214 330,214 480,266 480,320 0,320"),
        ("path", "60,320 180,216 300,216 420,320"),
        ("wood", "96,238 190,238 190,282 96,282"),
        ("wood", "286,238 384,238 384,282 286,282"),
        ("leaf", "92,240 112,206 140,222 166,200 194,240"),
        ("leaf", "282,240 306,204 332,222 362,202 388,240"),
        ("white", "96,252 190,252 190,258 96,258"),
        ("white", "286,252 384,252 384,258 286,258"),
    ),
    "kiln-top": (
        ("sky", "0,0 480,0 480,320 0,320"),
        ("water", "0,150 480,146 480,176 0,180"),
        ("far", "0,172 160,150 330,166 480,158 480,320 0,320"),
        ("grass", "0,230 220,180 480,236 480,320 0,320"),
        ("path", "196,184 216,184 300,320 160,320"),
        ("wall", "330,120 372,120 382,210 320,210"),
        ("roof", "334,96 368,96 372,122 330,122"),
        ("dark", "342,176 360,176 362,210 340,210"),
        ("leaf", "40,200 74,182 104,204 100,226 46,230"),
    ),
    "steps": (
        ("sky", "0,0 480,0 480,320 0,320"),
        ("water", "0,110 480,104 480,320 0,320"),
        ("far", "0,104 200,92 480,98 480,110 0,114"),
        ("stone", "0,190 300,180 300,320 0,320"),
        ("path", "0,190 300,180 300,196 0,206"),
        ("stone", "300,196 340,196 340,216 300,216"),
        ("wall", "300,216 370,216 370,240 300,240"),
        ("stone", "300,240 400,240 400,266 300,266"),
        ("wall", "300,266 430,266 430,320 300,320"),
        ("dark", "60,120 66,120 66,200 60,200"),
        ("white", "66,124 112,138 66,154"),
        ("wood", "380,150 460,150 446,176 392,176"),
        ("dark", "416,90 421,90 421,150 416,150"),
        ("white", "421,94 456,140 421,144"),
    ),
}

#: Route, photo file, scene.
PHOTOS = (
    ("ferry-steps-to-chapel-green", "ferry-steps.png", "steps"),
    ("ferry-steps-to-chapel-green", "planters.png", "planters"),
    ("chapel-green-to-weir-mill", "lock.png", "lock"),
    ("heron-bridge-to-kiln-top", "kiln-top.png", "kiln-top"),
)


def picture(scene: str) -> bytes:
    """Return a scene as a PNG of 480 × 320 px with a small palette and nothing but the picture."""
    names = list(_INK)
    across, down = np.meshgrid(np.arange(_WIDTH) + 0.5, np.arange(_HEIGHT) + 0.5)
    canvas = np.zeros((_HEIGHT, _WIDTH), dtype=np.uint8)
    for colour, outline in _SCENES[scene]:
        canvas[contains_xy(Polygon(points(outline)), across, down)] = names.index(colour)
    rows = np.concatenate([np.zeros((_HEIGHT, 1), dtype=np.uint8), canvas], axis=1)
    header = struct.pack(">IIBBBBB", _WIDTH, _HEIGHT, 8, 3, 0, 0, 0)
    palette = bytes(value for name in names for value in _INK[name])
    chunks = (
        _chunk(b"IHDR", header),
        _chunk(b"PLTE", palette),
        _chunk(b"IDAT", zlib.compress(rows.tobytes(), 9)),
        _chunk(b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def _chunk(kind: bytes, data: bytes) -> bytes:
    checksum = zlib.crc32(kind + data)
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", checksum)
