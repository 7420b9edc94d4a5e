"""A list of chapters as video sites take it, and as Markdown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.film_time import film_text
from softpedal.site.film import on_film
from softpedal.site.language import tr
from softpedal.site.text import markdown_line, markdown_link

if TYPE_CHECKING:
    from softpedal.library.note_facts import Video
    from softpedal.site.chapters import Chapters


def chapters_text(listed: Chapters, *, heading: bool) -> str:
    """Return a line for each chapter: its time and its words."""
    lines = list(map(str, listed.chapters))
    return "\n".join([tr("Chapters"), *lines] if heading else lines)


def chapters_markdown(listed: Chapters, video: Video | None, *, heading: bool) -> str:
    """Return a list; each time is a link to it where the notes give the film's address."""
    lines = []
    for chapter in listed.chapters:
        time = film_text(chapter.second)
        address = on_film(video, time).address
        shown = markdown_link(time, address) if address else time
        lines.append(f"- {shown} {markdown_line(chapter.words)}")
    return "\n".join([f"## {tr('Chapters')}", "", *lines] if heading else lines)
