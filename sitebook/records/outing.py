"""A track she walked, a visit she made, and the looks within it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Row, Standing


@dataclass(frozen=True, kw_only=True)
class Track(Standing):
    """One unbroken piece of a recorded way, with the instant of each point."""

    name: str | None = column("name the receiver gave", null="no name")
    piece: int = column("number of the piece within its track, from 1")
    started_at: datetime.datetime | None = column("first instant, UTC", null="no times recorded")
    ended_at: datetime.datetime | None = column("last instant, UTC", null="no times recorded")
    point_seconds: str | None = column(
        "seconds since started_at of each point, parted by commas, empty where missing",
        null="no times recorded",
    )
    point_elevations_m: str | None = column(
        "height of each point, parted by commas, empty where missing", null="no heights recorded", unit="m"
    )
    geom: BaseGeometry = column("the way, WGS 84", geometry="LINESTRING")


@dataclass(frozen=True, kw_only=True)
class Visit(Standing):
    """One stay at one place on one day, with or without finds."""

    site_id: int | None = column("where", null="outside all her sites", refers="site")
    track_id: int | None = column("way walked", null="not recorded", refers="track")
    local_date: datetime.date = column("local calendar date")
    local_date_end: datetime.date | None = column("last date it may have been", null="that one day")
    started_at: datetime.datetime | None = column("instant it began, UTC", null="hour not noted")
    search_minutes: float | None = column("minutes spent searching", null="not timed", unit="min")
    searchers: int = column("how many searched", default=1)
    reason: str = column("why she went", words=vocabulary.VISIT_REASON)
    looked_for_all: bool = column("whether she looked for all she knows", default=True)
    effort_assumed: bool = column("whether the effort is assumed, not noted", default=False)
    remarks: str | None = column("anything else", null="nothing noted")
    geom: BaseGeometry | None = column("where, WGS 84", null="at its site", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class VisitPerson(Row):
    """Somebody who came along."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("visit_id", "person_id"),)

    visit_id: int = column("the visit", refers="visit")
    person_id: int = column("who came", refers="person")


@dataclass(frozen=True, kw_only=True)
class Look(Standing):
    """One tree, or the rest of a site, looked at during a visit."""

    visit_id: int = column("the visit", refers="visit")
    host_tree_id: int | None = column("tree looked at", null="the rest of the site", refers="host_tree")
    taxon_id: int | None = column("taxon looked for", null="all she knows", refers="taxon")
    minutes: float | None = column("minutes spent", null="not timed", unit="min")
    outcome: str = column("what was there", words=vocabulary.LOOK_OUTCOME)
    remarks: str | None = column("anything else", null="nothing noted")
