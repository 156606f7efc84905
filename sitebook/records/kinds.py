"""All record kinds by table name, each after those it refers to."""

from __future__ import annotations

import re

from sitebook.records import (
    book,
    derived,
    entry_line,
    find,
    foray,
    history,
    host_tree,
    import_batch,
    lab_test,
    map_data,
    outing,
    person,
    photo,
    site,
    spraying,
    surface,
    taxon,
    weather,
)
from sitebook.records.standing import Row


def table_name(record: type[Row]) -> str:
    """Give the table a record kind is kept in, as `host_tree` for `HostTree`."""
    return re.sub(r"(?<!^)(?=[A-Z])", "_", record.__name__).lower()


KINDS: dict[str, type[Row]] = {
    table_name(kind): kind
    for kind in (
        person.Person,
        book.Book,
        book.Setting,
        import_batch.ImportBatch,
        import_batch.RefusedLine,
        entry_line.EntryLine,
        taxon.Taxon,
        taxon.VernacularName,
        taxon.TaxonTrait,
        taxon.LookAlike,
        site.Site,
        site.Permission,
        site.PermissionSite,
        site.PermissionClosedDay,
        host_tree.HostTree,
        outing.Track,
        outing.Visit,
        outing.VisitPerson,
        outing.Look,
        find.Find,
        find.FindHost,
        find.Determination,
        map_data.Extract,
        map_data.Way,
        map_data.LandCover,
        map_data.MapPoint,
        map_data.MappedTree,
        map_data.TrafficCount,
        map_data.Hazard,
        weather.WeatherStation,
        weather.WeatherDay,
        derived.Derived,
        history.Change,
        history.Conflict,
        history.NumberBlock,
        photo.Photo,
        photo.PhotoTag,
        photo.PhotoLink,
        photo.PhotoThumbnail,
        spraying.Spraying,
        spraying.SprayingActive,
        lab_test.LabTest,
        lab_test.LabResult,
        surface.Surface,
        surface.SurfaceCells,
        surface.SurfaceContour,
        foray.Foray,
        foray.ForayStop,
        foray.TaxonWeight,
    )
}
"""Record kind by table name, in an order in which rows can be written."""

CALLED_TOO: dict[str, str] = {"labtest": "lab_test", "count": "traffic_count"}
"""Shorter words that a person may type for a kind."""


def kind_meant(word: str) -> str:
    """Give the table that a word for a kind means, the word itself where it is no other word for one."""
    return CALLED_TOO.get(word, word)


OTHERWISE_MANY: dict[str, str] = {
    "taxon": "taxa",
    "import_batch": "import batches",
    "derived": "derived",
    "surface_cells": "surface cells",
}
"""Kinds of which several are called otherwise than with an s."""


def numbered(how_many: int, table: str) -> str:
    """Give how many records of a kind in words, as "1 host tree" and "2 host trees"."""
    one = table.replace("_", " ")
    return f"{how_many:,} {one if how_many == 1 else OTHERWISE_MANY.get(table, f'{one}s')}"
