"""Walks HTML made for e-mail and says what a mail program could not be trusted with."""

from __future__ import annotations

import re
from html.parser import HTMLParser

FRAME = {"html", "head", "meta", "title", "style", "body", "div", "h1", "h2"}
CARD = {"table", "tr", "td", "h3", "h4", "h5", "p", "a", "img", "span", "strong", "em", "br"}
MARKDOWN = {"ul", "ol", "li", "blockquote", "pre", "code", "hr"}
INLINE = {"a", "span", "strong", "em", "code"}
VOID = {"meta", "img", "br", "hr"}
ATTRIBUTES = {
    "html": {"lang", "dir"},
    "meta": {"charset", "name", "content"},
    "table": {"role", "lang", "dir", "width", "cellpadding", "cellspacing", "border", "style"},
    "a": {"href", "style"},
    "img": {"src", "alt", "width", "style"},
    "ol": {"start", "style"},
}
#: Properties that mail programs know: common practice.
PROPERTIES = {
    "background-color",
    "border",
    "border-bottom",
    "border-collapse",
    "border-left",
    "border-top",
    "color",
    "display",
    "font-family",
    "font-size",
    "font-weight",
    "height",
    "line-height",
    "margin",
    "max-height",
    "max-width",
    "overflow",
    "overflow-wrap",
    "padding",
    "table-layout",
    "text-decoration",
    "vertical-align",
    "white-space",
    "width",
    "word-wrap",
}


class MailHtml(HTMLParser):
    """What a walk finds: faults, text by element, pictures and links."""

    def __init__(self, html: str, tags: set[str]) -> None:
        super().__init__(convert_charrefs=True)
        self.tags, self.faults, self.open = tags, [], []
        self.links, self.pictures, self.words, self.sizes = [], [], [], set()
        self.feed(html)
        self.close()
        self.faults += [f"never closed: {tag}" for tag in self.open]

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())

    def handle_starttag(self, tag, attrs) -> None:
        self._space(tag)
        found = dict(attrs)
        if tag not in self.tags:
            self.faults.append(f"tag: {tag}")
        self.faults += [f"{tag}: {a}" for a in found if a not in ATTRIBUTES.get(tag, {"style"})]
        if len(found) != len(attrs):
            self.faults.append(f"{tag}: an attribute twice")
        for rule in filter(None, (found.get("style") or "").split(";")):
            name, _, value = rule.partition(":")
            if name not in PROPERTIES or re.search(r"url|expression|@|\\|<", value):
                self.faults.append(f"{tag}: {rule}")
            if name == "font-size":
                self.sizes.add(float(value.removesuffix("px")))
        if tag == "a":
            self.links.append(found["href"])
        if tag == "img":
            self.pictures.append(found)
            if not found.get("alt") or found.get("width") != "600":
                self.faults.append(f"img: {found}")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.faults.append(f"closed at once: {tag}")

    def handle_endtag(self, tag) -> None:
        self._space(tag)
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"end of {tag} out of place")

    def _space(self, tag) -> None:
        if tag not in INLINE:
            self.words.append(" ")

    def handle_data(self, data) -> None:
        if not {"style", "title"} & set(self.open):
            self.words.append(data)


def card_html(html: str) -> MailHtml:
    """Return the walk of one card."""
    return MailHtml(html, CARD)


def issue_html(html: str) -> MailHtml:
    """Return the walk of a whole issue."""
    assert html.startswith("<!DOCTYPE html>")
    return MailHtml(html, FRAME | CARD | MARKDOWN)
