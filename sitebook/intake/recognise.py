"""Tells what kind of file this is from its first bytes; its name only helps to say so in words."""

from __future__ import annotations

import bz2
import re
import zlib
from pathlib import Path
from typing import Literal

from sitebook.errors import FileNotRecognised, FileUnreadable
from sitebook.intake.files import read_head
from sitebook.intake.lines import Lines, folded, table_from_text
from sitebook.intake.weather.formats import format_of_header, format_of_line

Format = Literal["entries", "gpx", "osm", "photo", "table", "weather"]
"""The reader a file goes to."""

HEAD_BYTES = 1 << 16
"""How much of a file is looked at."""

BZIP2_BLOCK_BYTES = 1 << 20
"""The largest block of bzip2 is 900,000 bytes."""

KIND_LINE = re.compile(r"sitebook table:\s*([a-z_]+)[\s,;]*", re.IGNORECASE)
EXPORT_LINE = re.compile(r"sitebook export\b.*", re.IGNORECASE)
PBF_BLOCK = b"\x0a\x09OSMHeader"
WEATHER_KINDS = frozenset({"weather", "weather_day"})

XML_ROOT = re.compile(
    r"(?>\s+|<\?.*?\?>|<!--.*?-->|<!DOCTYPE[^\[>]*(?:\[.*?\]\s*)?>)*+<([\w:.-]+)", re.DOTALL
)
ENTRY_LINE = re.compile(r'^[ \t]*\{"v":[0-9]', re.MULTILINE)
"""How a line begins that an entry sheet saved."""


Signature = tuple[int, bytes, str, str]
TAKE_OUT = "Take what it holds out of it, then name that."
NO_READER = "Leave it out: GPX, photos, map extracts, CSV tables and daily weather are read."
NO_VIDEO = "Keep it elsewhere; a still picture taken from it is read."
PICTURES: tuple[tuple[int, bytes], ...] = (
    (0, b"\xff\xd8\xff"),
    (0, b"\x89PNG\r\n\x1a\n"),
    (0, b"II*\x00"),
    (0, b"MM\x00*"),
    (8, b"WEBP"),
    (4, b"ftyphei"),
    (4, b"ftyphev"),
    (4, b"ftypmif1"),
    (4, b"ftypmsf1"),
    (4, b"ftypavif"),
)
"""Where a picture's first bytes lie, and what they are: JPEG, PNG, TIFF, WebP, HEIC, HEIF, AVIF."""

SIGNATURES: tuple[Signature, ...] = (
    (0, b"GIF8", "a picture (GIF)", NO_READER),
    (0, b"8BPS", "a picture (PSD)", "Save it as JPEG, then name that."),
    (4, b"ftyp", "a video or sound", NO_VIDEO),
    (4, b"moov", "a video", NO_VIDEO),
    (0, b"\x1aE\xdf\xa3", "a video (Matroska)", NO_VIDEO),
    (8, b"AVI ", "a video (AVI)", NO_VIDEO),
    (8, b".FIT", "a FIT activity", "Save it as GPX, then name that."),
    (0, b"%PDF", "a PDF", "Type what it says as a table."),
    (0, b"SQLite format 3\x00", "a book or another database", "A book is named with --book, not read in."),
    (0, b"\xfd7zXZ", "a packed file (xz)", TAKE_OUT),
    (0, b"7z\xbc\xaf", "a packed file (7z)", TAKE_OUT),
    (0, b"\x28\xb5\x2f\xfd", "a packed file (zstd)", TAKE_OUT),
)
XML_KINDS = {
    "osmChange": ("a list of changes to a map", "Name an extract of the map itself."),
    "kml": ("a KML file", "Save it as GPX, then name that."),
    "TrainingCenterDatabase": ("a TCX activity", "Save it as GPX, then name that."),
    "html": ("a web page", "Save the data it offers, not the page that shows it."),
    "svg": ("a drawing (SVG)", NO_READER),
}


def recognise(path: Path) -> Format:
    """Tell which reader a file goes to.

    Pictures go by their first bytes, XML by its root element, map extracts by their first block, text
    by its header: one that `weather.formats` knows, as local_date with rain_mm, is daily weather, and so
    are the lines without a header that it knows; any other header is a table. A first line
    "# sitebook table: KIND" decides before the header.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Format
        "entries", "gpx", "osm", "photo", "weather" or "table".

    Raises
    ------
    FileNotRecognised
        When no reader takes the file, or it is a folder.
    FileMissing
        When there is no such file.
    FileUnreadable
        When it is empty, or is packed and the packing is broken.
    """
    head = read_head(path, HEAD_BYTES)
    if head[4:15] == PBF_BLOCK:
        return "osm"
    if head.startswith((b"\x1f\x8b", b"BZh")):
        return _of_packed(head, path)
    if any(head[at:].startswith(signature) for at, signature in PICTURES):
        return "photo"
    _refuse_known_kind(head, path)
    text = _text(head)
    if text is None:
        raise _not_recognised(path, "this is no text and no format that is known here")
    if text.lstrip().startswith("<"):
        return _of_xml(text, path)
    return _of_text(text, path)


def _of_packed(head: bytes, path: Path) -> Format:
    try:
        inside = _unpacked_head(head, path)
    except (zlib.error, OSError) as reason:
        raise _broken_packing(path) from reason
    if not inside:
        raise _broken_packing(path)
    if _xml_root(_text(inside) or "") == "osm":
        return "osm"
    raise _not_recognised(path, "of packed files, maps in .osm.gz or .osm.bz2 alone are read", TAKE_OUT)


def _unpacked_head(head: bytes, path: Path) -> bytes:
    """Unpack the first bytes; bzip2 gives none before a whole block of it was read."""
    if head.startswith(b"\x1f\x8b"):
        return zlib.decompressobj(wbits=31).decompress(head, HEAD_BYTES)
    return bz2.BZ2Decompressor().decompress(read_head(path, BZIP2_BLOCK_BYTES), HEAD_BYTES)


def _broken_packing(path: Path) -> FileUnreadable:
    return FileUnreadable("the packing is broken", remedy="Copy the file again.", where=str(path))


def _refuse_known_kind(head: bytes, path: Path) -> None:
    for at, signature, name, remedy in SIGNATURES:
        if head[at:].startswith(signature):
            raise _not_recognised(path, f"this is {name}, which is not read", remedy)
    if head.startswith(b"PK\x03\x04"):
        spreadsheet = path.suffix.casefold() in {".xlsx", ".ods", ".xlsm"}
        name = "a spreadsheet workbook" if spreadsheet else "a packed file (zip)"
        remedy = "Save each of its sheets as CSV in UTF-8." if spreadsheet else TAKE_OUT
        raise _not_recognised(path, f"this is {name}, which is not read", remedy)


def _text(head: bytes) -> str | None:
    """Give the head as text, or None for what is no text."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = head.decode("utf-16", errors="replace")
    else:
        text = head.removeprefix(b"\xef\xbb\xbf").decode("utf-8", errors="replace")
    controls = sum(ord(sign) < 32 and sign not in "\t\n\r\f\x1a" for sign in text)
    return None if "\x00" in text or controls > len(text) // 100 else text


def _xml_root(text: str) -> str:
    root = XML_ROOT.match(text)
    return root[1].rpartition(":")[2] if root else ""


def _of_xml(text: str, path: Path) -> Format:
    name = _xml_root(text)
    if name == "gpx":
        return "gpx"
    if name == "osm":
        return "osm"
    what, remedy = XML_KINDS.get(name, (f"XML that begins with <{name}>", NO_READER))
    raise _not_recognised(path, f"this is {what}, which is not read", remedy)


def _of_text(text: str, path: Path) -> Format:
    if ENTRY_LINE.search(text):
        return "entries"
    if text.lstrip()[:1] in {"{", "["}:
        raise _not_recognised(path, "JSON is not read", "Save it as a CSV table or as GPX.")
    head = _whole_lines(text)
    if format_of_line(_last_line(head)) is not None:
        return "weather"
    table = table_from_text(head, where=str(path))
    if (kind := kind_named(table)) is not None:
        return "weather" if kind in WEATHER_KINDS else "table"
    columns = {folded(name) for name in table.header}
    if format_of_header(table.header) is not None:
        return "weather"
    if len(columns) > 1:
        return "table"
    remedy = "Write a table's columns on its first line, as `sitebook template` does."
    raise _not_recognised(path, "this text has no header with columns", remedy)


def kind_named(table: Lines) -> str | None:
    """Give the kind that a comment "sitebook table: KIND" names, or None."""
    found = (KIND_LINE.fullmatch(text) for _, text in table.comments)
    return next((match[1].casefold() for match in found if match), None)


def is_export(table: Lines) -> bool:
    """Tell whether a comment says that the table is an export: records as a book keeps them."""
    return any(EXPORT_LINE.fullmatch(text) for _, text in table.comments)


def _whole_lines(text: str) -> str:
    """Cut the head back to its header, so that a cell broken off at its end does no harm."""
    kept = []
    for line in text.splitlines(keepends=True):
        kept.append(line)
        bare = line.strip()
        if bare and not bare.startswith("#") and not bare.casefold().startswith("sep="):
            break
    return "".join(kept)


def _last_line(text: str) -> str:
    return text.rstrip().rpartition("\n")[2]


def _not_recognised(path: Path, what: str, remedy: str = NO_READER) -> FileNotRecognised:
    return FileNotRecognised(what, remedy=remedy, where=str(path))
