"""From YAML data to Notes, or to Problems with file, line and column."""

from __future__ import annotations

import difflib
import typing
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel, ValidationError

from softpedal.library.values import shown
from softpedal.problems import Problem

if TYPE_CHECKING:
    from softpedal.library.yaml_source import Path, YamlSource

Model = TypeVar("Model", bound=BaseModel)


def validate(
    model: type[Model], source: YamlSource, file: str, code: str = "notes-value"
) -> tuple[Model | None, list[Problem]]:
    """Check plain data against a model.

    Returns:
        The model's instance and no problems, or None and every problem that was found.
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
        problems = [_problem(model, source, file, code, detail) for detail in details]
        return None, list(dict.fromkeys(problems))


def _problem(
    model: type[BaseModel], source: YamlSource, file: str, code: str, detail: Any
) -> Problem:
    path: Path = tuple(part for part in detail["loc"] if part != "[key]")
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "missing":
        key, place = str(path[-1]), source.place(path[:-1])
        return Problem("notes-missing", file, *place, f"`{key}` is missing.", f"Add `{key}: …`.")
    while path and path not in source.marks:  # parts that the models add to what was written
        path = path[:-1]
    if kind == "softpedal":
        return Problem(context["code"], file, *source.place(path), context["text"], context["hint"])
    if kind == "extra_forbidden":
        return _unknown_key(model, source, file, path)
    key = _key(path)
    value = shown(_at(source.data, path))
    message, hint = _WORDS.get(kind, ("is not what this key takes", ""))
    if kind == "literal_error":
        choices = _choices(context["expected"])
        near = difflib.get_close_matches(value, choices, 1, 0.6)
        message = f"is not one of: {', '.join(choices)}"
        hint = f"Did you mean `{near[0]}`?" if near else ""
    message = message.format(**context)
    return Problem(code, file, *source.place(path), f"`{key}: {value}` {message}.", hint)


#: What is said for pydantic's error types: what is wrong, and the hint.
_WORDS: dict[str, tuple[str, str]] = {
    "string_type": ("is not text", "Put it in quotes if it is meant as text."),
    "string_too_short": ("is empty", "Write a text, or leave the key out."),
    "string_too_long": ("is longer than {max_length} characters", "Use story.md for long texts."),
    "int_type": ("is not a whole number", ""),
    "int_from_float": ("is not a whole number", ""),
    "float_type": ("is not a number", "Write a plain number without a unit."),
    "bool_type": ("is neither true nor false", "Write true or false."),
    "list_type": ("is not a list", "Begin each entry with a hyphen."),
    "dict_type": ("is not a mapping", "Write `key: value` lines under it."),
    "model_type": (
        "is not a mapping",
        "Write `key: value` pairs, in braces or on lines of its own.",
    ),
    "model_attributes_type": ("is not a mapping", "Write `key: value` pairs under it."),
    "too_short": ("has too few entries", "At least one is needed."),
    "greater_than": ("is not greater than {gt}", ""),
    "greater_than_equal": ("is less than {ge}", ""),
    "less_than": ("is not less than {lt}", ""),
    "less_than_equal": ("is more than {le}", ""),
    "string_pattern_mismatch": ("does not have the right form", ""),
}


def _unknown_key(model: type[BaseModel], source: YamlSource, file: str, path: Path) -> Problem:
    key = str(path[-1])
    known = _keys(_model_at(model, path[:-1]))
    place = source.key_marks.get(path) or source.place(path)
    near = difflib.get_close_matches(key, known, 1, 0.6)
    if near:
        hint = f"Did you mean `{near[0]}`?"
    elif key.lstrip("-").replace(".", "").isdigit():
        hint = "Put coordinates in quotes when they stand inside braces."
    else:
        hint = f"Known here: {', '.join(known)}." if known else ""
    where = f" under `{_key(path[:-1])}`" if _key(path[:-1]) else ""
    message = f"`{shown(key)}` is not a key that is known{where}."
    return Problem("notes-unknown-key", file, *place, message, hint)


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
        fields = model.model_fields.items()
        inner = next((f.annotation for name, f in fields if (f.alias or name) == part), None)
        model = _find_model(inner)
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
