"""What mail programs and manners put around a message: quotes, greetings, closings, signatures."""

from __future__ import annotations

import re

#: Before an earlier mail that is not marked line by line: all that follows is that mail.
_EARLIER = re.compile(
    r"^\s*(?:-{2,}\s*(?:original message|forwarded message|ursprüngliche nachricht|"
    r"weitergeleitete nachricht)\s*-{2,}|begin forwarded message:|_{20,})\s*$",
    re.IGNORECASE,
)
#: The headers of an earlier mail, as some programs write them above it.
_HEADERS = re.compile(
    r"^\s*\*?(?:from|von|de|sent|gesendet|to|an|subject|betreff):\*?\s", re.IGNORECASE
)
#: The line above a quote, which names its writer; it may be wrapped.
_WROTE = re.compile(
    r"^[ \t]*(?:on|am|le|den)\b[^\n]{0,300}(?:\n[^\n>]{0,200}){0,2}?"
    r"\b(?:wrote|schrieb[^\n:]{0,120}|a écrit)[ \t]*:[ \t]*$",
    re.IGNORECASE | re.MULTILINE,
)
_QUOTED = re.compile(r"^\s*[>|]")
_SIGNATURE = re.compile(r"^--\s*$")
_SENT_FROM = re.compile(
    r"^\s*(?:sent (?:from|via|with)\b|get \w+ for\b|gesendet (?:von|mit)\b|von meinem\b.*gesendet)",
    re.IGNORECASE,
)
_CLOSING = re.compile(
    r"^\s*(?:(?:with )?(?:kind|kindest|best|warm|many|all the)\s+(?:regards|wishes|best|thanks)"
    r"|regards|cheers|best|thanks|many thanks|thank you|thanks again|yours(?: \w+)?"
    r"|(?:mit\s+)?(?:freundliche[nm]?|viele[nr]?|liebe[nr]?|beste[nr]?|schöne[nr]?|herzliche[nr]?)"
    r"\s+gr(?:ü|ue)(?:ß|ss)e?n?|gru(?:ß|ss)|gr(?:ü|ue)(?:ß|ss)e|lg|mfg|vg|danke|vielen dank)\b"
    r"(?!,?\s+(?:for|für|to|an|it|the|wir|we)\b)"
    r"[\s,.–-]*(?P<name>(?:(?:from|von|aus|your|\w[\w.'’-]*)\s*){0,4})$",
    re.IGNORECASE,
)
#: A closing behind the last sentence, in its line.
_CLOSING_BEHIND = re.compile(
    r"(?<=[.!?)])\s+(?:[Bb]est(?: wishes| regards)?|[Kk]ind regards|[Rr]egards|[Cc]heers|[Tt]hanks|"
    r"[Mm]any thanks|LG|VG|MfG|[Gg]ruß|(?:[Vv]iele|[Ll]iebe|[Bb]este) Grüße)[\s,–-]+"
    r"(?:(?:from|von)\s+)?[A-ZÄÖÜ][\w.'’-]*(?:\s+[A-ZÄÖÜ][\w.'’-]*)?\s*$"
)
#: After a closing, something that is said all the same.
_AFTERTHOUGHT = re.compile(r"^\s*p\.?\s?s\b", re.IGNORECASE)
_DASH_NAME = re.compile(r"^\s*[-–—~]\s?[A-Z][\w.'’-]+(?:\s[A-Z][\w.'’-]*)?\s*$")
_GREETING = re.compile(
    r"^\s*(?:(?i:hi|hello|dear|hey|hiya|good (?:morning|afternoon|evening)|hallo|liebe[rs]?|"
    r"sehr geehrte[rs]?|guten (?:tag|morgen|abend)|moin|servus))\b"
    r"(?:(?:\s+(?i:there|all|everyone|team|zusammen|ihr|und|and|herr|frau|dr\.?|mr\.?|mrs\.?|"
    r"ms\.?|damen|herren|sir|madam|or))"
    r"|\s+[A-ZÄÖÜ][\w.'’-]*){0,5}\s*[,!:.–-]?\s*"
)
#: Lines behind a closing word that may be a name and an address.
_MAX_CLOSING_LINES = 8


def own_words(text: str) -> str:
    """Return what the writer of a mail wrote: no earlier mails, greetings, closings, signatures."""
    lines = _WROTE.sub("", text).split("\n")
    lines = _before_earlier(lines)
    lines = [line for line in lines if not _QUOTED.match(line) and not _SENT_FROM.match(line)]
    cut = next((i for i, line in enumerate(lines) if _SIGNATURE.match(line)), len(lines))
    lines = _without_closing(_stripped(lines[:cut]))
    if lines:
        lines[-1] = _CLOSING_BEHIND.sub("", lines[-1])
        lines[0] = _GREETING.sub("", lines[0], count=1)
    return "\n".join(_stripped(lines))


def _before_earlier(lines: list[str]) -> list[str]:
    for index, line in enumerate(lines):
        headers = sum(bool(_HEADERS.match(each)) for each in lines[index : index + 4])
        if _EARLIER.match(line) or (headers >= 2 and _HEADERS.match(line)):
            return lines[:index]
    return lines


def _without_closing(lines: list[str]) -> list[str]:
    """Return lines without the last closing words and what follows, unless it is a postscript."""
    if lines and _DASH_NAME.match(lines[-1]):
        lines = _stripped(lines[:-1])
    for index in range(max(1, len(lines) - _MAX_CLOSING_LINES), len(lines)):
        if _CLOSING.match(lines[index]):
            rest = lines[index:]
            after = next((i for i, line in enumerate(rest) if _is_said(line)), len(rest))
            return lines[:index] + rest[after:]
    return lines


def _is_said(line: str) -> bool:
    """Whether a line behind a closing is a sentence or a postscript, and no name or address."""
    words = line.split()
    plain = sum(word[0].islower() for word in words)
    return bool(_AFTERTHOUGHT.match(line)) or (len(words) >= 6 and plain >= 4)


def _stripped(lines: list[str]) -> list[str]:
    """Return lines without the empty ones at either end."""
    full = [index for index, line in enumerate(lines) if line.strip()]
    return lines[full[0] : full[-1] + 1] if full else []
