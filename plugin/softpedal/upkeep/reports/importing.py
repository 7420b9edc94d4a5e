"""From messages to reports in reports.yml; what was imported before adds nothing."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from softpedal.library.positions import km
from softpedal.library.reports import Report, add_reports, load_reports
from softpedal.upkeep.reports.messages import Read, Skipped
from softpedal.upkeep.reports.placing import place_of
from softpedal.upkeep.reports.scrub import scrub
from softpedal.upkeep.reports.sorting import sort_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from softpedal.library.route import Route
    from softpedal.upkeep.reports.messages import Message
    from softpedal.upkeep.reports.placing import Place


@dataclass(slots=True)
class Imported:
    """What became of messages.

    Attributes:
        added: reports that are new.
        known: reports that were there already.
        skipped: messages of which no report was made.
    """

    added: list[Report] = field(default_factory=list)
    known: list[Report] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)


def import_messages(
    library: Path,
    read: Read,
    routes: Sequence[Route],
    today: str,
    *,
    own_site: str = "",
    said: Sequence[str] = (),
) -> Imported:
    """Write what is new among messages to reports.yml.

    Args:
        library: its folder.
        read: the messages.
        routes: all that can be read.
        today: the day of messages that do not say when they were sent, ISO.
        own_site: address of the published site.
        said: sentences that the page puts into a mail.

    Raises:
        CannotDoError: reports.yml has faults.
    """
    done = Imported(skipped=list(read.skipped))
    known = {report.key: report for report in load_reports(library).reports}
    for number, message in enumerate(read.messages, 1):
        report = report_of(message, routes, today, own_site=own_site, said=said)
        if report is None:
            done.skipped.append(Skipped(f"Message {number}", "nothing is left that can be kept"))
        elif report.key in known:
            done.known.append(known[report.key])
        else:
            known[report.key] = report
            done.added.append(report)
    add_reports(library, done.added)
    return done


def report_of(
    message: Message,
    routes: Sequence[Route],
    today: str,
    *,
    own_site: str = "",
    said: Sequence[str] = (),
) -> Report | None:
    """Return the report that a message makes, None where nothing of it can be kept."""
    parts = [scrub(part, message.names, own_site, said) for part in (message.title, message.text)]
    text = "\n".join(part for part in parts if part)
    if not text:
        return None
    place = place_of(message, routes)
    made = {
        "key": _key(text, message.on, place),
        "route": place.route,
        "at": None if place.metres is None else km(place.metres),
        "place": place.at and f"{place.at[0]:.5f}, {place.at[1]:.5f}",
        "direction": place.direction if place.metres is not None else None,
        "sort": sort_of(text),
        "on": message.on or today,
        "page": place.page,
        "text": text,
        "state": "open",
    }
    return Report.model_validate({name: value for name, value in made.items() if value})


def _key(text: str, on: str, place: Place) -> str:
    """Return the same for the same message of the same place, whenever it is imported."""
    metres = "" if place.metres is None else f"{place.metres:.0f} {place.direction}"
    words = "\0".join([" ".join(text.split()), place.route, on, metres])
    return f"r{hashlib.sha256(words.encode()).hexdigest()[:10]}"
