"""What the items of notes.yml are written with: kinds, directions, and values by either."""

from __future__ import annotations

from typing import Annotated, Any, Generic, Literal, TypeVar, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    model_validator,
)
from pydantic_core import core_schema

from softpedal.library.faults import fault
from softpedal.library.values import Text, check_hours

Direction = Literal["outbound", "return"]
DIRECTIONS: tuple[Direction, Direction] = ("outbound", "return")

Kind = Literal[
    "protected track",
    "traffic-free path",
    "filtered street",
    "back street",
    "shared pavement",
    "painted lane",
    "bus lane",
    "mixed street",
    "busy road",
    "on foot",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

Control = Literal[
    "cycle signals",
    "toucan",
    "signals",
    "pedestrian signals",
    "parallel",
    "zebra",
    "refuge",
    "roundabout",
    "none",
    "bridge",
    "underpass",
]
Source = Literal["ridden", "map", "said", "reported"]
#: Drafted, and not confirmed by anybody.
DRAFTED: frozenset[Source] = frozenset({"map", "said"})
Surface = Literal["smooth", "fair", "rough", "loose", "cobbles"]
Must = Literal["law", "barrier", "advised", "optional"]

OTHERWISE = "otherwise"

T = TypeVar("T")


class OneOrSeveral:
    """Marks a list for which an author may write a single text instead."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> Any:
        """Turn a single text into a list of one before the list is checked."""
        return core_schema.no_info_before_validator_function(_as_list, handler(source))

    def __get_pydantic_json_schema__(self, core: Any, handler: GetJsonSchemaHandler) -> Any:
        """Either the one or the list."""
        several = handler(core)
        return {"anyOf": [several["items"], several]}


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class Strict(BaseModel):
    """Unknown keys are errors, nothing is coerced, nothing changes afterwards."""

    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, use_attribute_docstrings=True
    )


class Directed(Strict, Generic[T]):
    """A value that may differ by direction; a plain value holds for both."""

    outbound: T | None = None
    return_: T | None = Field(None, alias="return")

    @model_validator(mode="before")
    @classmethod
    def _from_plain(cls, value: Any) -> Any:
        if isinstance(value, dict | cls):
            return value
        return {"outbound": value, "return": value}

    def get(self, direction: Direction) -> T | None:
        """Return the value for a direction, None where nothing is said."""
        return self.outbound if direction == "outbound" else self.return_

    @classmethod
    def __get_pydantic_json_schema__(cls, core: Any, handler: GetJsonSchemaHandler) -> Any:
        """Either the plain value or the mapping."""
        mapping = handler.resolve_ref_schema(handler(core))
        plain = {k: v for k, v in mapping["properties"]["outbound"].items() if k != "default"}
        return {"anyOf": [plain, mapping]}


def _both_directions(value: Directed[Kind]) -> Directed[Kind]:
    for direction in DIRECTIONS:
        if value.get(direction) is None:
            raise fault(
                f"The kind for the direction `{direction}` is missing.",
                "Write `{outbound: …, return: …}`, or one kind for both.",
                "notes-missing",
            )
    return value


def _outbound_only(value: Any) -> Any:
    """A plain cue is the outbound one: cues are never turned round."""
    return {"outbound": value} if isinstance(value, str) else value


def _hours_kinds(value: dict[str, Directed[Kind]]) -> dict[str, Directed[Kind]]:
    if OTHERWISE not in value:
        raise fault(
            "`hours` says no kind for all other times.",
            "Add `otherwise:` and the kind.",
            "notes-missing",
        )
    for expression in value:
        if expression != OTHERWISE:
            check_hours(expression, at=expression)
    return value


KindByDirection = Annotated[Directed[Kind], AfterValidator(_both_directions)]
KindByHours = Annotated[dict[str, KindByDirection], AfterValidator(_hours_kinds)]
Cue = Annotated[Directed[Text], BeforeValidator(_outbound_only)]
Positive = Annotated[float, Field(gt=0, lt=1e6)]
Count = Annotated[int, Field(ge=1, le=12)]
