"""Phrase tables: which words of the commentary speak of what; one YAML file for each language."""

# ruff: noqa: RUF012, TC001 - a pydantic model by way of Strict, which ruff does not see
from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_args

from pydantic import Field, model_validator

from softpedal.draft.observed import Sort
from softpedal.draft.phrase_patterns import PatternError, any_of, expression, group
from softpedal.library.faults import fault, shown
from softpedal.library.note_values import Control, Must, Strict, Surface
from softpedal.library.notes_reader import validate
from softpedal.library.plain_text import printable
from softpedal.library.yaml_source import MAX_BYTES, YamlSource, read_yaml
from softpedal.library.yaml_source import Path as YamlPath
from softpedal.problems import CannotDoError, Problem

if TYPE_CHECKING:
    import re

FOLDER = Path(__file__).parent / "phrases"
MAX_LABEL = 100

#: The facts that each sort may give, and the values of each; none means any short text.
FACTS: dict[str, dict[str, tuple[str, ...]]] = {
    "dismount": {"must": get_args(Must)},
    "cue": {"turn": ("left", "right", "straight")},
    "hazard": {"what": ()},
    "surface": {"surface": get_args(Surface)},
    "busy": {},
    "banned": {"direction": ("outbound", "return")},
    "crossing": {"control": get_args(Control)},
    "filtered": {"closed_by": ()},
    "lit": {"value": ("yes", "partly", "no")},
    "wet": {"value": ()},
    "walkers": {"value": ("few", "many")},
    "company": {"value": ("overlooked", "out of sight")},
    "hours": {"when": ()},
}

#: Phrases, one in a line; lines that begin with # are remarks.
Phrases = Annotated[str, Field(max_length=20_000)]
Label = Annotated[str, Field(min_length=1, max_length=MAX_LABEL)]


class PhrasesError(CannotDoError):
    """A phrase table that cannot be used; the message names file, line and column."""


class _Entry(Strict):
    """Phrases that speak of one thing."""

    sort: Sort
    facts: dict[str, Label] = {}
    said: str = ""
    """The fact whose value is what was said, from the phrase to the end of its clause."""
    phrases: Phrases
    unless: Phrases = ""
    """Phrases that, in the same clause, take the meaning away."""

    @model_validator(mode="after")
    def _known_facts(self) -> _Entry:
        known = FACTS[self.sort]
        for name, value in self.facts.items():
            if name not in known:
                raise fault(
                    f"`{self.sort}` gives no fact `{shown(name)}`.",
                    f"It gives: {', '.join(known) or 'none'}.",
                )
            if known[name] and value not in known[name]:
                raise fault(
                    f"`{name}: {shown(value)}` is not one of: {', '.join(known[name])}.",
                    "Write one of these words.",
                )
        if self.said and (self.said in self.facts or known.get(self.said) != ()):
            raise fault(
                f"What was said cannot be the value of `{shown(self.said)}`.",
                "Name a fact of free text that is not given under `facts`.",
            )
        return self


class _Table(Strict):
    """The file as it is written."""

    language: Label
    groups: dict[str, Phrases] = {}
    breaks: Phrases = ""
    negations: Phrases = ""
    negations_near: Phrases = ""
    negations_after: Phrases = ""
    unreal: Phrases = ""
    unreal_after: Phrases = ""
    past: Phrases = ""
    ended: Phrases = ""
    other_way: Phrases = ""
    this_way: Phrases = ""
    nothing: Phrases = ""
    entries: Annotated[list[_Entry], Field(min_length=1, max_length=500)]


@dataclass(frozen=True, slots=True)
class Entry:
    """What `phrases` speak of, unless one of `unless` is in the same clause."""

    sort: Sort
    facts: dict[str, str]
    said: str
    phrases: re.Pattern[str]
    unless: re.Pattern[str] | None


@dataclass(frozen=True, slots=True)
class PhraseTable:
    """A table whose phrases are ready to be matched with `Heard.text`; a list is None if empty.

    Attributes:
        language: like `en`.
        breaks: words at which a new clause begins.
        negations, unreal: after one of these nothing holds in the clause, seven words on.
        negations_near: the same, three words on.
        negations_after, unreal_after: before one of these nothing holds in its clause.
        past, ended: nothing holds between one of the first and one of the second.
        other_way, this_way: the way back is meant; the way out is.
        nothing: turns of speech in which no word has its own meaning.
        entries: in the order of the file.
    """

    language: str
    breaks: re.Pattern[str] | None
    negations: re.Pattern[str] | None
    negations_near: re.Pattern[str] | None
    negations_after: re.Pattern[str] | None
    unreal: re.Pattern[str] | None
    unreal_after: re.Pattern[str] | None
    past: re.Pattern[str] | None
    ended: re.Pattern[str] | None
    other_way: re.Pattern[str] | None
    this_way: re.Pattern[str] | None
    nothing: re.Pattern[str] | None
    entries: tuple[Entry, ...]


def languages() -> list[str]:
    """Return the languages that have a table here."""
    return sorted(file.stem for file in FOLDER.glob("*.yml"))


def load_phrases(language: str | Path) -> PhraseTable:
    """Load the table of a language, like `en`, or an author's own from its file.

    Raises:
        PhrasesError: there is none, or it cannot be read or used.
    """
    file = Path(language)
    if str(language) in languages():
        file = FOLDER / f"{language}.yml"
    name = printable(file.name)
    try:
        with file.open("rb") as opened:
            content = opened.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "that is not the name of a file"
        known = ", ".join(languages())
        raise PhrasesError(
            f"The phrase table {shown(name)} cannot be read: {why}.",
            f"Name a file of your own, or one of the languages: {known}.",
        ) from error
    source, problems = read_yaml(content, name)
    if source is None:
        raise _refusal(problems)
    table, problems = validate(_Table, source, name)
    if table is None:
        raise _refusal(problems)
    return _Compiler(source, name).table(table)


def _refusal(problems: list[Problem]) -> PhrasesError:
    return PhrasesError("\n".join(str(problem) for problem in problems))


class _Compiler:
    """Turns the lists of a table into patterns, knowing where each line stands."""

    def __init__(self, source: YamlSource, file: str) -> None:
        self.source, self.file = source, file
        self.groups: dict[str, str] = {}
        self.negations = ""

    def table(self, table: _Table) -> PhraseTable:
        for name, text in table.groups.items():
            lines = self._checked(text, ("groups", name))
            if not lines:
                raise self._fault(("groups", name), 0, "A group holds no phrase.")
            self.groups[name] = group(lines, self.groups)
        negations = [
            *self._checked(table.negations, ("negations",)),
            *self._checked(table.negations_near, ("negations_near",)),
        ]
        lists = {
            name: self._pattern(getattr(table, name), (name,))
            for name in _Table.model_fields
            if name not in ("language", "groups", "entries")
        }
        self.negations = group(negations, self.groups) if negations else ""
        entries = tuple(self._entry(entry, n) for n, entry in enumerate(table.entries))
        return PhraseTable(language=table.language, entries=entries, **lists)

    def _entry(self, entry: _Entry, number: int) -> Entry:
        path: YamlPath = ("entries", number)
        phrases = self._pattern(entry.phrases, (*path, "phrases"))
        if phrases is None:
            raise self._fault((*path, "phrases"), 0, "An entry holds no phrase.")
        unless = self._pattern(entry.unless, (*path, "unless"))
        return Entry(entry.sort, dict(entry.facts), entry.said, phrases, unless)

    def _pattern(self, text: str, path: YamlPath) -> re.Pattern[str] | None:
        return any_of(self._checked(text, path), self.groups, self.negations)

    def _checked(self, text: str, path: YamlPath) -> list[str]:
        """Return the phrases of a text, each of which can be read."""
        found = []
        for number, line in enumerate(text.split("\n")):
            phrase = line.strip()
            if not phrase or phrase.startswith("#"):
                continue
            try:
                expression(phrase, self.groups)
            except PatternError as error:
                below = number + 1 if "\n" in text else 0  # the text begins under its |
                raise self._fault(path, below, f"`{shown(phrase)}`: {error}") from None
            found.append(phrase)
        return found

    def _fault(self, path: YamlPath, below: int, message: str) -> PhrasesError:
        line, column = self.source.place(path)
        hint = "The head of en.yml says how phrases are written."
        problem = Problem(
            "notes-value", self.file, line + below, 0 if below else column, message, hint
        )
        return _refusal([problem])
