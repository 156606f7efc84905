"""A find, the hosts it may belong to, and the names it was given."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Find(Standing):
    """Fruit bodies taken or noted at one spot at one time; its name stands in determinations."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("collector_id", "collection_number"),)

    visit_id: int | None = column("visit it was made on", null="lone waypoint", refers="visit")
    collector_id: int = column("who found it", refers="person")
    collection_number: int | None = column("number on its tag, running for each collector", null="draft")
    found_on: datetime.date | None = column("local date, the first it may have been", null="not known")
    found_on_end: datetime.date | None = column("last date it may have been", null="that one day")
    found_at: datetime.datetime | None = column("instant, UTC", null="time not known")
    uncertainty_m: float | None = column("error of its position", null="not noted", unit="m")
    position_source: str = column(
        "where the position comes from", words=vocabulary.POSITION_SOURCE, default="not known"
    )
    elevation_m: float | None = column("height above the sea", null="not noted", unit="m")
    substrate: str | None = column("what it grew on", null="not noted", words=vocabulary.SUBSTRATE)
    individual_count: int | None = column("how many there were", null="not counted")
    count_of: str = column("what was counted", words=vocabulary.COUNT_OF, default="bodies")
    taken_count: int | None = column("how many she took", null="not noted")
    remaining_count: int | None = column("how many she left", null="not noted")
    fresh_mass_g: float | None = column("fresh mass taken", null="not weighed", unit="g")
    growth_stage: str | None = column("stage", null="not noted", words=vocabulary.GROWTH_STAGE)
    note: str | None = column("anything else", null="nothing noted")
    geom: BaseGeometry | None = column("where, WGS 84", null="at its site", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class FindHost(Standing):
    """A tree or a kind of plant that a find stands with; neighbours may share one find."""

    find_id: int = column("the find", refers="find")
    host_tree_id: int | None = column("the tree", null="no tree of the book", refers="host_tree")
    taxon_id: int | None = column("kind of plant", null="that of the tree", refers="taxon")
    role: str = column("what it is to the find", words=vocabulary.FIND_HOST_ROLE)
    distance_m: float | None = column("distance from the trunk", null="not measured", unit="m")
    bearing_deg: float | None = column("true bearing from trunk to find", null="not measured", unit="deg")
    how_known: str = column("how it is known", words=vocabulary.HOW_KNOWN, default="not known")


@dataclass(frozen=True, kw_only=True)
class Determination(Standing):
    """A name given to a find by somebody on some day; only added or withdrawn."""

    find_id: int = column("the find", refers="find")
    verbatim_name: str = column("the name as it was given")
    taxon_id: int | None = column("taxon of the book", null="not matched", refers="taxon")
    qualifier: str | None = column("qualifier", null="none given", words=vocabulary.QUALIFIER)
    determined_by: int = column("who named it", refers="person")
    determined_on: datetime.date | None = column("local date", null="not noted")
    verification_level: str = column("level", words=vocabulary.VERIFICATION_LEVEL, default="0")
    source_used: str | None = column("book or key used", null="none noted")
    remarks: str | None = column("on what it rests", null="nothing noted")
