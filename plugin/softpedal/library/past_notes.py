"""What the notes of a route said at another time, read without today's rules of the format."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from softpedal.library.yaml_source import read_yaml

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True, slots=True)
class PastAlert:
    """An alert: its first and last day, ISO, and its text; `until` is None if it is not known."""

    from_: str
    until: str | None
    text: str


@dataclass(frozen=True, slots=True)
class PastNotes:
    """What was known of a route.

    Attributes:
        status: draft, published or withdrawn; what else was written counts as a draft.
        title: as it was.
        rides: the days on which it had been ridden, ISO.
        alerts: those that were noted.
    """

    status: str
    title: str
    rides: frozenset[str]
    alerts: frozenset[PastAlert]


def past_notes(content: bytes) -> PastNotes | None:
    """Return what an old notes.yml said, or None if it is no mapping that can be read.

    What has no form that is understood is passed over: the format may have changed since.
    """
    source, _ = read_yaml(content, "notes.yml")
    if source is None or not isinstance(source.data, dict):
        return None
    data = source.data
    status = data.get("status")
    return PastNotes(
        status if status in ("published", "withdrawn") else "draft",
        _text(data.get("title")),
        frozenset(day for ride in _mappings(data, "ridden") if (day := _date(ride.get("on")))),
        frozenset(
            PastAlert(first, _date(alert.get("until")), _text(alert.get("text")))
            for alert in _mappings(data, "alerts")
            if (first := _date(alert.get("from")))
        ),
    )


def _mappings(data: dict[str, Any], key: str) -> list[dict[str, Any]]:
    found = data.get(key)
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def _date(value: Any) -> str | None:
    return value if isinstance(value, str) and _DATE.fullmatch(value) else None
