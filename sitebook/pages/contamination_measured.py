"""Says in a line of the table of all sites what laboratories measured there, and above how many values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitebook.pages.contamination_numbers import count
from sitebook.records.results.test_reading import IntakeLine, ResultReading, TestReading

RESULTS_SHOWN = 1
"""Results that a line of the table names."""

NOT_MEASURED = "not measured"
WHOLE_SHARE_PERCENT = 100.0


@dataclass(frozen=True)
class Measured:
    """What was measured at a site.

    Parameters
    ----------
    words
        In a few words; never that it was little.
    above
        How many values were exceeded, of all that the results were held against.
    tests
        How many tests there are.
    """

    words: str
    above: int
    tests: int


def measured_of(tests: Sequence[TestReading]) -> Measured:
    """Put the tests of a site into a line: the one with most values exceeded, the newest of several."""
    if not tests:
        return Measured(NOT_MEASURED, 0, 0)
    weightiest = max(tests, key=_above)
    more = f"; {count(len(tests) - 1, 'more test', 'more tests')}" if len(tests) > 1 else ""
    return Measured(f"{_words(weightiest)}{more}", sum(map(_above, tests)), len(tests))


def _words(test: TestReading) -> str:
    """Say material, day, the first results with those above a value before all, and how many are above."""
    ordered = sorted(test.results, key=lambda result: -_of_result(result)[0])
    shown = [f"{result.analyte} {result.written}" for result in ordered[:RESULTS_SHOWN]]
    if (more := len(ordered) - len(shown)) > 0:
        shown.append(count(more, "more result", "more results"))
    held = sum(_of_result(result)[1] for result in test.results)
    held_words = count(held, "comparison", "comparisons")
    against = f"above in {_above(test)} of {held_words}" if held else "held against nothing"
    material = test.material.split(",")[0]
    return f"{material}, {test.sampled_on.isoformat()}: {', '.join(shown) or 'no result'}; {against}"


def _above(test: TestReading) -> int:
    return sum(_of_result(result)[0] for result in test.results)


def _of_result(result: ResultReading) -> tuple[int, int]:
    """Count the values a result is above, and all it was held against."""
    exceeded = [one.relation == "above" for one in result.comparisons]
    exceeded += [_exceeds(line) for line in result.intakes]
    return sum(exceeded), len(exceeded)


def _exceeds(line: IntakeLine) -> bool:
    """Tell whether an intake is above its value; what may be less, as below a detection limit, is not."""
    if line.at_most:
        return False
    if line.share_percent is not None:
        return line.share_percent > WHOLE_SHARE_PERCENT
    return line.margin is not None and line.margin < 1.0
