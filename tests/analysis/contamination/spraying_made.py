"""Makes sprayings, actives and tests whose ground is told in metres round one place."""

from __future__ import annotations

import datetime

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.sprayings import RainSeen, SprayTerm, Told, spray_terms_at
from sitebook.ground.projection import LocalMetres
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.spraying import Spraying, SprayingActive

LON, LAT = -19.4, 48.6
NOW = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)
SPRAYED_ON = datetime.date(2026, 5, 2)
TODAY = datetime.date(2026, 6, 1)
NO_RAIN = RainSeen({SPRAYED_ON + datetime.timedelta(days=n): 0.0 for n in range(31)})
STANDING = {"uuid": "made for a test", "created_at": NOW, "changed_at": NOW}


def spraying(shape_m: BaseGeometry, **more: object) -> Spraying:
    """Give a spraying of a lawn that a parish office told of."""
    values: dict[str, object] = {
        **STANDING,
        "id": 7,
        "ground": "Church lawn",
        "state": "done",
        "applied_on": SPRAYED_ON,
        "method": "boom",
        "told_by": "the parish office",
        "told_on": datetime.date(2026, 5, 3),
        "geom": shapely.transform(shape_m, LocalMetres(LON, LAT).to_degrees),
    }
    return Spraying(**{**values, **more})  # type: ignore[arg-type]


def active(
    name: str, rate: float | None = 1000.0, unit: str | None = "g/ha", **more: object
) -> SprayingActive:
    """Give one active of that spraying."""
    values = {**STANDING, "spraying_id": 7, "active": name, "rate": rate, "rate_unit": unit}
    return SprayingActive(**{**values, **more})  # type: ignore[arg-type]


def sample(
    sampled_on: datetime.date, *results: tuple[str, str], unit: str = "mg/kg", **more: object
) -> tuple[LabTest, tuple[LabResult, ...]]:
    """Give a test asked about that spraying, its results as ("2,4-D", "<0.01")."""
    key = sampled_on.toordinal()
    values: dict[str, object] = {
        **STANDING,
        "id": key,
        "report_number": "A 17",
        "site_id": 1,
        "spraying_id": 7,
        "sampled_on": sampled_on,
        "laboratory": "Island Laboratory",
        "material": "soil",
    }
    test = LabTest(**{**values, **more})  # type: ignore[arg-type]
    return test, tuple(_result(key, analyte, written, unit) for analyte, written in results)


def _result(test_id: int, analyte: str, written: str, unit: str) -> LabResult:
    return LabResult(
        uuid="made for a test",
        created_at=NOW,
        changed_at=NOW,
        lab_test_id=test_id,
        analyte=analyte,
        value=float(written.lstrip("<")),
        unit=unit,
        below_limit=written.startswith("<"),
        basis="dry",
    )


def terms(
    *told: Told, uncertainty_m: float = 0.0, today: datetime.date = TODAY, rain: RainSeen = NO_RAIN
) -> tuple[SprayTerm, ...]:
    """Give the terms at the place."""
    return spray_terms_at([[LON, LAT]], told, today=today, rain=rain, uncertainty_m=uncertainty_m)[0]


def one(
    told: Told | Spraying, uncertainty_m: float = 0.0, today: datetime.date = TODAY, rain: RainSeen = NO_RAIN
) -> SprayTerm:
    """Give the one term of one spraying at the place."""
    whole = Told(told) if isinstance(told, Spraying) else told
    (term,) = terms(whole, uncertainty_m=uncertainty_m, today=today, rain=rain)
    return term
