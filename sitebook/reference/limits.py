"""Gives the maxima for mushrooms on sale, and the values for soil by authority and land use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from sitebook.citations import Cited
from sitebook.reference.reader import cited, rows


@dataclass(frozen=True)
class SaleLimit:
    """One maximum for mushrooms on sale.

    Parameters
    ----------
    name
        Its name in the table.
    analyte
        What it holds for, by its name in the table of analytes.
    product
        For what is on sale, in words.
    gathered
        Whether it is for fungi gathered wild.
    taxa
        Species it is for alone; empty for all.
    limit
        The maximum [mg/kg fresh].
    authority
        Where it is in force.
    act
        The act it stands in.
    """

    name: str
    analyte: str
    product: str
    gathered: bool
    taxa: tuple[str, ...]
    limit: Cited
    authority: str
    act: str


@dataclass(frozen=True)
class SoilValue:
    """One value for soil.

    Parameters
    ----------
    name
        Its name in the table.
    analyte
        What it holds for, by its name in the table of analytes.
    land_use
        For which use of the land.
    limit
        The value [mg/kg dry].
    authority
        Who set it.
    meaning
        What kind of value it is.
    """

    name: str
    analyte: str
    land_use: str
    limit: Cited
    authority: str
    meaning: str


@cache
def sale_limits() -> tuple[SaleLimit, ...]:
    """Give every maximum for sale, in the order of the table."""
    return tuple(_sale_limit(row) for row in rows("sale_limits"))


@cache
def soil_values() -> tuple[SoilValue, ...]:
    """Give every value for soil, in the order of the table."""
    return tuple(_soil_value(row) for row in rows("soil_values"))


@cache
def authorities() -> tuple[str, ...]:
    """Name the authorities whose values for soil the book holds."""
    return tuple(dict.fromkeys(value.authority for value in soil_values()))


def authority_named(written: str) -> str | None:
    """Find an authority by its name, small and capital letters alike; None where there is none."""
    wanted = " ".join(written.split()).casefold()
    return next((name for name in authorities() if name.casefold() == wanted), None)


def wild_limits_of(analyte: str) -> tuple[SaleLimit, ...]:
    """Give the maxima of one analyte that are for fungi gathered wild."""
    return tuple(limit for limit in sale_limits() if limit.analyte == analyte and limit.gathered)


def soil_values_of(authority: str, analyte: str) -> tuple[SoilValue, ...]:
    """Give the values of one authority for one analyte, the lowest first."""
    found = [value for value in soil_values() if (value.authority, value.analyte) == (authority, analyte)]
    return tuple(sorted(found, key=lambda value: value.limit.value))


def _sale_limit(row: Mapping[str, str]) -> SaleLimit:
    return SaleLimit(
        row["name"],
        row["analyte"],
        row["product"],
        row["gathered"] == "yes",
        tuple(name for name in row["taxa"].split("|") if name),
        cited(row),
        row["authority"],
        row["act"],
    )


def _soil_value(row: Mapping[str, str]) -> SoilValue:
    return SoilValue(
        row["name"], row["analyte"], row["land_use"], cited(row), row["authority"], row["meaning"]
    )
