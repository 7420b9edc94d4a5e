"""The address of a page as a QR code, for paper."""

from __future__ import annotations

import io

import segno

#: Modules of quiet zone around a code: the standard's.
BORDER = 4


def qr_svg(address: str) -> str:
    """Return a QR code of an address as SVG: dark on white, with its quiet zone.

    A medium level of correction, so that a folded or wet sheet is still read.

    Raises:
        segno.DataOverflowError: the address is longer than a QR code can hold.
    """
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        out,
        kind="svg",
        xmldecl=False,
        border=BORDER,
        dark="#000",
        light="#fff",
        svgclass=None,
        lineclass=None,
        title=address,
        omitsize=True,
    )
    return out.getvalue().decode().strip()
