"""Makes laboratory tests and results for tests."""

from __future__ import annotations

import datetime

from sitebook.records.lab_test import LabResult, LabTest

NOW = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)


def lab_test(material: str, number: int = 1, **more: object) -> LabTest:
    """Give a test; its number is its id and its day in January."""
    values: dict[str, object] = {
        "id": number,
        "uuid": f"test {number}",
        "created_at": NOW,
        "changed_at": NOW,
        "report_number": f"R{number}",
        "sampled_on": datetime.date(2026, 1, number),
        "laboratory": "a laboratory",
        "material": material,
    }
    left_out = (
        "site_id",
        "host_tree_id",
        "find_id",
        "spraying_id",
        "part",
        "depth_from_cm",
        "depth_to_cm",
        "increments",
        "extraction",
        "dry_matter_fraction",
        "note",
    )
    return LabTest(**{**dict.fromkeys(left_out), **values, **more})  # type: ignore[arg-type]


def result(
    analyte: str,
    value: float,
    unit: str = "mg/kg",
    basis: str = "dry",
    *,
    below: bool = False,
    detection_limit: float | None = None,
) -> LabResult:
    """Give one result of test 1."""
    return LabResult(
        uuid=f"{analyte} {value} {unit} {basis}",
        created_at=NOW,
        changed_at=NOW,
        lab_test_id=1,
        analyte=analyte,
        value=value,
        unit=unit,
        below_limit=below,
        detection_limit=detection_limit,
        basis=basis,
    )
