"""The Share box of a route's page: what others paste into a page, a newsletter or a message.

The card and the text come in a script that is loaded when the box is opened, and as files for
readers without script.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.site.addresses import embed_path, route_path
from softpedal.site.embed_code import iframe_code, is_shared
from softpedal.site.language import tr
from softpedal.site.mail_card import mail_card, text_card
from softpedal.site.mail_words import card_words
from softpedal.site.map_data import script_json
from softpedal.site.published import StaticFile
from softpedal.site.render import render

if TYPE_CHECKING:
    from softpedal.library.route import Route
    from softpedal.measure.route_measures import Measures
    from softpedal.settings import Settings
    from softpedal.site.published import Link

#: Beside the route's page. The card is code to be read and copied, so it is served as text: as a
#: page it would be one more page of the site, and a strict policy would stop its inline styles.
CARD_CODE, TEXT, SCRIPT = "card-html.txt", "card.txt", "share.js"


def share_section(route: Route, link: Link) -> str:
    """Return the box as HTML, "" of a route that is not shared.

    Where the site's address is not known there is the plain text alone, and why.
    """
    if not is_shared(route):
        return ""
    code = iframe_code(route, link)
    here = f"routes/{route.id}/"

    def address(target: str) -> str:
        return link(target, route_path(route.id))

    whole = [
        {
            "name": "frame",
            "words": tr("For a web page"),
            "hint": tr("HTML. It fills the width that it is given."),
            "text": code,
            "file": "",
        },
        {
            "name": "card",
            "words": tr("For a newsletter"),
            "hint": tr("HTML for e-mail, with its styles in it."),
            "text": "",
            "file": address(f"{here}{CARD_CODE}"),
        },
    ]
    text = {
        "name": "text",
        "words": tr("For a message"),
        "hint": tr("Plain text."),
        "text": "",
        "file": address(f"{here}{TEXT}"),
    }
    return render(
        "share.html",
        id=route.id,
        known=bool(code),
        embed=address(embed_path(route.id)),
        script=address(f"{here}{SCRIPT}"),
        parts=[*(whole if code else []), text],
    )


def share_files(
    route: Route, measures: Measures, settings: Settings, link: Link
) -> list[StaticFile]:
    """Return the script of the box, and the texts in it as files; nothing if it is not shared.

    The card's file is ASCII and the text's begins with a byte order mark: so a browser reads them
    rightly from a server, or a disk, that does not say how they are encoded.
    """
    if not is_shared(route):
        return []
    folder = f"routes/{route.id}"
    words = card_words(route, measures, settings, link)
    texts = {"text": text_card(words)}
    files = [StaticFile(f"{folder}/{TEXT}", texts["text"].encode("utf-8-sig"))]
    if iframe_code(route, link):
        texts["card"] = mail_card(words)
        ascii_card = texts["card"].encode("ascii", "xmlcharrefreplace")
        files.append(StaticFile(f"{folder}/{CARD_CODE}", ascii_card))
    return [*files, StaticFile(f"{folder}/{SCRIPT}", _script(route.id, texts).encode())]


def _script(route_id: str, texts: dict[str, str]) -> str:
    return (
        "window.softpedalShare = window.softpedalShare || {};\n"
        f"softpedalShare[{script_json(route_id)}] = {script_json(texts)};\n"
    )
