"""What a laboratory test says, beside the values it may be held against."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.citations import Mark


@dataclass(frozen=True)
class Comparison:
    """One value that a result is held against.

    Parameters
    ----------
    against
        What the value is, by whom and for which use of land or product.
    value
        The value, in the unit and on the basis of `unit`.
    unit
        Its unit with its basis, as "mg/kg dry".
    result
        The result turned into that unit and basis; the detection limit where it was below.
    relation
        "above", "at or below", or "not told" where the detection limit itself lies above the value, or where
        a weak extraction of soil gave less than the value.
    caveat
        What the value was made for and what it does not say, in a sentence.
    assumed
        What had to be assumed to hold them side by side, as the dry matter; "" for nothing.
    source, mark
        Where the value is written, and how well that is known.
    words
        The whole comparison in one sentence, its caveat included.
    """

    against: str
    value: float
    unit: str
    result: float
    relation: str
    caveat: str
    assumed: str
    source: str
    mark: Mark
    words: str = ""


@dataclass(frozen=True)
class IntakeLine:
    """What one eater's weekly portion would bring in, against one health-based value.

    Parameters
    ----------
    eater
        Who: adult, child, or pregnancy.
    body_mass_kg
        Body mass taken [kg].
    fresh_g_per_week
        Fresh mushroom a week [g].
    intake_ug_per_week
        What that brings in [ug a week]; at most, where the result was below its detection limit.
    share_percent
        Share of a weekly limit or reference dose [percent]; None where the value is a benchmark dose.
    margin
        Margin of exposure [1]; None where the value is a limit. For lead always this and never a share.
    against
        The value in words with its number and unit.
    words
        What the number means, in a sentence that promises nothing.
    source, mark
        Where the value is written, and how well that is known.
    at_most
        Whether the intake is an upper end, as where the result was below its detection limit.
    """

    eater: str
    body_mass_kg: float
    fresh_g_per_week: float
    intake_ug_per_week: float
    share_percent: float | None
    margin: float | None
    against: str
    words: str
    source: str
    mark: Mark
    at_most: bool = False


@dataclass(frozen=True)
class ResultReading:
    """One analyte of a test.

    Parameters
    ----------
    analyte
        What was measured.
    value
        The value, or the detection limit where it was below.
    unit
        Unit with basis, as "mg/kg dry".
    below_limit
        Whether it was below the detection limit.
    written
        As a page prints it, "<" included.
    comparisons
        Values it was held against; empty where none fits.
    intakes
        What eating would bring in; empty for soil, dust and plants.
    remarks
        What else must be said of it, as that total arsenic is not inorganic arsenic.
    """

    analyte: str
    value: float
    unit: str
    below_limit: bool
    written: str
    comparisons: tuple[Comparison, ...]
    intakes: tuple[IntakeLine, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class TestReading:
    """One laboratory test with its results.

    Parameters
    ----------
    lab_test_id
        Its id in the book; 0 for one that is not kept yet.
    report_number, laboratory
        Number of the report, and who tested.
    sampled_on
        Local date of the sampling.
    of_what
        Whether it is of the site, a tree or a find, in words.
    material
        What was tested, with part, depth, increments and extraction in words.
    results
        Analytes, in the order of the report.
    unknown
        What the report does not say and a reader would need, as depth or extraction.
    words
        What a test of this material can and cannot tell, and what was or was not held against it.
    headline
        The highest share of a health-based value, and the lowest margin; "" where none.
    """

    __test__ = False

    lab_test_id: int
    report_number: str
    laboratory: str
    sampled_on: datetime.date
    of_what: str
    material: str
    results: tuple[ResultReading, ...]
    unknown: tuple[str, ...]
    words: str
    headline: str = ""
