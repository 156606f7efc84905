"""Keeps labels of a drawing from lying on one another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

LETTER_SHARE = 0.58
"""Width of a letter as a share of the size of the writing, a little wide on purpose."""


@dataclass(frozen=True)
class Box:
    """A rectangle that something takes, by its middle and size in drawing units."""

    x: float
    y: float
    wide: float
    high: float

    def meets(self, other: Box) -> bool:
        """Tell whether two boxes share ground."""
        return (
            abs(self.x - other.x) < (self.wide + other.wide) / 2.0
            and abs(self.y - other.y) < (self.high + other.high) / 2.0
        )


@dataclass
class Room:
    """The room left on a drawing.

    Parameters
    ----------
    wide, high
        Size of the drawing.
    """

    wide: float
    high: float
    taken: list[Box] = field(default_factory=list)

    def take(self, box: Box) -> None:
        """Take a box, whatever lies there."""
        self.taken.append(box)

    def first_free(self, boxes: Iterable[Box]) -> Box | None:
        """Take the first box that lies on the drawing and on nothing; None where none does."""
        for box in boxes:
            if self._fits(box):
                self.taken.append(box)
                return box
        return None

    def _fits(self, box: Box) -> bool:
        inside = (
            box.wide / 2.0 <= box.x <= self.wide - box.wide / 2.0
            and box.high / 2.0 <= box.y <= self.high - box.high / 2.0
        )
        return inside and not any(box.meets(other) for other in self.taken)


def text_width(text: str, size: float) -> float:
    """Guess how wide a text is drawn."""
    return LETTER_SHARE * size * len(text)
