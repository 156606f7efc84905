"""Writes a SpatiaLite database: one table of features a kind, names in place of keys."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import pyogrio
import shapely
from numpy.typing import NDArray

from sitebook.records.columns import column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.results.going_out import Feature

GEOMETRY_WORDS = {"POINT": "Point", "LINESTRING": "LineString"}
"""What the driver calls the kinds of geometry; a column of mixed kinds is called Unknown."""

DATABASE_OPTIONS = {"SPATIALITE": "YES", "INIT_WITH_EPSG": "NO"}
LAYER_OPTIONS = {"LAUNDER": "NO", "SPATIAL_INDEX": "YES"}


def spatialite(features: Mapping[str, Sequence[Feature]]) -> bytes:
    """Give a SpatiaLite database.

    Dates and instants stand as ISO 8601 text, yes and no as 1 and 0. Kinds without a record get no table.

    Parameters
    ----------
    features
        Records by kind.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "features.sqlite"
        for kind, found in features.items():
            if found:
                _write(path, kind, found)
        return path.read_bytes() if path.exists() else b""


def _write(path: Path, kind: str, features: Sequence[Feature]) -> None:
    names = ["uuid", *features[0].values]
    rows: list[dict[str, object]] = [{"uuid": f.uuid, **f.values} for f in features]
    fields = [_field(kind, name, [row.get(name) for row in rows]) for name in names]
    (geometry,) = (m.geometry for m in meanings(KINDS[kind]).values() if m.geometry)
    shapes = np.array([f.geometry for f in features], dtype=object)
    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb(shapes),
        field_data=[data for data, _ in fields],
        field_mask=[mask for _, mask in fields],
        fields=np.array(names, dtype=object),
        layer=kind,
        driver="SQLite",
        geometry_type=GEOMETRY_WORDS.get(str(geometry), "Unknown"),
        crs="EPSG:4326",
        append=path.exists(),
        dataset_options={} if path.exists() else DATABASE_OPTIONS,
        layer_options=LAYER_OPTIONS,
    )


def _field(
    kind: str, name: str, values: Sequence[object]
) -> tuple[NDArray[np.generic], NDArray[np.bool_] | None]:
    """Give a column and which of its values are missing."""
    missing = np.array([value is None for value in values])
    types, said = column_types(KINDS[kind]), meanings(KINDS[kind])
    python = types[name].python if name in types and not said[name].refers else str
    if python in {int, bool}:
        whole = [0 if value is None else int(str(int(value))) for value in values]  # type: ignore[call-overload]
        return np.array(whole, dtype=np.int64), missing
    if python is float:
        return np.array([np.nan if v is None else v for v in values], dtype=np.float64), None
    return np.array([_text(value) for value in values], dtype=object), None


def _text(value: object) -> str | None:
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, datetime.date):
        return value.isoformat()
    return None if value is None else str(value)
