"""Tables as CSV (RFC 4180) in which no cell starts a formula in a spreadsheet."""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?")
#: Where a spreadsheet would read a formula, the wide forms of East Asia with it: where a cell
#: begins, and after what else may begin one, if its owner has cells cut there. Quotes may go.
_FORMULA = re.compile(r"""(?:^|(?<=[;\t\r\n]))(?=[\s"]*[=+\-@\t\r\n＝＋－＠])""")


def csv_table(rows: Iterable[Sequence[object]], line_end: str = "\r\n") -> str:
    """Return rows as CSV; numbers stay numbers, None is an empty cell."""
    text = io.StringIO()
    csv.writer(text, lineterminator=line_end).writerows([map(_cell, row) for row in rows])
    return text.getvalue()


def _cell(value: object) -> object:
    """Return a value that stays what it is: text that would be a formula gets an apostrophe.

    That is what OWASP's page "CSV Injection" and its ASVS 5.0, requirement 1.2.10, ask for.
    """
    if not isinstance(value, str) or _NUMBER.fullmatch(value):
        return value
    return _FORMULA.sub("'", value)
