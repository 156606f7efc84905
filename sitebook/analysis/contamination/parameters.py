"""The cited numbers of the road index and the traffic of each class of road."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sitebook.citations import Cited
from sitebook.reference import reader


@dataclass(frozen=True)
class RoadClass:
    """What is assumed of roads of one class.

    Parameters
    ----------
    key
        Value of the highway tag.
    said
        The class in words.
    motors
        "yes", "no", or "counted": none unless somebody counted.
    vehicles_per_day
        Vehicles in 24 hours, both directions.
    heavy_share
        Share of heavy vehicles by day, 0 to 1.
    width_m
        Full width where neither width nor lanes are mapped [m].
    """

    key: str
    said: str
    motors: str
    vehicles_per_day: Cited
    heavy_share: Cited
    width_m: Cited


@cache
def model() -> dict[str, Cited]:
    """Give the central numbers of the road index by name, as "coarse_scale"."""
    return reader.parameters("roads_model")


def value(name: str) -> float:
    """Give one central number of the road index."""
    return model()[name].value


@cache
def ends(name: str) -> tuple[float, float]:
    """Give the ends of the range of one number of the road index, as the table writes them: low, high.

    Raises
    ------
    ValueError
        When there is no such number, or the table gives it no range.
    """
    (row,) = (row for row in reader.rows("roads_model") if row["name"] == name)
    return reader.cited(row, "low").value, reader.cited(row, "high").value


def scales() -> tuple[tuple[float, float], ...]:
    """Give the lengths [m] of the index with the share each carries at the kerb, shortest first."""
    pairs = (("coarse_scale", "coarse_share"), ("fine_scale", "fine_share"))
    return tuple((value(scale), value(share)) for scale, share in pairs)


@cache
def road_classes() -> dict[str, RoadClass]:
    """Give every class of road in the table by the value of its highway tag."""
    return {row["road_class"]: _road_class(row) for row in reader.rows("traffic_by_class")}


def classes_to_load() -> tuple[str, ...]:
    """Name the road classes that a review needs: those with motors, and those that a count may give some."""
    return tuple(key for key, found in road_classes().items() if found.motors != "no")


def _road_class(row: dict[str, str]) -> RoadClass:
    return RoadClass(
        key=row["road_class"],
        said=row["said"],
        motors=row["motors"],
        vehicles_per_day=reader.cited(row, "vehicles_per_day"),
        heavy_share=reader.cited(row, "heavy_share"),
        width_m=reader.cited(row, "width_m"),
    )
