"""What was drafted last, kept beside the notes: the common ground for drafting again."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Any

from softpedal.draft.observed import Observed
from softpedal.library.whole_file import write_whole
from softpedal.library.yaml_source import MAX_BYTES
from softpedal.problems import CannotDoError

if TYPE_CHECKING:
    from pathlib import Path

#: Its name begins with a dot: such files are no part of a route folder that is checked.
RECORD = ".draft.json"
VERSION = 1
#: JSON of a document takes more room than its YAML: quotes, and each key on its line.
_MAX_RECORD_BYTES = 8 * MAX_BYTES

_TEXTS = ("extract_digest", "extract_date", "extract_name")
_REMEDY = (
    f"Take {RECORD} away and draft again: everything in notes.yml is then taken for your own, "
    "and only listed where the map differs. Or get the file back from version control."
)


class DraftRecordError(CannotDoError):
    """A record that cannot be read or written."""

    def __init__(self, message: str, hint: str = _REMEDY) -> None:
        super().__init__(message, hint)


@dataclass(frozen=True)
class DraftRecord:
    """The last draft and the map that it was made with.

    Attributes:
        extract_digest: digest of the extract's bytes.
        extract_date: the day of the map's data, "" where the extract does not say.
        extract_name: the extract's file name, without its folder.
        document: the draft, before anyone touched it.
        of_line: the draft of the published line alone, without the ride's clock; empty where it
            is not known, or no other than `document`.
        observed: what the ride told besides its line, as plain data; empty where it told nothing.
    """

    extract_digest: str
    extract_date: str
    extract_name: str
    document: dict[str, Any]
    of_line: dict[str, Any] = field(default_factory=dict)
    observed: dict[str, Any] = field(default_factory=dict)

    def seen(self) -> Observed:
        """Return what the ride told besides its line.

        Raises:
            DraftRecordError: the record is damaged.
        """
        try:
            return Observed.from_data(self.observed) if self.observed else Observed()
        except (KeyError, TypeError, ValueError) as error:
            raise DraftRecordError(f"{RECORD} is damaged: what was observed is odd.") from error


def record_text(record: DraftRecord) -> str:
    """Return a record as the text of its file.

    Raises:
        DraftRecordError: the document is no plain data.
    """
    words = {"version": VERSION, **asdict(record)}
    if record.of_line in ({}, record.document):
        del words["of_line"]
    if not record.observed:
        del words["observed"]
    words["extract_name"] = record.extract_name.replace("\\", "/").rpartition("/")[2]
    try:
        return json.dumps(words, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    except (TypeError, ValueError) as error:
        raise DraftRecordError(f"The draft is no plain data: {error}.", "") from error


def write_record(folder: Path, record: DraftRecord) -> None:
    """Write the record of a route folder in one go: the old one stays until the new one is whole.

    Raises:
        DraftRecordError: the folder cannot be written to, or the document is no plain data.
    """
    text = record_text(record)
    try:
        write_whole(folder / RECORD, text.encode())
    except OSError as error:
        raise DraftRecordError(
            f"{RECORD} cannot be written: {error.strerror}.", "Give yourself the right to write it."
        ) from error


def read_record(folder: Path) -> DraftRecord | None:
    """Return the record of a route folder, None where nothing has been drafted.

    Raises:
        DraftRecordError: it is damaged, or of another version.
    """
    path = folder / RECORD
    try:
        with path.open("rb") as file:
            content = file.read(_MAX_RECORD_BYTES + 1)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise DraftRecordError(f"{RECORD} cannot be read: {error.strerror}.") from error
    if len(content) > _MAX_RECORD_BYTES:
        raise DraftRecordError(f"{RECORD} is larger than any draft.")
    try:
        words = json.loads(content)
    except (ValueError, RecursionError) as error:
        raise DraftRecordError(f"{RECORD} is damaged: it is no JSON.") from error
    if not isinstance(words, dict) or words.get("version") != VERSION:
        raise DraftRecordError(f"{RECORD} is not of version {VERSION}, which this softpedal reads.")
    digest, date, name = (words.get(key) for key in _TEXTS)
    document, of_line = words.get("document"), words.get("of_line", {})
    observed = words.get("observed", {})
    if not (
        isinstance(digest, str)
        and isinstance(date, str)
        and isinstance(name, str)
        and isinstance(document, dict)
        and isinstance(of_line, dict)
        and isinstance(observed, dict)
    ):
        raise DraftRecordError(f"{RECORD} is damaged: something is missing from it.")
    return DraftRecord(digest, date, name, document, of_line, observed)
