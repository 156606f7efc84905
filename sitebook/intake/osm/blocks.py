"""Adds up what the blocks of a .osm.pbf say they unpack to, without unpacking any."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

from sitebook.errors import FileUnreadable

LONGEST_HEAD_BYTES = 64 * 1024
LONGEST_BLOCK_BYTES = 32 * 1024 * 1024
"""Largest head and body of a block that the format allows (OSM wiki, PBF format)."""

VARINT, FIXED_64, WITH_LENGTH, FIXED_32 = 0, 1, 2, 5
DATA_SIZE = 3
"""Field of a block's head that tells how long its body is."""

RAW, RAW_SIZE = 1, 2
"""Fields of a block's body: plain data, or the size that the packed data unpacks to."""

MOST_FIELD_HEADS = 8
"""Fields looked at in one message; the format has seven."""

LONGEST_VARINT_BYTES = 10
BITS_A_BYTE = 7


def unpacked_bytes(path: Path) -> int:
    """Give the size that all blocks of a .osm.pbf unpack to.

    The size that a block tells is no promise, but the reader of maps unpacks no more than it.

    Raises
    ------
    FileUnreadable
        When the file is cut off or its blocks are not of the format.
    """
    total = 0
    with path.open("rb") as file:
        while length := file.read(4):
            head_bytes = int.from_bytes(length, "big")
            if len(length) < 4 or not 0 < head_bytes <= LONGEST_HEAD_BYTES:
                raise _broken(path)
            try:
                body_bytes = _fields(_exactly(file, head_bytes)).get(DATA_SIZE, -1)
                if not 0 <= body_bytes <= LONGEST_BLOCK_BYTES:
                    raise _broken(path)
                total += _body(_exactly(file, body_bytes))
            except (IndexError, EOFError) as reason:
                raise _broken(path) from reason
    return total


def _exactly(file: BinaryIO, length: int) -> bytes:
    found = file.read(length)
    if len(found) < length:
        raise EOFError
    return found


def _body(body: bytes) -> int:
    fields = _fields(body)
    return max(fields.get(RAW_SIZE, 0), fields.get(RAW, 0))


def _fields(message: bytes) -> dict[int, int]:
    """Give each field's whole number, or its length where it holds bytes; IndexError for a broken one."""
    found: dict[int, int] = {}
    at = 0
    for _ in range(MOST_FIELD_HEADS):
        if at >= len(message):
            break
        key, at = _varint(message, at)
        number, kind = key >> 3, key & 7
        if kind in {VARINT, WITH_LENGTH}:
            value, at = _varint(message, at)
            at += value if kind == WITH_LENGTH else 0
        elif kind in {FIXED_32, FIXED_64}:
            value = 4 if kind == FIXED_32 else 8
            at += value
        else:
            raise IndexError
        if at > len(message):
            raise IndexError
        found[number] = max(value, found.get(number, 0))
    return found


def _varint(message: bytes, at: int) -> tuple[int, int]:
    value = 0
    for place in range(LONGEST_VARINT_BYTES):
        byte = message[at + place]
        value |= (byte & 0x7F) << (BITS_A_BYTE * place)
        if byte < 0x80:
            return value, at + place + 1
    raise IndexError


def _broken(path: Path) -> FileUnreadable:
    return FileUnreadable(
        "the map extract is damaged or cut off (its blocks are not of the format)",
        remedy="Fetch or copy it again; the size should be the one its source tells.",
        where=str(path),
    )
