"""The language of the pages: every text that readers see goes through `tr` or `trn`.

The English text is the key. A language is one file, `languages/<code>.yml`, that maps English
texts to its own; what it does not have stays English. Braces name values to be filled in.
"""

from __future__ import annotations

import datetime as dt
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml
from babel import Locale
from babel.dates import format_date, format_skeleton

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

#: Folder of a library, and of this package, in which languages lie.
LANGUAGES = "languages"
FOLDER = Path(__file__).parent / LANGUAGES
ENGLISH = "en"


@dataclass(frozen=True)
class Language:
    """A language and its texts.

    Attributes:
        code: like `en` or `pt-BR`.
        texts: English text → text, or for counted things a mapping of plural forms (CLDR: one,
            few, other …) by the English plural.
        folder: where it was found.
        through: what every finished text is sent through; for tests.
    """

    code: str = ENGLISH
    texts: Mapping[str, Any] = field(default_factory=dict)
    folder: Path | None = None
    through: Callable[[str], str] | None = None

    @property
    def locale(self) -> Locale:
        """Rules for numbers, plurals and dates."""
        return _locale(self.code)


_current: ContextVar[Language] = ContextVar("language")
_english = Language()


def current() -> Language:
    """Return the language in use."""
    return _current.get(_english)


def language_values() -> dict[str, str]:
    """Return the language in use, and the direction in which it is written, for an <html>."""
    language = current()
    return {"lang": language.code, "dir": language.locale.text_direction}


def use(language: Language) -> None:
    """Use a language from now on, in this thread or process."""
    _current.set(language)


def language_of(code: str, library: Path | None = None) -> Language:
    """Return a language from the library's folder `languages/`, else from the package's.

    Raises:
        ValueError: there is no such file, or it is no mapping of texts.
    """
    if code == ENGLISH:
        return _english
    places = [library / LANGUAGES] if library else []
    for folder in [*places, FOLDER]:
        path = folder / f"{code}.yml"
        if path.is_file():
            return _read_once(code, path, path.stat().st_mtime_ns)
    raise ValueError(f"There is no languages/{code}.yml, neither in the library nor in softpedal.")


@lru_cache(maxsize=8)
def _read_once(code: str, path: Path, _changed_ns: int) -> Language:
    texts = yaml.safe_load(path.read_text(encoding="utf-8"))
    if not isinstance(texts, dict):
        raise ValueError(f"{path.name} is not a mapping of English texts to others")  # noqa: TRY004
    return Language(code, texts, path.parent)


def use_or_english(code: str, library: Path) -> str:
    """Use a language from now on, or English if it is not there; return what is wrong, or ""."""
    try:
        use(language_of(code, library))
    except ValueError as error:
        use(_english)
        return str(error)
    return ""


def own_text(name: str) -> str | None:
    """Return a whole text that the language has as a file of its own, like de.NAME, or None."""
    language = current()
    path = language.folder and language.folder / f"{language.code}.{name}"
    return path.read_text(encoding="utf-8") if path and path.is_file() else None


def tr(text: str, /, **values: object) -> str:
    """Return a text in the current language, its braces filled with values."""
    language = current()
    found = language.texts.get(text, text)
    found = found if isinstance(found, str) else text
    if language.through:
        found = language.through(found)
    return found.format(**values) if values else found


def trn(one: str, many: str, count: int, /, **values: object) -> str:
    """Return the form of a text for a count; `{count}` in it is the number."""
    language = current()
    forms = language.texts.get(many)
    if isinstance(forms, dict):
        found = str(forms.get(language.locale.plural_form(count), forms.get("other", many)))
    else:
        found = one if count == 1 else many
    if language.through:
        found = language.through(found)
    return found.format(count=count, **values)


def number(text: str) -> str:
    """Return an English number (and its unit) with the language's decimal sign."""
    sign = _decimal_sign(current().code)
    return text if sign == "." else text.replace(".", sign)


def date(iso: str) -> str:
    """Return 2026-05-16 or 2025-04 in words."""
    language = current()
    if len(iso) == len("2025-04"):
        day = dt.date.fromisoformat(f"{iso}-01")
        words = (
            f"{day:%B %Y}"
            if language.code == ENGLISH
            else format_skeleton("yMMMM", day, locale=language.locale)
        )
    else:
        day = dt.date.fromisoformat(iso)
        words = (
            f"{day.day} {day:%B %Y}"
            if language.code == ENGLISH
            else format_date(day, "long", locale=language.locale)
        )
    return language.through(words) if language.through else words


@lru_cache(maxsize=8)
def _locale(code: str) -> Locale:
    return Locale.parse(code, sep="-")


@lru_cache(maxsize=8)
def _decimal_sign(code: str) -> str:
    return str(_locale(code).number_symbols["latn"]["decimal"]) if code != ENGLISH else "."
