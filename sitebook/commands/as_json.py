"""Turns answers into JSON: dates as ISO 8601, geometries as GeoJSON."""

from __future__ import annotations

import dataclasses
import datetime
import json
from collections.abc import Mapping
from pathlib import Path

import click


def plain(value: object) -> object:
    """Give a value as JSON can hold it."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(item) for item in value]
    if isinstance(value, datetime.date | Path | bytes):
        return _text(value)
    geometry = getattr(value, "__geo_interface__", None)
    return plain(geometry) if geometry is not None else value


def _text(value: datetime.date | Path | bytes) -> str:
    if isinstance(value, bytes):
        return f"{len(value)} bytes"
    return str(value) if isinstance(value, Path) else value.isoformat().replace("+00:00", "Z")


def echo(value: object) -> None:
    """Print a value as JSON."""
    click.echo(json.dumps(plain(value), ensure_ascii=False, indent=1, allow_nan=False))
