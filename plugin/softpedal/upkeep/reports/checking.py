"""What is wrong with reports.yml, and which of its routes there are not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softpedal.library.faults import shown
from softpedal.library.reports import FILE_NAME, read_reports
from softpedal.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from pathlib import Path

    from softpedal.library.names import Names


def report_problems(
    library: Path, folders: Collection[str], named: Sequence[Names]
) -> list[Problem]:
    """Return the faults of reports.yml, and advice for each open report on an unknown route.

    Args:
        library: its folder.
        folders: the ids of all route folders, readable or not.
        named: the names that routes use, their old ids among them.
    """
    file, problems = read_reports(library)
    if file is None:
        return problems
    known = {*folders, *(old for names in named for old, _ in names.was)}
    for index, report in enumerate(file.reports):
        if report.state == "open" and report.route and report.route not in known:
            problems.append(
                Problem(
                    "reports-value",
                    FILE_NAME,
                    *file.source.place(("reports", index, "route")),
                    f"There is no route `{shown(report.route)}`.",
                    "Write the id that it has now, or close the report.",
                    severity="advice",
                )
            )
    return problems
