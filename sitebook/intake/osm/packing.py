"""Looks at the outside of a map extract (format, size, packing) before anything in it is read."""

from __future__ import annotations

import bz2
import gzip
import hashlib
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, cast

from sitebook.citations import Cited
from sitebook.errors import FileTooLarge, FileUnreadable
from sitebook.intake.files import BYTES_A_MEBIBYTE, read_head, require_file
from sitebook.intake.osm.blocks import unpacked_bytes

MOST_PLAIN_MIB = Cited(2048.0, "MiB", "ours", "our choice")
"""Largest size of an extract written as text, packed or not."""

MOST_PBF_MIB = Cited(100.0, "MiB", "ours", "our choice")
"""Largest size of a .osm.pbf, which holds about twenty times its size in text."""

MOST_RATIO = Cited(100.0, "1", "ours", "our choice")
"""How many times its packed size a file may unpack to; real extracts stay below thirty."""

RATIO_FROM_MIB = Cited(8.0, "MiB", "ours", "our choice")
"""Unpacked size from which on the ratio is looked at."""

CHUNK_BYTES = 1 << 20
"""How much is looked at at once; also the longest stretch of XML without a sign <."""

PBF_MARK = b"OSMHeader"


@dataclass(frozen=True)
class Packed:
    """A map extract from the outside.

    Parameters
    ----------
    path
        Where it lies.
    written_as
        "pbf", "osm", "osm.gz" or "osm.bz2", told from its bytes and not from its name.
    sha256
        Fingerprint of the file as it lies, in hex.
    """

    path: Path
    written_as: str
    sha256: str

    def opened(self) -> BinaryIO:
        """Open it for reading, unpacked."""
        return _opened(self.path, self.written_as)


def look_at(path: Path) -> Packed:
    """Tell how an extract is written, and make sure it is not larger than a reader will take.

    Raises
    ------
    FileMissing, FileNotRecognised
        As `files.require_file`.
    FileUnreadable
        When it is no map extract, or its packing is damaged.
    FileTooLarge
        When it is larger, or unpacks to more, than the limits.
    """
    written_as = _written_as(path)
    size_bytes = path.stat().st_size
    most_mib = MOST_PBF_MIB if written_as == "pbf" else MOST_PLAIN_MIB
    if size_bytes > most_mib.value * BYTES_A_MEBIBYTE:
        what = (
            f"the extract holds {size_bytes / BYTES_A_MEBIBYTE:,.0f} MiB; at most {most_mib.value:g} are read"
        )
        raise _too_large(path, what)
    if written_as in {"osm.gz", "osm.bz2"}:
        _unpack_once(path, written_as, size_bytes)
    elif written_as == "pbf":
        _stop_a_bomb(path, size_bytes, unpacked_bytes(path))
    return Packed(path, written_as, _sha256(path, of_xml=written_as == "osm"))


def _written_as(path: Path) -> str:
    require_file(path)
    head = read_head(path, 64)
    if head.startswith(b"\x1f\x8b"):
        return "osm.gz"
    if head.startswith(b"BZh"):
        return "osm.bz2"
    if PBF_MARK in head[:32]:
        return "pbf"
    if head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        return "osm"
    raise _not_an_extract(path)


def _unpack_once(path: Path, written_as: str, packed_bytes: int) -> None:
    so_far_bytes = 0
    try:
        with _opened(path, written_as) as stream:
            head = stream.read(CHUNK_BYTES)
            if not head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
                raise _not_an_extract(path)
            so_far_bytes = len(head)
            while chunk := stream.read(CHUNK_BYTES):
                so_far_bytes += len(chunk)
                _stop_a_bomb(path, packed_bytes, so_far_bytes)
                if so_far_bytes > RATIO_FROM_MIB.value * BYTES_A_MEBIBYTE:
                    _require_elements(path, chunk)
    except (OSError, EOFError, zlib.error) as reason:
        raise FileUnreadable(
            f"its packing is damaged ({reason})", remedy="Fetch or copy the file again.", where=str(path)
        ) from reason


def _stop_a_bomb(path: Path, packed_bytes: int, whole_bytes: int) -> None:
    if whole_bytes > MOST_PLAIN_MIB.value * BYTES_A_MEBIBYTE:
        raise _too_large(path, f"it unpacks to more than {MOST_PLAIN_MIB.value:g} MiB")
    many = whole_bytes > MOST_RATIO.value * packed_bytes
    if many and whole_bytes > RATIO_FROM_MIB.value * BYTES_A_MEBIBYTE:
        raise _too_large(path, f"it unpacks to more than {MOST_RATIO.value:g} times its size, as no map does")


def _opened(path: Path, written_as: str) -> BinaryIO:
    openers: dict[str, Callable[[Path], object]] = {"osm.gz": gzip.open, "osm.bz2": bz2.open}
    opener = openers.get(written_as)
    return cast("BinaryIO", opener(path)) if opener else path.open("rb")


def _sha256(path: Path, *, of_xml: bool) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(CHUNK_BYTES):
            digest.update(chunk)
            if of_xml:
                _require_elements(path, chunk)
    return digest.hexdigest()


def _require_elements(path: Path, chunk: bytes) -> None:
    """Stop at a single element of a mebibyte or more, which a reader of XML would hold whole."""
    if len(chunk) == CHUNK_BYTES and b"<" not in chunk:
        raise _too_large(path, "a single element of it is longer than 1 MiB, as in no map")


def _too_large(path: Path, what: str) -> FileTooLarge:
    return FileTooLarge(what, remedy="Cut a smaller piece of the map round your places.", where=str(path))


def _not_an_extract(path: Path) -> FileUnreadable:
    return FileUnreadable(
        "this is no map extract",
        remedy="Give a file written as .osm.pbf, .osm, .osm.xml, .osm.gz or .osm.bz2.",
        where=str(path),
    )
