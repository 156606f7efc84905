"""The GeoPackage geometry blob: shapely in, bytes out, and back (OGC 12-128, clause 2.1.3)."""

from __future__ import annotations

import struct

import shapely
from shapely.geometry.base import BaseGeometry

SRS_ID = 4326
MAGIC = b"GP"
_LITTLE_ENDIAN = 0b1
_ENVELOPE_XY = 0b10
_EMPTY = 0b10000
_ENVELOPE_BYTES = (0, 32, 48, 48, 64)
_HEADER_BYTES = 8
_PLAIN_POINT = b"\1\1\0\0\0"
"""Well-known binary of a point in two dimensions begins so, little-endian."""


def encode(geometry: BaseGeometry, srs_id: int = SRS_ID) -> bytes:
    """Write a geometry as a GeoPackage blob: no envelope for a point, minx maxx miny maxy else."""
    flags, envelope = _LITTLE_ENDIAN, b""
    if geometry.is_empty:
        flags |= _EMPTY
    elif geometry.geom_type != "Point":
        flags |= _ENVELOPE_XY
        min_x, min_y, max_x, max_y = geometry.bounds
        envelope = struct.pack("<4d", min_x, max_x, min_y, max_y)
    header = MAGIC + bytes((0, flags)) + struct.pack("<i", srs_id)
    return header + envelope + bytes(shapely.to_wkb(geometry, byte_order=1, flavor="iso"))


def decode(blob: bytes) -> BaseGeometry:
    """Read a GeoPackage blob.

    Raises
    ------
    ValueError
        When the bytes are no GeoPackage blob.
    """
    start = _body_start(blob)
    try:
        geometry: BaseGeometry = shapely.from_wkb(blob[start:])
    except shapely.errors.ShapelyError as error:
        raise ValueError("the geometry inside the blob cannot be read") from error
    return geometry


def bounds(blob: bytes) -> tuple[float, float, float, float] | None:
    """Give (min x, max x, min y, max y), or None for an empty geometry.

    The header's envelope or a plain point is used where there is one, so no geometry is built.
    """
    if is_empty(blob):
        return None
    order = "<" if blob[3] & _LITTLE_ENDIAN else ">"
    if (blob[3] >> 1) & 7:
        min_x, max_x, min_y, max_y = struct.unpack(order + "4d", blob[8:40])
        return min_x, max_x, min_y, max_y
    if blob[_HEADER_BYTES : _HEADER_BYTES + 5] == _PLAIN_POINT:
        x, y = struct.unpack("<2d", blob[_HEADER_BYTES + 5 : _HEADER_BYTES + 21])
        return x, x, y, y
    min_x, min_y, max_x, max_y = decode(blob).bounds
    return min_x, max_x, min_y, max_y


def is_empty(blob: bytes) -> bool:
    """Whether the blob says that it holds an empty geometry."""
    return bool(blob[3] & _EMPTY)


def srs_id(blob: bytes) -> int:
    """Give the reference system the blob says its coordinates are in."""
    (found,) = struct.unpack(("<" if blob[3] & _LITTLE_ENDIAN else ">") + "i", blob[4:8])
    return int(found)


def _body_start(blob: bytes) -> int:
    envelope = (blob[3] >> 1) & 7 if len(blob) > _HEADER_BYTES else len(_ENVELOPE_BYTES)
    if blob[:2] != MAGIC or envelope >= len(_ENVELOPE_BYTES):
        raise ValueError("not a GeoPackage geometry blob")
    return _HEADER_BYTES + _ENVELOPE_BYTES[envelope]
