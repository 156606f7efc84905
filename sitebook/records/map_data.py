"""What a map extract holds of roads, ground, points and trees."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Mapped, Standing


@dataclass(frozen=True, kw_only=True)
class Extract(Standing):
    """One map extract that was read."""

    sha256: str = column("SHA-256 of the file, in hex", unique=True)
    data_date: datetime.date | None = column("date of the map data", null="the file does not say")
    attribution: str = column("whom to name on every map drawn from it")
    superseded_by: int | None = column("newer extract of the same ground", null="newest", refers="extract")
    geom: BaseGeometry = column("ground it covers, WGS 84", geometry="POLYGON")


@dataclass(frozen=True, kw_only=True)
class Way(Mapped):
    """A road or path."""

    road_class: str = column("value of the highway tag")
    name: str | None = column("its name", null="no name")
    width_m: float | None = column("full width", null="not tagged", unit="m")
    lanes: float | None = column("lanes, both directions", null="not tagged")
    oneway: bool = column("whether traffic runs one way", default=False)
    tunnel: bool = column("whether it runs underground", default=False)
    bridge: bool = column("whether it runs on a bridge", default=False)
    layer: int = column("storey it runs on, 0 is the ground", default=0)
    link: bool = column("whether it is a slip road", default=False)
    foot_access: str | None = column("access on foot as tagged", null="not tagged")
    bicycle_access: str | None = column("access by bicycle as tagged", null="not tagged")
    motor_access: str | None = column("access by motor vehicle as tagged", null="not tagged")
    surface: str | None = column("surface as tagged", null="not tagged")
    geom: BaseGeometry = column("centre line, WGS 84", geometry="LINESTRING")


@dataclass(frozen=True, kw_only=True)
class LandCover(Mapped):
    """Ground of one kind."""

    kind: str = column("kind of ground, from the table of map tags")
    name: str | None = column("its name", null="no name")
    geom: BaseGeometry = column("outline, WGS 84", geometry="MULTIPOLYGON")


@dataclass(frozen=True, kw_only=True)
class MapPoint(Mapped):
    """A mapped point that helps to find one's way."""

    kind: str = column("kind of point, from the table of map tags")
    name: str | None = column("its name", null="no name")
    geom: BaseGeometry = column("where, WGS 84", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class MappedTree(Mapped):
    """A mapped tree, offered as a host; she alone adopts it."""

    verbatim_name: str | None = column("genus or species as tagged", null="not tagged")
    girth_cm: float | None = column("girth", null="not tagged", unit="cm")
    geom: BaseGeometry = column("trunk, WGS 84", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class TrafficCount(Standing):
    """Vehicles counted at one spot; matched to ways at use."""

    vehicles_per_day: float = column("vehicles in 24 hours", unit="vehicles a day")
    counts_directions: str = column("traffic it holds", words=vocabulary.COUNT_DIRECTIONS, default="both")
    heavy_share: float | None = column("share of heavy vehicles, 0 to 1", null="not counted apart")
    counted_on: datetime.date | None = column("day of the count", null="not noted")
    source: str = column("who counted")
    counted_vehicles: int | None = column(
        "vehicles that passed during the count", null="a daily number was given"
    )
    counted_minutes: float | None = column(
        "minutes of the count", null="a daily number was given", unit="min"
    )
    counted_hour: int | None = column(
        "local clock hour of the count, 0 to 23", null="a daily number was given"
    )
    geom: BaseGeometry = column("where, WGS 84", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class Hazard(Standing):
    """A source of pollution that a map shows or somebody told of."""

    kind: str = column("kind, from the table of hazard kinds")
    name: str | None = column("its name", null="no name")
    origin: str = column("where it is known from", words=vocabulary.HAZARD_ORIGIN, default="told")
    standing: str = column("how firm it is", words=vocabulary.HAZARD_STANDING, default="told")
    past_use: str | None = column("what the ground was used for before", null="not known")
    data_date: datetime.date | None = column("date of the knowledge", null="not known")
    source: str = column("who says so: map element, person or paper")
    osm_ref: str | None = column("element of the map, as way/123", null="not from an extract")
    extract_id: int | None = column(
        "extract it was last seen in", null="not from an extract", refers="extract"
    )
    valid_from: datetime.date | None = column("first day", null="not known")
    valid_to: datetime.date | None = column("last day", null="still there")
    raw_tags: str | None = column("tags of the map, key=value a line", null="not from an extract")
    vehicles_per_day: float | None = column(
        "vehicles in 24 hours it once carried", null="no old road, or not told", unit="vehicles a day"
    )
    geom: BaseGeometry = column("where, WGS 84", geometry="GEOMETRY")
