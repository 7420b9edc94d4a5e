"""Drafting that is refused: how it is asked for, and what must be true then."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from edited_town import names_in, run

if TYPE_CHECKING:
    from pathlib import Path

    from click.testing import Result


def drafted(ride: Path, home: Path, streets: Path | None, *more: Any) -> Result:
    """Draft a ride into a library."""
    named = ("--streets", streets) if streets else ()
    return run("draft", ride, "--library", home, *named, *more)


def refused(result: Result, home: Path, *words: str, code: int = 1) -> None:
    """Check that a command said why it refused, and that nothing was written."""
    assert result.exit_code == code, result.output
    assert "Traceback" not in result.output
    for word in words:
        assert word in result.output
    assert names_in(home) == ["softpedal.yml"]
