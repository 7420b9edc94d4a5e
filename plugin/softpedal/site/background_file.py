"""Where a site's background comes from: its map extract, else its GeoJSON file, else nowhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from softpedal.problems import Problem
from softpedal.settings import FILE_NAME
from softpedal.site.basemap import Background
from softpedal.streets.extract import ExtractError
from softpedal.streets.ground_store import keep_ground

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.settings import Settings

#: Beside softpedal.yml: what is kept between builds.
CACHE = ".softpedal"
#: Who made an extract, unless the settings say otherwise.
EXTRACT_ATTRIBUTION = "© OpenStreetMap contributors"

_PLAIN = "Maps are drawn on a plain ground until it is there."


@dataclass(frozen=True, slots=True)
class BackgroundFile:
    """What maps are drawn on.

    Attributes:
        path: of the file that `Background.of` reads, None for a plain ground.
        attribution: who made it, as plain text.
        problems: advice about it.
    """

    path: Path | None
    attribution: str
    problems: tuple[Problem, ...] = ()


def map_attribution(settings: Settings) -> str:
    """Return who made the map that a library's routes stand on, without reading it."""
    return settings.background_attribution or (EXTRACT_ATTRIBUTION if settings.extract else "")


def background_file(library: Path, settings: Settings) -> BackgroundFile:
    """Return the background of a library; what is wrong with it never stops a build."""
    problems: list[Problem] = []
    if settings.extract is not None:
        found = _extract(library, settings.extract, problems)
        if found is not None:
            attribution = settings.background_attribution
            if not attribution:
                problems.append(_unsigned())
            return BackgroundFile(found, attribution or EXTRACT_ATTRIBUTION, tuple(problems))
    path = None
    if settings.background is not None:
        path = _collection(library, settings.background, problems)
    return BackgroundFile(path, settings.background_attribution, tuple(problems))


def _extract(library: Path, name: str, problems: list[Problem]) -> Path | None:
    try:
        path = keep_ground((library / name).resolve(), (library / CACHE).resolve())
        Background.of(path)
    except ExtractError as error:
        message = f"The extract {name} cannot be read: {_sentence(str(error))}"
        problems.append(_advice(message, f"{error.hint} {_PLAIN}"))
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        message = f"What was read of the extract {name} cannot be kept: {_sentence(str(reason))}"
        problems.append(_advice(message, f"Make {CACHE}/ a folder that can be written to."))
    else:
        return path
    return None


def _collection(library: Path, name: str, problems: list[Problem]) -> Path | None:
    path = (library / name).resolve()
    try:
        Background.of(path)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        message = f"The background {name} cannot be read: {reason}."
        problems.append(_advice(message, _PLAIN))
        return None
    return path


def _unsigned() -> Problem:
    return _advice(
        "An extract is drawn, but the settings do not say whose it is.",
        "Write `background_attribution:`; until then maps say "
        f"“{EXTRACT_ATTRIBUTION}”, the licence of OpenStreetMap's data.",
    )


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _advice(message: str, hint: str) -> Problem:
    return Problem("settings-value", FILE_NAME, 0, 0, message, hint, severity="advice")
