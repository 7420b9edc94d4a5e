"""From YAML data to Notes, or to Problems with file, line and column."""

from __future__ import annotations

import difflib
import typing
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel, ValidationError

from softpedal.library.faults import shown
from softpedal.problems import Problem

if TYPE_CHECKING:
    from softpedal.library.yaml_source import Path, YamlSource

Model = TypeVar("Model", bound=BaseModel)

#: How many problems of one file are listed: nobody reads more, and naming one takes time.
MAX_LISTED = 50
#: From this length on a word is not compared with those that are known.
MAX_COMPARED = 60


def validate(
    model: type[Model], source: YamlSource, file: str, code: str = "notes-value"
) -> tuple[Model | None, list[Problem]]:
    """Check plain data against a model.

    Args:
        model: what the data must be.
        source: the data, with the place of each value.
        file: its name for messages.
        code: of a value that is wrong; any but the default stands for every kind of fault.

    Returns:
        The model's instance and no problems, or None and the problems that were found: at most
        `MAX_LISTED`, and one more that says how many there are beside them.
    """
    if not isinstance(source.data, dict):
        message = f"Expected a mapping of keys and values, found {shown(source.data)}."
        return None, [Problem(code, file, *source.place(()), message, "Begin with `title: …`.")]
    try:
        return model.model_validate(source.data), []
    except ValidationError as error:
        # Only places, types and our own texts are used: pydantic's rendering of hostile input
        # can take very long.
        details = error.errors(include_url=False, include_input=False)
        found: dict[Problem, None] = {}
        split = {d["loc"][:-1] for d in details if _is_half_a_pair(d)}
        for index, detail in enumerate(details):
            if detail["type"] == "softpedal" and detail["loc"][:-1] in split:
                continue  # the other half of a pair of coordinates, of which enough is said
            found[_problem(model, source, file, code, detail)] = None
            if len(found) == MAX_LISTED and index + 1 < len(details):
                more = f"{len(details) - index - 1:,} more faults are not listed."
                found[Problem(code, file, 0, 0, more, "Mend the others first.")] = None
                break
        return None, list(found)


def _problem(
    model: type[BaseModel], source: YamlSource, file: str, code: str, detail: Any
) -> Problem:
    path: Path = detail["loc"]
    kind, context = detail["type"], detail.get("ctx", {})
    own = code == "notes-value"  # whether the file has codes of its own for kinds of faults
    if kind == "missing":
        key, place = str(path[-1]), source.place(path[:-1])
        message, hint = f"`{key}` is missing.", f"Add `{key}: …`."
        return Problem("notes-missing" if own else code, file, *place, message, hint)
    if kind == "extra_forbidden":
        message, hint = _unknown_key(model, path)
        place = source.key_marks.get(path) or source.place(path)
        return Problem("notes-unknown-key" if own else code, file, *place, message, hint)
    while path and path not in source.marks:  # parts that the models add to what was written
        path = path[:-1]
    if kind == "softpedal":
        place = source.key_marks.get((*path, context.get("at", ""))) or source.place(path)
        code = context["code"] if own else code
        return Problem(code, file, *place, context["text"], context["hint"])
    value = _at(source.data, path)
    message, hint = _words(kind, context, value)
    shown_value = "" if value is None else f": {shown(value)}"
    message = f"`{shown(_key(path))}{shown_value}` {message}."
    return Problem(code, file, *source.place(path), message, hint)


def _words(kind: str, context: dict[str, Any], value: Any) -> tuple[str, str]:
    """Return what is said of a value that pydantic refuses: what is wrong, and the hint."""
    if value is None:
        return "has no value", "Write one, or leave the key out if it is not needed."
    if kind == "literal_error":
        choices = _choices(context["expected"])
        near = _nearest(str(value), choices)
        hint = f"Did you mean `{near}`?" if near else "Write one of these words."
        return f"is not one of: {', '.join(choices)}", hint
    message, hint = _WORDS.get(kind, _OTHER)
    return message.format(**context), hint.format(**context)


#: What is said for pydantic's error types: what is wrong, and the hint.
_WORDS: dict[str, tuple[str, str]] = {
    "string_type": ("is not text", "Put it in quotes if it is meant as text."),
    "string_too_short": ("is empty", "Write a text, or leave the key out."),
    "string_too_long": ("is longer than {max_length} characters", "Use story.md for long texts."),
    "int_type": ("is not a whole number", "Write a whole number without quotes or a unit."),
    "int_from_float": ("is not a whole number", "Write a whole number without quotes or a unit."),
    "float_type": ("is not a number", "Write a plain number without quotes or a unit."),
    "finite_number": ("is too large a number", "Write a number that can be measured."),
    "bool_type": ("is neither true nor false", "Write true or false."),
    "list_type": ("is not a list", "Begin each entry with a hyphen."),
    "dict_type": ("is not a mapping", "Write `key: value` lines under it."),
    "model_type": (
        "is not a mapping",
        "Write `key: value` pairs, in braces or on lines of its own.",
    ),
    "model_attributes_type": ("is not a mapping", "Write `key: value` pairs under it."),
    "too_short": ("has too few entries", "At least one is needed."),
    "greater_than": ("is not greater than {gt}", "Write a number greater than {gt}."),
    "greater_than_equal": ("is less than {ge}", "Write a number from {ge}."),
    "less_than": ("is not less than {lt}", "Write a number less than {lt}."),
    "less_than_equal": ("is more than {le}", "Write a number up to {le}."),
    "string_pattern_mismatch": ("does not have the right form", "The form is {pattern}"),
}
_OTHER = ("is not what this key takes", "Look the key up in the description of the format.")


def _unknown_key(model: type[BaseModel], path: Path) -> tuple[str, str]:
    """Return the message and the hint for a key that the model does not have."""
    key = str(path[-1])
    known = _keys(_model_at(model, path[:-1]))
    if near := _nearest(key, known):
        hint = f"Did you mean `{near}`?"
    elif _looks_numeric(key):
        hint = "Put coordinates in quotes when they stand inside braces."
    else:
        hint = f"Known here: {', '.join(known)}."
    where = f" under `{shown(_key(path[:-1]))}`" if _key(path[:-1]) else ""
    return f"`{shown(key)}` is not a key that is known{where}.", hint


def _is_half_a_pair(detail: Any) -> bool:
    """Whether a key is a number: YAML splits coordinates in braces at their comma."""
    return detail["type"] == "extra_forbidden" and _looks_numeric(str(detail["loc"][-1]))


def _looks_numeric(key: str) -> bool:
    return key.lstrip("-").replace(".", "", 1).isdecimal()


def _nearest(word: str, known: list[str]) -> str:
    """Return the known word that is most like a word, "" if none is."""
    if len(word) > MAX_COMPARED:
        return ""
    near = difflib.get_close_matches(word, known, 1, 0.6)
    return near[0] if near else ""


def _key(path: Path) -> str:
    return next((part for part in reversed(path) if isinstance(part, str)), "")


def _at(data: Any, path: Path) -> Any:
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            break
    return data


def _choices(expected: str) -> list[str]:
    return [part.strip().strip("'") for part in expected.replace(" or ", ", ").split(", ")]


def _model_at(annotation: Any, path: Path) -> type[BaseModel] | None:
    model = _find_model(annotation)
    for part in path:
        if model is None:
            return None
        if isinstance(part, int):
            continue
        fields = {f.alias or name: f.annotation for name, f in model.model_fields.items()}
        if part in fields:  # else it is a key of the author's own, as under `hours`
            model = _find_model(fields[part])
    return model


def _find_model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in typing.get_args(annotation):
        if found := _find_model(inner):
            return found
    return None


def _keys(model: type[BaseModel] | None) -> list[str]:
    if model is None:
        return []
    return [f.alias or name for name, f in model.model_fields.items()]
