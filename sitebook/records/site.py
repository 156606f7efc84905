"""A place she returns to, and what is allowed there."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Row, Standing


@dataclass(frozen=True, kw_only=True)
class Site(Standing):
    """A place she returns to: a drawn outline, or a point with a radius."""

    name: str = column("what she calls it")
    radius_m: float | None = column("reach round a point", null="outline drawn", unit="m")
    wooded: bool | None = column("whether trees close overhead", null="not noted")
    irrigated: bool | None = column("whether the ground is watered", null="not known")
    elevation_m: float | None = column("height above the sea", null="not noted", unit="m")
    country_code: str | None = column("ISO 3166-1 alpha-2", null="not noted")
    state_province: str | None = column("state or province", null="not noted")
    county: str | None = column("county or district", null="not noted")
    municipality: str | None = column("town", null="not noted")
    locality: str | None = column("place in words", null="not noted")
    sensitivity: str = column(
        "how finely its position may be given", words=vocabulary.SENSITIVITY, default="withheld"
    )
    review_on: datetime.date | None = column("when to think about it again", null="no date set")
    rest_until: datetime.date | None = column("left alone until", null="not resting")
    note: str | None = column("anything else", null="nothing noted")
    merged_into: int | None = column("site it turned out to be", null="not merged", refers="site")
    geom: BaseGeometry = column("outline or point, WGS 84", geometry="GEOMETRY")


@dataclass(frozen=True, kw_only=True)
class Permission(Standing):
    """What a manager allows on some ground."""

    manager: str = column("who manages the ground")
    basis: str = column("what it rests on", words=vocabulary.PERMISSION_BASIS)
    permit_number: str | None = column("number on the paper", null="no paper")
    valid_from: datetime.date | None = column("first day", null="no first day named")
    valid_to: datetime.date | None = column("last day", null="no last day named")
    daily_limit: float | None = column("most in a day", null="no limit named")
    season_limit: float | None = column("most in a season", null="no limit named")
    limit_unit: str | None = column("unit of both limits", null="no limit named", words=vocabulary.LIMIT_UNIT)
    per_person: bool | None = column("whether limits hold for each person", null="not said")
    opens_at: str | None = column("first hour, HH:MM local", null="open at all hours")
    closes_at: str | None = column("last hour, HH:MM local", null="open at all hours")
    method_rule: str | None = column("how gathering must be done", null="nothing said")
    told_by: str | None = column("who said so", null="read, not told")
    last_checked: datetime.date | None = column("when she last asked", null="not checked")
    note: str | None = column("anything else", null="nothing noted")
    geom: BaseGeometry | None = column("ground it covers", null="the whole of its sites", geometry="GEOMETRY")


@dataclass(frozen=True, kw_only=True)
class PermissionSite(Row):
    """A permission that holds for a site."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("permission_id", "site_id"),)

    permission_id: int = column("the permission", refers="permission")
    site_id: int = column("the site", refers="site")


@dataclass(frozen=True, kw_only=True)
class PermissionClosedDay(Row):
    """A day or weekday on which a permission does not hold."""

    permission_id: int = column("the permission", refers="permission")
    weekday: int | None = column("ISO weekday, 1 is Monday", null="a single date")
    closed_on: datetime.date | None = column("the date", null="every such weekday")
