"""The alerts of a route as its pages show them; the reader's browser hides those that are over."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from softpedal.site import wording
from softpedal.site.text import inline

if TYPE_CHECKING:
    from softpedal.library.notes import Notes


def alert_rows(notes: Notes) -> list[dict[str, Any]]:
    """Return the alerts in the notes' order: first and last day as ISO dates, words, and text.

    `until` is "" where the last day is not known.
    """
    return [
        {
            "from": alert.from_,
            "until": alert.until or "",
            "when": wording.span_words(alert.from_, alert.until),
            "text": inline(alert.text),
        }
        for alert in notes.alerts
    ]
