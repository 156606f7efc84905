"""What every request gives back, and how it tells how far it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many steps are done, and how many there are."""


@dataclass(frozen=True)
class Answer(Generic[T]):
    """A result, and the page drawn of it where one was asked for.

    Parameters
    ----------
    result
        The result itself.
    page
        A self-contained HTML page; None where the request draws none.
    remarks
        What was taken for granted on the way, or is not known, each in a sentence.
    """

    result: T
    page: str | None = None
    remarks: tuple[str, ...] = ()


def silent(_what: str, _done: int, _all: int) -> None:
    """Tell nobody how far it is."""
