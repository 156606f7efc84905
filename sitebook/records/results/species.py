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
        Kind of value: mean, range, maximum, ratio to soil, judgement.
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
    """

    element: str
    what: str
    value_text: str
    unit: str
    place: str
    of_genus: bool
    source: str
    mark: Mark


@dataclass(frozen=True)
class SpeciesReview:
    """The second line of a review: the taxon, whatever the place.

    Parameters
    ----------
    taxon_name
        Scientific name.
    lines
        Published values; empty where nothing is written.
    words
        What can be said in a sentence, never more than the lines hold.
    """

    taxon_name: str
    lines: tuple[SpeciesLine, ...]
    words: str
