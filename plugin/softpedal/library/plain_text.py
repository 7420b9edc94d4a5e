"""From bytes to text that can be shown: UTF-8 without control characters."""

from __future__ import annotations

import re

#: The line ends that YAML knows.
LINE_END = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
#: Control characters, lone surrogates and marks without a sign: they spoil XML and terminals.
UNPRINTABLE = re.compile(
    "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


class NotText(Exception):  # noqa: N818 - a verdict on what an author wrote, not a program error
    """Bytes that are no text; `mark` is the 1-based line and column of the first such place."""

    def __init__(self, mark: tuple[int, int], message: str, hint: str) -> None:
        super().__init__(message)
        self.mark, self.message, self.hint = mark, message, hint


def read_text(content: bytes) -> str:
    """Return the text of a file without its byte order mark.

    Raises:
        NotText: it is not UTF-8, or holds a character that cannot be shown.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotText(
            _end_of(error.object[: error.start].decode()),
            f"The byte {error.object[error.start]:#04x} is not UTF-8 text.",
            "Save the file as UTF-8.",
        ) from None
    if match := UNPRINTABLE.search(text):
        raise NotText(
            _end_of(text[: match.start()]),
            f"The character U+{ord(match[0]):04X} stands here, which cannot be shown.",
            "Delete it; an editor may hide it.",
        )
    return text


def printable(name: str) -> str:
    """Return the name of a file as it can be printed, whatever the file system holds."""
    return re.sub(r"\s", " ", UNPRINTABLE.sub("\ufffd", name))


def counted(number: int, what: str) -> str:
    """Return a number of things in words for the terminal, like `1 point` or `2 points`."""
    return f"{number:,} {what}" if number == 1 else f"{number:,} {what}s"


def _end_of(text: str) -> tuple[int, int]:
    """Return the line and column at which what follows this text stands."""
    lines = LINE_END.split(text)
    return len(lines), len(lines[-1]) + 1
