"""A laboratory test of soil, mushroom or plant, and its results."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class LabTest(Standing):
    """One sample that a laboratory tested; it is of exactly one site, tree or find."""

    report_number: str = column("number of the laboratory's report and sample")
    site_id: int | None = column("site the sample is of", null="of a tree or a find", refers="site")
    host_tree_id: int | None = column("tree the sample is of", null="of a site or a find", refers="host_tree")
    find_id: int | None = column("find the sample is of", null="of a site or a tree", refers="find")
    spraying_id: int | None = column("spraying it was asked about", null="not about one", refers="spraying")
    sampled_on: datetime.date = column("local date of the sampling")
    laboratory: str = column("who tested it")
    material: str = column("what was tested", words=vocabulary.TESTED_MATERIAL)
    part: str | None = column("part tested, as cap or stem", null="the whole")
    depth_from_cm: float | None = column("upper end of the depth", null="not soil, or not noted", unit="cm")
    depth_to_cm: float | None = column("lower end of the depth", null="not soil, or not noted", unit="cm")
    increments: int | None = column("single takes mixed into the sample", null="not noted")
    extraction: str | None = column("how it was extracted, as aqua regia", null="not noted")
    dry_matter_fraction: float | None = column("dry matter, 0 to 1", null="not measured")
    note: str | None = column("anything else", null="nothing noted")


@dataclass(frozen=True, kw_only=True)
class LabResult(Standing):
    """One analyte of a test."""

    lab_test_id: int = column("the test", refers="lab_test")
    analyte: str = column("what was measured, as Pb or Cs-137")
    value: float = column("the value, or the detection limit where it was below")
    unit: str = column("unit of the value", words=vocabulary.RESULT_UNIT)
    below_limit: bool = column("whether it was below the detection limit", default=False)
    detection_limit: float | None = column("detection limit, in the same unit", null="not given")
    basis: str = column("fresh or dry mass", words=vocabulary.BASIS)
