"""What a model takes, key by key, as Markdown: the reference that cannot drift from the models."""

from __future__ import annotations

import types
from typing import (
    TYPE_CHECKING,
    Annotated,
    Any,
    Literal,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

import yaml
from annotated_types import Ge, Gt, Le, Lt
from pydantic import AfterValidator, BaseModel
from pydantic_core import PydanticUndefined

from softpedal import settings
from softpedal.library import note_values, values
from softpedal.library.note_values import Directed, OneOrSeveral

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from pydantic.fields import FieldInfo

#: Numbers below this are written without commas, so that a year stays a year.
_COMMAS_FROM = 10_000
#: A limit so high only keeps out nonsense, and is not told.
_NO_LIMIT = 1_000_000

#: What is said of each type that is not plain from Python; the first that fits holds.
_FORMS: list[tuple[Any, str]] = [
    (values.At, "a [position](#positions)"),
    (values.Chainage, "a chainage"),
    (values.Coordinates, "coordinates"),
    (values.Metres, "a length with its unit (`m`, `km`, `mi`, `ft`, `yd`, `cm`), or metres"),
    (values.Seconds, "a time in `s` or `min`"),
    (values.Gradient, "a gradient in `%`"),
    (values.Speed, "a speed in `mph` or `km/h`"),
    (values.Hours, "[opening hours](#direction-and-hours)"),
    (values.Date, "a date"),
    (values.MonthOrDate, "a month or a date"),
    (values.Film, "minutes and seconds, in quotes"),
    (values.Link, "a web address"),
    (values.RouteId, "a route's id"),
    (values.FileName, "a plain file name"),
    (values.Title, "a name on one line"),
    (values.Text, "a text"),
    (settings.Line, "a text on one line"),
    (settings.TimeZone, "the name of a time zone"),
    (settings.Monday, "the date of a Monday"),
    (note_values.KindByHours, "a kind for each of several [hours](#direction-and-hours)"),
]
_PLAIN: dict[Any, str] = {
    bool: "`true` or `false`",
    int: "a whole number",
    float: "a number",
    str: "a text",
}


class _Writer(yaml.SafeDumper):
    """Writes as one does by hand: dates without quotes, for the notes read them as text."""

    def choose_scalar_style(self) -> Any:
        style = super().choose_scalar_style()
        return '"' if style == "'" else style


_Writer.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in found if not tag.endswith(":timestamp")]
    for first, found in yaml.SafeDumper.yaml_implicit_resolvers.items()
}


def name_of(field: str, info: FieldInfo) -> str:
    """Return a field's key as an author writes it."""
    return info.alias or field


def hints_of(model: type[BaseModel]) -> dict[str, Any]:
    """Return the types of a model's fields, with what is annotated to them."""
    hints = get_type_hints(model, include_extras=True)
    return {field: hints[field] for field in model.model_fields}


def model_in(hint: Any) -> type[BaseModel] | None:
    """Return the model that a field's type holds, as itself or as the items of a list, if any."""
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        return None if issubclass(hint, Directed) else hint
    found = (model_in(inner) for inner in get_args(hint))
    return next((model for model in found if model), None)


def example_of(model: type[BaseModel], field: str) -> Any:
    """Return the first example of a field: its own, or the smallest value of the model in it."""
    info = model.model_fields[field]
    if info.examples:
        return info.examples[0]
    hint = hints_of(model)[field]
    inner = model_in(hint)
    if inner is None:
        raise ValueError(f"{model.__name__}.{field} has no example")
    return [smallest(inner)] if _is_list(hint) else smallest(inner)


def smallest(model: type[BaseModel]) -> dict[str, Any]:
    """Return the examples of all keys that a model needs; of one that needs none, of its first."""
    fields = model.model_fields
    needed = [f for f, info in fields.items() if info.is_required()] or [next(iter(fields))]
    if model.__name__ == "Leg":
        needed.append("kind")  # or `hours`: one of the two is needed, which no field says alone
    return {name_of(f, fields[f]): example_of(model, f) for f in needed}


def inline(value: Any) -> str:
    """Return plain data as YAML in one line."""
    text = yaml.dump(
        value,
        Dumper=_Writer,
        sort_keys=False,
        allow_unicode=True,
        width=10_000,
        default_flow_style=True,
    )
    return str(text).strip().removesuffix("\n...")


def block(key: str, value: Any) -> str:
    """Return a key with a mapping or a list of mappings as a fenced block of YAML."""
    begin, more = ("  - ", "    ") if isinstance(value, list) else ("  ", "  ")
    lines = [f"{key}:"]
    for item in value if isinstance(value, list) else [value]:
        for index, (name, inner) in enumerate(item.items()):
            start = begin if index == 0 else more
            if isinstance(inner, list):
                lines += [f"{start}{name}:", *(f"{more}  - {inline(each)}" for each in inner)]
            else:
                lines.append(f"{start}{name}: {inline(inner)}")
    return "\n".join(["```yaml", *lines, "```"])


def list_block(item: dict[str, Any]) -> str:
    """Return a list of one mapping as a fenced block of YAML."""
    lines = [
        f"{'  ' if index else '- '}{key}: {inline(item[key])}" for index, key in enumerate(item)
    ]
    return "\n".join(["```yaml", *lines, "```"])


def keys(
    model: type[BaseModel],
    without: Collection[type[BaseModel]],
    anchors: Mapping[tuple[type[BaseModel], str], str],
) -> str:
    """Return a Markdown list of a model's keys, first those that are needed.

    Args:
        model: whose keys are listed.
        without: models from which it inherits keys that are told elsewhere.
        anchors: of the section that tells what a key with keys of its own takes.
    """
    told = [base for base in without if issubclass(model, base)]
    elsewhere = {field for base in told for field in base.__annotations__}
    hints = hints_of(model)
    fields = sorted(model.model_fields, key=lambda f: not model.model_fields[f].is_required())
    return "\n".join(
        _line(model, f, hints[f], anchors.get((model, f))) for f in fields if f not in elsewhere
    )


def _line(model: type[BaseModel], field: str, hint: Any, anchor: str | None) -> str:
    info = model.model_fields[field]
    key = name_of(field, info)
    said = (info.description or "").replace("<", "&lt;")
    needed = " *(needed)*" if info.is_required() else ""
    left_out = _left_out(info)
    own = f" ([its keys](#{anchor}))" if anchor else ""
    words = f"- **`{key}`**{needed}: {said}. Takes {_form(hint)}{own}{left_out}."
    if not info.examples:
        return words
    examples = " or ".join(f"`{key}: {inline(example)}`" for example in info.examples)
    return f"{words} Example: {examples}"


def _left_out(info: FieldInfo) -> str:
    default = info.default
    if default is PydanticUndefined or default is None or default in ([], ""):
        return ""
    if isinstance(default, Directed):
        default = default.get("outbound")
    elif isinstance(default, BaseModel):
        default = {name: _plain(value) for name, value in default if value is not None}
    return f"; left out, `{inline(_plain(default))}`"


def _plain(value: Any) -> Any:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _form(hint: Any) -> str:
    """Return what a type takes, in words."""
    for known, words in _FORMS:
        if _is(hint, known):
            return words
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return " or ".join(_form(part) for part in inner if part is not type(None))
    if origin is Annotated:
        return _form_with_checks(inner[0], inner[1:])
    if origin is Literal:
        return _one_of([f"`{inline(word)}`" for word in inner])
    return _form_of_class(hint)


def _form_with_checks(kind: Any, checks: tuple[Any, ...]) -> str:
    if any(isinstance(part, OneOrSeveral) for part in checks):
        return f"{_form(get_args(kind)[0])}, or a list of them"
    functions = [part.func for part in checks if isinstance(part, AfterValidator)]
    if like := [check.what for check in functions if isinstance(check, settings.Like)]:
        return like[0]
    return _form(kind) + _range(checks)


def _is(hint: Any, known: Any) -> bool:
    """Whether a type is one that is known, with limits of its own perhaps."""
    parts = (get_args(hint)[0], *hint.__metadata__) if get_origin(hint) is Annotated else (hint,)
    own = (get_args(known)[0], *known.__metadata__)
    return parts[: len(own)] == own


def _form_of_class(kind: Any) -> str:
    if get_origin(kind) is list:
        return "a list" if model_in(kind) else f"a list: {_form(get_args(kind)[0])} each"
    if isinstance(kind, type) and issubclass(kind, Directed):
        (value,) = kind.__pydantic_generic_metadata__["args"]
        return f"{_form(value)}, or one by direction"
    return "a mapping" if model_in(kind) else _PLAIN[kind]


def _range(metadata: tuple[Any, ...]) -> str:
    """Return the limits of a number in words; "" where it has none."""
    limits = [limit for part in metadata for limit in getattr(part, "metadata", [])]
    words = [
        f"{word} {_number(getattr(limit, name))}"
        for kind, name, word in (
            (Ge, "ge", "from"),
            (Gt, "gt", "above"),
            (Le, "le", "to"),
            (Lt, "lt", "below"),
        )
        for limit in limits
        if isinstance(limit, kind) and getattr(limit, name) < _NO_LIMIT
    ]
    between = " " if words and words[-1].startswith("to ") else " and "
    return f" {between.join(words)}" if words else ""


def _number(value: float) -> str:
    return f"{_plain(value):,}" if value >= _COMMAS_FROM else f"{_plain(value)}"


def _one_of(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def _is_list(hint: Any) -> bool:
    return get_origin(hint) is list or any(_is_list(part) for part in get_args(hint))
