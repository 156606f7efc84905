"""Makes small ways for tests, and reads those of an extract."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from shapely import LineString

from sitebook.ground.projection import LocalMetres
from sitebook.intake.osm import read_osm
from sitebook.records.map_data import Way

TOWN = LocalMetres(-19.4, 48.6)


def made_way(
    *corners_m: tuple[float, float],
    road_class: str = "footway",
    oneway: bool = False,
    tunnel: bool = False,
    bridge: bool = False,
    layer: int = 0,
    foot_access: str | None = None,
    bicycle_access: str | None = None,
    motor_access: str | None = None,
    raw_tags: str | None = None,
) -> Way:
    """Draw a way through corners given in metres round the middle of the island."""
    return Way(
        uuid=f"{road_class} {corners_m}",
        road_class=road_class,
        name=None,
        width_m=None,
        lanes=None,
        oneway=oneway,
        tunnel=tunnel,
        bridge=bridge,
        layer=layer,
        foot_access=foot_access,
        bicycle_access=bicycle_access,
        motor_access=motor_access,
        surface=None,
        osm_ref=None,
        extract_id=None,
        valid_from=None,
        valid_to=None,
        raw_tags=raw_tags,
        geom=LineString(TOWN.to_degrees(corners_m)),
    )


def at(x_m: float, y_m: float) -> tuple[float, float]:
    """Give a place in degrees."""
    lon, lat = TOWN.to_degrees([(x_m, y_m)])[0]
    return float(lon), float(lat)


def ways_of(extract: Path) -> list[Way]:
    """Read the ways of an extract."""
    drafts = [draft for draft in read_osm(extract).drafts if draft.kind == "way"]
    values: list[dict[str, Any]] = [dict(draft.values) for draft in drafts]
    return [Way(uuid=str(number), extract_id=None, **value) for number, value in enumerate(values)]
