"""A day planned and what became of it, and what finds are worth to whom."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Foray(Standing):
    """One day out, as it was planned."""

    local_date: datetime.date = column("local calendar date")
    starts_at: str = column("local time it starts, HH:MM")
    ends_at: str = column("local time by which it must be over, HH:MM")
    mode: str = column("how to get about", words=vocabulary.FORAY_MODE)
    searchers: int = column("how many go", default=1)
    seed: int = column("start of the search, which makes a plan repeatable", default=1)
    end_lon: float | None = column("longitude of its end, WGS 84", null="back at its start")
    end_lat: float | None = column("latitude of its end, WGS 84", null="back at its start")
    note: str | None = column("anything else", null="nothing noted")
    car_lon: float | None = column("longitude of the car at its start, WGS 84", null="at its start")
    car_lat: float | None = column("latitude of the car at its start, WGS 84", null="at its start")
    geom: BaseGeometry = column("where it starts, WGS 84", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class ForayStop(Standing):
    """One site of a foray, planned, visited or both."""

    foray_id: int = column("the foray", refers="foray")
    site_id: int = column("the site", refers="site")
    visit_id: int | None = column("visit that was made", null="not visited", refers="visit")
    turn: int | None = column("place in the order, from 1", null="not planned")
    purpose: str = column("what it is for", words=vocabulary.STOP_PURPOSE)
    arrives_at: str | None = column("local time of arrival planned, HH:MM", null="not planned")
    stay_minutes: float | None = column("time planned there", null="not planned", unit="min")
    chance: float | None = column("chance planned for of at least one worthwhile find", null="none was given")
    note: str | None = column("why it was chosen", null="nothing noted")
    begins_at: str | None = column("local time asked for to begin looking, HH:MM", null="none asked for")
    done_before: bool | None = column(
        "whether it was done before the day was planned anew", null="planned by the last plan"
    )


@dataclass(frozen=True, kw_only=True)
class TaxonWeight(Standing):
    """What a worthwhile find of a taxon is worth to somebody, and what makes it worthwhile."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("person_id", "taxon_id"),)

    person_id: int = column("to whom", refers="person")
    taxon_id: int = column("the taxon", refers="taxon")
    weight: float = column("worth of one worthwhile find; 0 for none")
    fewest_bodies: int | None = column("fewest fruit bodies that are worthwhile", null="one is enough")
