"""What has changed in the map under a route since the extract that it was last drafted from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from softpedal.draft.again import draft_again, is_news
from softpedal.draft.changes import changes_text
from softpedal.draft.draft_record import DraftRecordError, read_record
from softpedal.draft.item_pairs import same
from softpedal.draft.matching import MatchError
from softpedal.draft.merge import MergeError
from softpedal.draft.ride import RideError
from softpedal.library.load import NOTES, ROUTES
from softpedal.problems import Problem

if TYPE_CHECKING:
    from softpedal.draft.changes import Change
    from softpedal.draft.draft_record import DraftRecord
    from softpedal.draft.town import Town
    from softpedal.library.route import Route
    from softpedal.settings import Settings

#: Keys that change only because another does, which is told.
_FOLLOWS = frozenset({"cue", "evidence"})


def map_changes(route: Route, town: Town, settings: Settings) -> list[Problem]:
    """Return `changes_since_draft` as advice; why they cannot be compared is advice too."""
    file = f"{ROUTES}/{route.id}/{NOTES}"

    def advice(message: str, hint: str) -> Problem:
        return Problem("map-changed", file, 1, 1, message, hint, route.id, "advice")

    try:
        found = changes_since_draft(route, town, settings)
    except (DraftRecordError, RideError, MatchError, MergeError) as error:
        return [advice(str(error), getattr(error, "hint", ""))]
    return [advice(text, "Look, then `softpedal draft --again`.") for text in found]


def changes_since_draft(route: Route, town: Town, settings: Settings) -> list[str]:
    """Return a sentence for each thing that drafting again would list.

    What the notes say already, a route that was never drafted, and one that was last drafted from
    this very extract, give none.

    Raises:
        DraftRecordError, RideError, MatchError, MergeError: see `draft_again`.
    """
    record = read_record(route.folder)
    if record is None or record.extract_digest in ("", town.network.digest):
        return []
    draft, merged = draft_again(route.folder, town, settings)
    if not is_news(draft, record):
        return []
    since = f"since the extract of {record.extract_date or 'an unknown date'}"
    changes = [
        change if change.sort == "kept" else replace(change, reason="")
        for change in merged.changes
        if change.key not in _FOLLOWS and not (change.sort == "kept" and _is_old(change, record))
    ]
    return [f"The map has changed {since}; {text}." for text in changes_text(changes)]


def _is_old(change: Change, record: DraftRecord) -> bool:
    """Whether the map says of a whole item what it said before."""
    document = record.document
    lists = [*document.values(), *document.get("return", {}).values()]
    items = [item for items in lists if isinstance(items, list) for item in items]
    return not change.key and any(same(change.now, item) for item in items)
