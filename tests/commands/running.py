"""Runs a command in this process, as `sitebook WORDS` would, and tells how it ended."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitebook.commands import main


@dataclass(frozen=True)
class Ran:
    """How a command ended.

    Parameters
    ----------
    status
        Exit status.
    out, err
        What it printed.
    """

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:  # noqa: ANN401 - any JSON value
        """The one JSON value that was printed."""
        return json.loads(self.out)

    @property
    def told(self) -> str:
        """The one line of an error."""
        (line,) = self.err.splitlines()
        assert line.startswith("sitebook: ")
        assert "Traceback" not in self.out + self.err
        return line


class Terminal(io.StringIO):
    """A terminal at which somebody types."""

    def isatty(self) -> bool:
        """Say that somebody sits there."""
        return True


@contextlib.contextmanager
def _typed(words: list[str], stdin: io.StringIO) -> Iterator[None]:
    before = sys.argv, sys.stdin
    sys.argv, sys.stdin = ["sitebook", *words], stdin
    try:
        yield
    finally:
        sys.argv, sys.stdin = before


def run(*words: str | Path, stdin: io.StringIO | None = None) -> Ran:
    """Run the command line with these words."""
    out, err = io.StringIO(), io.StringIO()
    with (
        _typed([str(word) for word in words], stdin or io.StringIO()),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        status = main._run()
    return Ran(status, out.getvalue(), err.getvalue())
