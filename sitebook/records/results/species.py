"""What is written of the metals a taxon gathers."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Mark


@dataclass(frozen=True)
class SpeciesLine:
    """One published value for one element.

    Parameters
    ----------
    element
        What was measured.
    what
        Kind of value: mean, range, maximum, ratio to soil, judgement; "no data" where nothing is written.
    value_text
        The value as written.
    unit
        Its unit; "words" for a judgement.
    place
        What kind of ground it was measured at.
    of_genus
        Whether the row is of the genus, not of the species.
    source, mark
        Where it is written, and how well that is known.
    site_kind
        The same in one word of the table: smelter, road, town, no known source, market, region, soil study,
        not stated.
    typical
        False for a value from beside a smelter or works, which tells nothing of other ground.
    part
        Part of the fruit body that the source names, as cap; "" where it names none.
    of_whom
        Whose value it is where it is not of the species: its genus, or species on wood as a group.
    low, high
        Ends of the value in its unit; None where there is none.
    spread
        What follows a mean after "±" in its source, in its unit; None where it was not read.
    samples
        How many samples it is the mean of; None where that was not read.
    """

    element: str
    what: str
    value_text: str
    unit: str
    place: str
    of_genus: bool
    source: str
    mark: Mark
    site_kind: str = ""
    typical: bool = True
    part: str = ""
    of_whom: str = ""
    low: float | None = None
    high: float | None = None
    spread: float | None = None
    samples: int | None = None


@dataclass(frozen=True)
class SpeciesReview:
    """The second line of a review: the taxon, whatever the place.

    Parameters
    ----------
    taxon_name
        Scientific name.
    lines
        Published values, and a line "no data for this taxon" for each element nothing is written of.
    words
        What can be said in a few sentences, never more than the lines hold.
    """

    taxon_name: str
    lines: tuple[SpeciesLine, ...]
    words: str
