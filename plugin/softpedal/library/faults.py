"""What is said about a value that is not right: our own short texts, never the input at length."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic_core import PydanticCustomError

if TYPE_CHECKING:
    from collections.abc import Iterable

#: At most this many characters of an author's text stand in a message.
MAX_SHOWN = 200


def fault(
    message: str, hint: str = "", code: str = "notes-value", at: str = ""
) -> PydanticCustomError:
    """Return an error that the notes reader turns into a Problem.

    The text is passed as context, so that braces in it are never taken for placeholders. `at` is
    the key that is meant, where a mapping as a whole is checked.
    """
    context = {"text": message, "hint": hint, "code": code, "at": at}
    return PydanticCustomError("softpedal", "{text}", context)


def shown(value: Any) -> str:
    """Return what the author wrote, short enough for a message."""
    if isinstance(value, dict | list):
        return "a mapping" if isinstance(value, dict) else "a list"
    if value is None or isinstance(value, bool):
        return {True: "true", False: "false", None: "nothing"}[value]
    words = " ".join(str(value)[:MAX_SHOWN].split())
    text = "".join(c if c.isprintable() else "\ufffd" for c in words)
    return text if len(text) <= 60 else text[:59] + "…"


def shown_list(names: Iterable[str]) -> str:
    """Return what of several names fits into a message, each in backticks."""
    listed, room = [], MAX_SHOWN
    for name in names:
        text = shown(name)
        room -= len(text)
        if room < 0:
            listed.append("…")
            break
        listed.append(f"`{text}`")
    return ", ".join(listed)
