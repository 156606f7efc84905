"""Tests that a written name is taken for what it is before any name is taken for new."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.records.find import Determination
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.work import opened
from sitebook.work.adding import add
from sitebook.work.bring_in import bring_in
from tests.work import books

SITE = "Mill Park,-19.4,48.6,50"
PARK = {"name": "Mill Park", "lon": "-19.4", "lat": "48.6", "radius_m": "50"}
FLY_AGARIC = {"site": "Mill Park", "found_on": "2025-09-14", "name": "Fly Agaric"}


def named(tmp_path: Path, written: str) -> tuple[str | None, tuple[str, ...]]:
    """Bring in one find under a name; gives the taxon it was matched to and the remarks."""
    path = books.fresh(tmp_path)
    sites = books.table(tmp_path, "site", "name,lon,lat,radius_m", SITE)
    finds = books.table(tmp_path, "find", "site,found_on,name", f"Mill Park,2025-09-14,{written}")
    with opened(path) as book:
        report = bring_in(book, [sites, finds], now=books.NOW).result
        (determination,) = rows.records(book, Determination)
        assert determination.verbatim_name == written
        taxa = {taxon.id: taxon.scientific_name for taxon in rows.records(book, Taxon)}
    return taxa.get(determination.taxon_id), report.remarks


@pytest.mark.parametrize("written", ["Death Cap", "death cap", "DEATH CAP", "Death cap"])
def test_an_everyday_name_is_found_however_it_is_written(tmp_path: Path, written: str) -> None:
    assert named(tmp_path, written)[0] == "Amanita phalloides"


def test_a_single_word_that_stands_nowhere_is_no_genus(tmp_path: Path) -> None:
    matched, remarks = named(tmp_path, "Herkkutatti")
    assert matched is None
    assert any("matched to no scientific name: Herkkutatti" in remark for remark in remarks)


def test_sp_says_that_a_single_word_is_a_genus(tmp_path: Path) -> None:
    assert named(tmp_path, "Psathyrella sp.")[0] == "Psathyrella"


def test_authors_are_no_everyday_name(tmp_path: Path) -> None:
    assert named(tmp_path, "Leccinum scabrum (Bull.) Gray")[0] == "Leccinum scabrum"


def test_a_typed_name_is_settled_alike(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with opened(path) as book:
        add(book, "site", PARK, now=books.NOW)
        add(book, "find", FLY_AGARIC, now=books.NOW)
        (determination,) = rows.records(book, Determination)
        taxa = {taxon.id: taxon.scientific_name for taxon in rows.records(book, Taxon)}
    assert taxa[determination.taxon_id] == "Amanita muscaria"


def test_a_row_that_was_a_record_before_keeps_the_taxon_it_had(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    sites = books.table(tmp_path, "site", "name,lon,lat,radius_m", SITE)
    finds = books.table(tmp_path, "find", "site,found_on,collection_number", "Mill Park,2025-09-14,1")
    own = "6f1f64a2-7a0e-4f8e-9c9b-0f9a3f1c2d3e"
    told = books.table(
        tmp_path,
        "determination",
        "# sitebook export",
        "find,taxon,verbatim_name,determined_by,uuid",
        f"OV 1,Amanita muscaria,Death Cap,OV,{own}",
    )
    with opened(path) as book:
        bring_in(book, [sites, finds, told], now=books.NOW)
        (determination,) = rows.records(book, Determination)
        taxa = {taxon.id: taxon.scientific_name for taxon in rows.records(book, Taxon)}
    assert (determination.uuid, taxa.get(determination.taxon_id)) == (own, "Amanita muscaria")
