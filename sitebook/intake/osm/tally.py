"""Counts the elements of a map extract that became no row, by reason."""

from __future__ import annotations

from dataclasses import dataclass, field

from sitebook.records.incoming import SortedLine, Sorting

NO_TAGS = "elements without tags, which only give others their shape"
NOT_READ = "elements with no tag that is read here"
DELETED = "elements marked as deleted"
REPEATED = "older versions of an element that the file holds twice"
SQUARE = "paved squares (highway with area=yes), which are no road or path"
OTHER_SHAPE = "elements with a tag that is read on another shape only, as a lone point tagged as wood"
OPEN_OUTLINE = "grounds whose outline does not close, encloses nothing, or lies partly outside the extract"
TOO_SHORT = "lines with fewer than two different points inside the extract"
RELATION_KIND = "relations other than outlines of ground, as routes and restrictions"

CUT_OFF = "parts of roads and lines beyond the points that the extract holds; the part inside is kept"
CUT_OUTLINE = "hazards whose outline lies partly outside the extract; the part inside is kept as a line"
MENDED = "outlines that cross themselves; they are kept, mended"
PARTS = (CUT_OFF, CUT_OUTLINE, MENDED)
"""Reasons that speak of a part or a flaw of an element that is kept all the same."""

NO_POSITION = "points without a position"
IMPOSSIBLE_POSITION = "points whose latitude or longitude cannot be, or that lie at 0/0"
REFUSED = (NO_POSITION, IMPOSSIBLE_POSITION)
"""Reasons for which a file is refused."""

EXAMPLES_KEPT = 5


@dataclass
class Tally:
    """How many elements became no row, by reason, with a few of them by name."""

    counts: dict[str, int] = field(default_factory=dict)
    examples: dict[str, list[str]] = field(default_factory=dict)

    def add(self, reason: str, ref: str) -> None:
        """Count one element, as node/7."""
        self.counts[reason] = self.counts.get(reason, 0) + 1
        named = self.examples.setdefault(reason, [])
        if len(named) < EXAMPLES_KEPT:
            named.append(ref)

    @property
    def sorted_lines(self) -> tuple[SortedLine, ...]:
        """One line a reason; its text names the first few elements."""
        return tuple(
            SortedLine(_sorting(reason), reason, line_text=self._named(reason), how_many=how_many)
            for reason, how_many in self.counts.items()
        )

    def _named(self, reason: str) -> str:
        named = self.examples[reason]
        more = " ..." if self.counts[reason] > len(named) else ""
        return ", ".join(named) + more


def _sorting(reason: str) -> Sorting:
    return "refused" if reason in REFUSED else "left out"
