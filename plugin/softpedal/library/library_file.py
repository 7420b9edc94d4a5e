"""The files beside `routes/`: softpedal.yml, and the lists reports.yml and alerts.yml."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from softpedal.library.faults import shown
from softpedal.library.note_values import Strict
from softpedal.library.notes_reader import validate
from softpedal.library.yaml_source import MAX_BYTES, YamlSource, read_yaml
from softpedal.problems import Problem

if TYPE_CHECKING:
    from pathlib import Path

Listed = TypeVar("Listed", bound=Strict)


def read_beside(path: Path, what: str, hint: str) -> tuple[bytes | None, list[Problem]]:
    """Return the start of a file, b"" if there is none, one byte longer than may be read.

    Args:
        path: of the file.
        what: what is in it, for the message: "reports".
        hint: what to do where it cannot be read.

    Returns:
        The content, or None and why it cannot be read.
    """
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1), []
    except OSError as error:
        if isinstance(error, FileNotFoundError) and not path.is_symlink():
            return b"", []
        message = f"The {what} cannot be read: {error.strerror}."
        return None, [Problem("file-unreadable", path.name, 0, 0, message, hint)]


def parse_list(
    model: type[Listed], content: bytes, name: str, code: str, begin: str
) -> tuple[Listed | None, YamlSource, list[Problem]]:
    """Read a file that is a list.

    Args:
        model: with one field, which takes the list and is empty by default.
        content: of the file.
        name: of the file, for messages.
        code: of what is wrong in it.
        begin: how an item of the list begins, for the hint.

    Returns:
        The model with the list, or None; the data with the place of each value, below the name of
        the model's field; the problems for which there is no model.
    """
    (key,) = model.model_fields
    source, problems = read_yaml(content, name)
    if source is None:
        return None, YamlSource(), problems
    if source.data is None:
        return model(), source, []
    if not isinstance(source.data, list):
        message = f"Expected a list of {key}, found {shown(source.data)}."
        hint = f"Begin each of them with `{begin}`."
        return None, source, [Problem(code, name, *source.place(()), message, hint)]
    inside = YamlSource(
        {key: source.data},
        {(key, *path): mark for path, mark in source.marks.items()},
        {(key, *path): mark for path, mark in source.key_marks.items()},
    )
    found, problems = validate(model, inside, name, code)
    return found, inside, problems
