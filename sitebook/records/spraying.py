"""A spraying of some ground, and what was in it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Spraying(Standing):
    """One spraying, done or planned, or somebody's word that there was none."""

    ground: str = column("what was sprayed, in words")
    state: str = column("whether it was done", words=vocabulary.SPRAYING_STATE)
    applied_on: datetime.date | None = column("first day it may have been", null="not known, or never")
    applied_on_end: datetime.date | None = column("last day it may have been", null="that one day")
    method: str | None = column("how it was brought out", null="not told", words=vocabulary.SPRAYING_METHOD)
    drift_group: str | None = column(
        "crop group of the drift curve", null="that of lawns", words=vocabulary.DRIFT_GROUP
    )
    applications: int = column("how many times", default=1)
    told_by: str = column("who said so")
    told_on: datetime.date | None = column("when it was said", null="not noted")
    closed_on: datetime.date | None = column("day of the closing note", null="stands")
    closed_by: str | None = column("name under the closing note", null="stands")
    closing_note: str | None = column("why it no longer stands", null="stands")
    note: str | None = column("anything else", null="nothing noted")
    geom: BaseGeometry = column("ground that was sprayed, WGS 84", geometry="GEOMETRY")


@dataclass(frozen=True, kw_only=True)
class SprayingActive(Standing):
    """One active substance of a spraying."""

    spraying_id: int = column("the spraying", refers="spraying")
    active: str = column("common name of the substance, or element")
    rate: float | None = column("how much was brought out", null="not told")
    rate_unit: str | None = column("unit of the rate", null="not told", words=vocabulary.RATE_UNIT)
