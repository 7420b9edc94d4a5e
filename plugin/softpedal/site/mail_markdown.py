"""An author's opening words in an e-mail: the safe Markdown of a story, with inline styles."""

from __future__ import annotations

import re

from markupsafe import Markup

from softpedal.site.mail_look import LOOK
from softpedal.site.text import story

#: Every tag of the rendered Markdown: what an author wrote as HTML is escaped by then, and within
#: a tag too a > is written as &gt;.
_TAG = re.compile(r"<([a-z]+[1-6]?)((?: [^<>]*)?)>")
_HEADING = re.compile(r"(</?h)([3-6])>")
_LOOKS = {
    **dict.fromkeys(["h2", "h3", "h4", "h5"], "heading"),
    **dict.fromkeys(["ul", "ol"], "list"),
    "p": "p",
    "blockquote": "quote",
    "pre": "pre",
    "code": "code",
    "hr": "rule",
    "a": "link",
}
#: Of a tag's attributes these stay: where a link leads, and where a list begins to count.
_ATTRIBUTE = re.compile(r' (?:href|start)="[^"]*"')


def mail_markdown(text: str) -> Markup:
    """Return Markdown as HTML for e-mail, its highest heading an h2; raw HTML is shown as text."""
    raised = _HEADING.sub(lambda tag: f"{tag[1]}{int(tag[2]) - 1}>", str(story(text)))
    return styled(Markup(raised))  # noqa: S704 - only what was rendered


def styled(html: Markup) -> Markup:
    """Return HTML that our Markdown renderer made, each tag with its look and without a class."""
    return Markup(_TAG.sub(_with_look, str(html)))  # noqa: S704 - only what was rendered


def _with_look(tag: re.Match[str]) -> str:
    name, kept = tag[1], "".join(_ATTRIBUTE.findall(tag[2]))
    look = f' style="{LOOK[_LOOKS[name]]}"' if name in _LOOKS else ""
    closed = " /" if tag[2].rstrip().endswith("/") else ""
    return f"<{name}{kept}{look}{closed}>"
