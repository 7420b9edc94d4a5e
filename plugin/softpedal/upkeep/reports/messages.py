"""What is read from a file of reports, before anything is taken out of it."""

from __future__ import annotations

from dataclasses import dataclass, field

#: Characters of one message that are looked at; what follows is cut off.
MAX_CHARACTERS = 20_000


@dataclass(frozen=True, slots=True)
class Message:
    """One message, with all that must not be kept.

    Attributes:
        text: its words, quoted ones too.
        title: of an issue, which belongs to its text.
        subject: of a mail, by which it is placed and which is not kept.
        on: the day on which it was sent, ISO, "" where it does not say.
        route: id of the route, where it is given beside the text.
        at: a chainage, where it is given beside the text.
        names: of the sender, to be taken out of the text.
    """

    text: str
    title: str = ""
    subject: str = ""
    on: str = ""
    route: str = ""
    at: str = ""
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Skipped:
    """A message that could not be used: which, and why."""

    which: str
    why: str

    def __str__(self) -> str:
        return f"{self.which}: {self.why}"


@dataclass(slots=True)
class Read:
    """The messages of a file.

    Attributes:
        form: of the file: mbox, jsonl or text.
        messages: what can be used.
        skipped: what cannot.
    """

    form: str
    messages: list[Message] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)

    def skip(self, which: str, why: str) -> None:
        """Note that something was left out."""
        self.skipped.append(Skipped(which, why))
