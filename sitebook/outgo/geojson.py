"""Writes GeoJSON (RFC 7946): one collection of features, longitude before latitude."""

from __future__ import annotations

import datetime
import json
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.outgo.seam import FULL_TURN_DEG, HALF_TURN_DEG, cut_at_seam
from sitebook.records.results.going_out import Feature

DECIMALS = 7
"""Of a degree: about a centimetre, ten times finer than the six that RFC 7946, section 11.2, speaks of."""

PRIVATE = "Exact places: keep this file to yourself."


def geojson(features: Sequence[Feature]) -> bytes:
    """Give a FeatureCollection.

    Outer rings run against the clock and holes with it; a shape that runs over the 180th meridian is cut
    there; a record without a place of its own has the geometry null. No reference system is named, since
    RFC 7946 knows WGS 84 alone. Each feature stands on a line of its own.

    Parameters
    ----------
    features
        Records in the order they are to stand.

    References
    ----------
    RFC 7946, sections 3.1.6 (rings), 3.1.9 (cutting), 3.2 (null), 4 (reference system), 5 (bounds).
    """
    shapes = [None if f.geometry is None or f.geometry.is_empty else _ready(f.geometry) for f in features]
    bounds = _bounds([shape for shape in shapes if shape is not None])
    head = [("type", "FeatureCollection"), ("note", PRIVATE), *([("bbox", bounds)] if bounds else [])]
    opening = "".join(f"{_json(name)}: {_json(value)},\n" for name, value in head)
    lines = ",\n".join(_json(_feature(f, shape)) for f, shape in zip(features, shapes, strict=True))
    return f'{{{opening}"features": [\n{lines}\n]}}\n'.encode()


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _feature(feature: Feature, shape: BaseGeometry | None) -> dict[str, object]:
    properties = {"record": feature.kind, "called": feature.called}
    return {
        "type": "Feature",
        "id": feature.uuid,
        "geometry": None if shape is None else shapely.geometry.mapping(shape),
        "properties": properties | {name: _plain(value) for name, value in feature.values.items()},
    }


def _ready(shape: BaseGeometry) -> BaseGeometry:
    cut = cut_at_seam(shapely.force_2d(shape))
    rounded = shapely.transform(cut, lambda lonlat: np.round(lonlat, DECIMALS))
    return shapely.orient_polygons(rounded)


def _plain(value: object) -> object:
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z")
    return value.isoformat() if isinstance(value, datetime.date) else value


def _bounds(shapes: Sequence[BaseGeometry]) -> list[float] | None:
    """Give west, south, east, north; west lies past east where a shape was cut at the 180th meridian."""
    if not shapes:
        return None
    boxes = np.array([part.bounds for shape in shapes for part in getattr(shape, "geoms", [shape])])
    west, south, east, north = (float(v) for v in (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0)))
    if any(_touches_both_sides(shape) for shape in shapes):
        west, east = _round_the_widest_gap(boxes[:, [0, 2]])
    return [west, south, east, north]


def _touches_both_sides(shape: BaseGeometry) -> bool:
    west, _, east, _ = shape.bounds
    return west == -HALF_TURN_DEG and east == HALF_TURN_DEG


def _round_the_widest_gap(spans: np.ndarray) -> tuple[float, float]:
    """Give west and east of the shortest stretch that holds all spans of longitude."""
    ordered = spans[np.argsort(spans[:, 0])]
    reach = np.maximum.accumulate(ordered[:, 1])
    starts = np.append(ordered[1:, 0], ordered[0, 0] + FULL_TURN_DEG)
    widest = int(np.argmax(starts - reach))
    west = ordered[(widest + 1) % len(ordered), 0]
    return float(west), float(reach[widest])
