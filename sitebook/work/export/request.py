"""The request itself: gather, write beside, read back, then put the files in their place."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path

from sitebook import errors
from sitebook.outgo.geojson import geojson
from sitebook.outgo.gpx import gpx
from sitebook.outgo.spatialite import spatialite
from sitebook.outgo.table_rows import filled_table
from sitebook.records.results.going_out import ExportReport, Feature, WrittenFile
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.export.features import ALL_PLACES, PLACES, features_of, tracks_of
from sitebook.work.export.naming import naming_of
from sitebook.work.export.reading_back import read_back
from sitebook.work.export.tables import Tables, tables_of
from sitebook.work.keep_file import is_book, keep_bytes, not_writable, require_free
from sitebook.work.opening import book_row

FORMATS: dict[str, str] = {
    "csv": "tables-private",
    "geojson": "places-private.geojson",
    "gpx": "places-private.gpx",
    "spatialite": "places-private.sqlite",
}
"""Each format with the name its file, of tables their folder, bears beside the book."""

WAYPOINTS = ("site", "host_tree", "find")
Found = Mapping[str, list[Feature]]
"""Features by kind."""

TRACKS = "track-private.gpx"


def export(
    book: Book,
    form: str,
    to: Path | None,
    *,
    with_people: bool = False,
    replace: bool = False,
    progress: Progress = silent,
) -> Answer[ExportReport]:
    """Write what the book holds into files of one format.

    Parameters
    ----------
    book
        The open book; it is only read.
    form
        A key of `FORMATS`.
    to
        The file, of tables the folder; None: beside the book.
    with_people
        Whether persons go out too, and collectors by their full names; else only initials do.
    replace
        Whether files that lie there are written over.
    progress
        Told how far it is.

    Raises
    ------
    BadArgument
        When there is no such format.
    FileExists, BookExists
        When something lies there and is not to be replaced, or is a book.
    FileNotWritable
        When a file cannot be written; those written before it stay.
    """
    if form not in FORMATS:
        raise errors.BadArgument(f"there is no format '{form}'", remedy=f"There are: {', '.join(FORMATS)}.")
    place = to or book.path.with_name(FORMATS[form])
    if form == "csv":
        return Answer(_tables(book, place, with_people=with_people, replace=replace, progress=progress))
    _require_place([place], replace=replace)
    progress("gathering", 0, 1)
    kinds, write = PLACED[form]
    found = {kind: features_of(book, kind, with_people=with_people) for kind in kinds}
    progress("gathering", 1, 1)
    counts = _counts(form, found, book)
    if not counts:
        raise errors.NothingToShow("the book holds no record with a place", remedy="Bring some in first.")
    written = WrittenFile(keep_bytes(place, write(found, book), replace=replace), counts)
    return Answer(ExportReport(form, (written,), (*_privacy(book), *_placeless(form, found))))


def _require_place(paths: list[Path], *, replace: bool) -> None:
    if not replace:
        require_free(paths)
    for path in paths:
        if path.is_file() and is_book(path):
            raise errors.BookExists(
                "this is a book or another GeoPackage",
                where=str(path),
                remedy="Name another place with --to.",
            )


def _geojson(found: Found, _: Book) -> bytes:
    return geojson([feature for features in found.values() for feature in features])


def _gpx(found: Found, book: Book) -> bytes:
    return gpx([feature for features in found.values() for feature in features], tracks_of(book))


def _spatialite(found: Found, _: Book) -> bytes:
    return spatialite(found)


PLACED: dict[str, tuple[tuple[str, ...], Callable[[Found, Book], bytes]]] = {
    "geojson": (PLACES, _geojson),
    "gpx": (WAYPOINTS, _gpx),
    "spatialite": (ALL_PLACES, _spatialite),
}
"""Each format that is one file: the kinds that go into it, and its writer."""


def _placeless(form: str, found: Found) -> tuple[str, ...]:
    """Say how many records have no place of their own, which GPX cannot hold."""
    n = sum(feature.geometry is None for features in found.values() for feature in features)
    if not n:
        return ()
    return (f"{n} records have no place of their own and {PLACELESS.get(form, 'stand without one')}.",)


PLACELESS = {"gpx": "are not in the file"}


def _counts(form: str, found: Found, book: Book) -> dict[str, int]:
    if form != "gpx":
        return {kind: len(features) for kind, features in found.items() if features}
    placed = {kind: sum(f.geometry is not None for f in features) for kind, features in found.items()}
    return {kind: n for kind, n in (placed | {"track": len(tracks_of(book))}).items() if n}


def _tables(
    book: Book, folder: Path, *, with_people: bool, replace: bool, progress: Progress
) -> ExportReport:
    _require_place([folder / TRACKS, *sorted(folder.glob("*-private.csv"))], replace=replace)
    tables = tables_of(book, naming_of(book, with_people=with_people))
    content = {kind: filled_table(kind, found).encode("utf-8") for kind, found in tables.rows.items()}
    remarks = _read_back(book, content)
    written = []
    for done, (kind, text) in enumerate(content.items()):
        progress("writing", done, len(content))
        path = keep_bytes(_table_path(folder, kind), text, replace=replace)
        written.append(WrittenFile(path, {kind: len(tables.rows[kind])}))
    if tracks := tracks_of(book):
        path = keep_bytes(folder / TRACKS, gpx([], tracks, with_keys=True), replace=replace)
        written.append(WrittenFile(path, {"track": len(tracks)}))
    _take_away_older(folder, {file.path for file in written})
    progress("writing", len(content), len(content))
    return ExportReport("csv", tuple(written), (*_privacy(book), *_emptied(tables), *remarks))


def _table_path(folder: Path, kind: str) -> Path:
    return folder / f"{kind}-private.csv"


def _take_away_older(folder: Path, written: set[Path]) -> None:
    """Take away what an earlier export left and this one does not hold, as persons."""
    for path in {*folder.glob("*-private.csv"), folder / TRACKS} - written:
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise not_writable(path, error) from error


def _read_back(book: Book, content: Mapping[str, bytes]) -> tuple[str, ...]:
    with tempfile.TemporaryDirectory() as name:
        paths = {kind: _table_path(Path(name), kind) for kind in content if kind != "photo"}
        for kind, path in paths.items():
            path.write_bytes(content[kind])
        return read_back(book, paths, book_row(book).zone)


def _emptied(tables: Tables) -> tuple[str, ...]:
    told = ", ".join(f"{n} of kind {kind.replace('_', ' ')}" for kind, n in tables.emptied.items())
    return (f"Written without what they refer to, since it is withdrawn: {told}.",) if told else ()


def _privacy(book: Book) -> tuple[str, ...]:
    kept_back = Counter(s.sensitivity for s in rows.records(book, Site) if s.sensitivity != "exact")
    if not kept_back:
        return ("Exact places: keep it to yourself.",)
    told = ", ".join(
        f"{n} {word}{'°' if word[:1].isdigit() else ''}" for word, n in sorted(kept_back.items())
    )
    return (f"Exact places, also of sites you give out less finely (sites: {told}): keep it to yourself.",)
