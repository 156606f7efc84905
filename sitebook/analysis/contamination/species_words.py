"""Says in words what is published of the metals of a taxon, and never more than that."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitebook.analysis.contamination.wood_growth import listed
from sitebook.quantities import two_digits
from sitebook.records.results.species import SpeciesLine
from sitebook.reference.analytes import analyte

LOOKED_FOR = ("Pb", "Cd", "Hg", "As", "Cs-137")
"""What a review speaks of for every taxon, be it that nothing is written."""

NO_DATA = "no data for this taxon"
ANY_ELEMENT = "any element"
SMELTER = "smelter"
IN_MASS = "mg/kg dry"

NOTHING_WRITTEN = "No data for this taxon in the table. That is no sign that it gathers little."
NOT_OF_THIS_PLACE = (
    "What is published comes from other ground and says nothing of this place; what this fruit body holds, "
    "a laboratory alone can tell."
)


def said(element: str) -> str:
    """Give an element in words."""
    found = analyte(element)
    return found.said if found is not None else element


def of_lines(lines: Sequence[SpeciesLine]) -> Iterator[str]:
    """Say in one sentence an element what is published of it."""
    written = [line for line in lines if line.what != "no data"]
    if not written:
        yield NOTHING_WRITTEN
        return
    elements = dict.fromkeys(line.element for line in written)
    for element in [one for one in elements if one in LOOKED_FOR]:
        yield _sentence(element, [line for line in written if line.element == element])
    yield from _of_others([line for line in written if line.element not in LOOKED_FOR])
    silent = [said(line.element) for line in lines if line.what == "no data"]
    if silent:
        yield f"Of {listed(silent)}: {NO_DATA}."


def _of_others(lines: Sequence[SpeciesLine]) -> Iterator[str]:
    """Name the other elements, those apart of which no source was found to confirm what is said."""
    published = dict.fromkeys(line.element for line in lines if line.mark != "memory")
    doubtful = dict.fromkeys(line.element for line in lines if line.element not in published)
    if published:
        yield f"Something is published of {listed([said(one) for one in published])}."
    if doubtful:
        yield f"Something is said of {listed([said(one) for one in doubtful])}, not confirmed in any source."


def _sentence(element: str, lines: Sequence[SpeciesLine]) -> str:
    parts = [*_ranges(lines), *_near_smelters(lines), *_others(lines)]
    opening = "Published" if any(line.mark != "memory" for line in lines) else "Said"
    return f"{opening} of {said(element)}: {'; '.join(parts)}."


def _ranges(lines: Sequence[SpeciesLine]) -> Iterator[str]:
    """Give the range of measured values for each kind of ground, smelters left out."""
    numbers = [line for line in lines if line.typical and line.unit == IN_MASS]
    for place in dict.fromkeys((line.place, line.of_whom) for line in numbers):
        here = [line for line in numbers if (line.place, line.of_whom) == place]
        ends = [end for line in here for end in (line.low, line.high) if end is not None]
        yield f"{_span(ends, here)} {IN_MASS} ({', '.join(filter(None, (_samples(here), *place)))})"


def _span(ends: Sequence[float], lines: Sequence[SpeciesLine]) -> str:
    low, high = min(ends), max(ends)
    if any(line.low is None for line in lines):
        return f"up to {high:g}"
    if len(lines) > 1 or any("mean" in line.what for line in lines):
        first, last = two_digits(low), two_digits(high)
        return f"means of {first} to {last}" if low != high else f"mean {first}{_spread(lines)}"
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _spread(lines: Sequence[SpeciesLine]) -> str:
    """Give the spread of a mean that stands alone, where it is known."""
    spread = lines[0].spread if len(lines) == 1 else None
    return f" ± {two_digits(spread)}" if spread is not None else ""


def _samples(lines: Sequence[SpeciesLine]) -> str:
    """Say of how many samples a mean that stands alone is, where it is known."""
    samples = lines[0].samples if len(lines) == 1 else None
    return f"{samples} samples" if samples is not None else ""


def _near_smelters(lines: Sequence[SpeciesLine]) -> Iterator[str]:
    near = [line for line in lines if not line.typical and line.high is not None]
    if near:
        highest = max(near, key=lambda line: line.high or 0.0)
        kind = "a mean of" if "mean" in highest.what else "up to"
        yield f"near a smelter {kind} {highest.high:g} {IN_MASS}, which tells nothing of other ground"


def _others(lines: Sequence[SpeciesLine]) -> Iterator[str]:
    """Give judgements and ratios to soil as written."""
    for line in lines:
        if line.unit == IN_MASS:
            continue
        where = line.place if line.site_kind != "not stated" else ""
        mark = "not confirmed in any source" if line.mark == "memory" else ""
        ratio = "as a ratio to the soil " if line.what == "ratio to soil" else ""
        yield f"{ratio}{line.value_text} ({', '.join(filter(None, (where, line.of_whom, mark)))})"
