"""The book itself, and the settings kept in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column
from sitebook.records.standing import Row


@dataclass(frozen=True, kw_only=True)
class Book(Row):
    """The one row that says what this file is."""

    uuid: str = column("key of the book, UUID", unique=True)
    title: str = column("what she calls it")
    owner_id: int = column("whose book it is", refers="person")
    zone: str = column("time zone of her local dates, IANA name")
    units: str = column("units pages print: metric or US customary")
    revision: int = column("counts up by one with every kept change")
    made_with: str = column("version of sitebook that made it")
    geom: BaseGeometry | None = column(
        "her home area, where pictures make no finds", null="not drawn", geometry="POLYGON"
    )


@dataclass(frozen=True, kw_only=True)
class Setting(Row):
    """One value of hers that stands in place of a built-in one."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("person_id", "setting_key"),)

    person_id: int | None = column("whose setting", null="everybody's", refers="person")
    setting_key: str = column("name of the setting")
    value_text: str = column("its value, as typed")
    unit: str | None = column("unit of the value", null="a word or a pure number")
