"""What listing, showing, checking and settings answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitebook.citations import Mark
from sitebook.records.results.weather import StationDays


@dataclass(frozen=True)
class Listing:
    """Records of one kind in words.

    Parameters
    ----------
    kind
        Table they are kept in.
    columns
        Columns shown, in order.
    rows
        One mapping a record, from column to value; references stand as names.
    """

    kind: str
    columns: tuple[str, ...]
    rows: tuple[Mapping[str, object], ...]


@dataclass(frozen=True)
class Shown:
    """One record with what hangs on it.

    Parameters
    ----------
    kind
        Table it is kept in.
    called
        What it is called by.
    values
        Its columns and values; references stand as names.
    parts
        Other records that refer to it, by kind.
    days
        The days of a weather station, counted; None for any other kind.
    remarks
        What must be read before the rest, as the poisoning class of a name.
    """

    kind: str
    called: str
    values: Mapping[str, object]
    parts: tuple[Listing, ...]
    days: StationDays | None = None
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class CheckLine:
    """One thing looked at in a book.

    Parameters
    ----------
    looked_at
        What it is, in words.
    faults
        What is wrong, each in words; empty where nothing was found.
    remarks
        What she may want to know and is no fault.
    """

    looked_at: str
    faults: tuple[str, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class SettingLine:
    """One setting with its value and where it comes from.

    Parameters
    ----------
    key, meaning
        The setting.
    value
        Value in force, as text.
    unit
        Unit of the value; empty for words.
    hers
        Whether she set it.
    mark
        How well the built-in value is known.
    """

    key: str
    meaning: str
    value: str
    unit: str
    hers: bool
    mark: Mark
