"""Tests that a value which its column cannot hold is found."""

# ruff: noqa: S608

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.store.geopackage import TRIGGERS
from tests.store.breaking import BOUNDS, INSTANT, PHOTO, POINT, SITE, STANDING, broken, faults
from tests.work import books

LINE = "x'" + "47500001e6100000" + "0102000000" + "02000000" + "000000000000f03f" * 4 + "'"
OTHER_SYSTEM = POINT.replace("e6100000", "e7100000")
OFF_THE_WORLD = POINT.replace("000000000000f03f", "0000000000407f40")
VISIT = f"""INSERT INTO visit (uuid, created_at, changed_at, local_date, local_date_end, searchers, reason,
    looked_for_all, effort_assumed) VALUES ('v', {STANDING}, '{{}}', {{}}, 1, 'planned', 1, 0)"""


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE site SET name = x'00'", "row 1 of site holds what cannot be in name"),
        ("UPDATE site SET radius_m = 'far'", "row 1 of site holds what cannot be in radius_m"),
        ("UPDATE site SET radius_m = 9e999", "row 1 of site holds what cannot be in radius_m"),
        ("UPDATE site SET wooded = 2", "row 1 of site holds what cannot be in wooded"),
    ],
)
def test_a_value_of_another_kind_is_found(statement: str, told: str, tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), SITE.format(POINT), BOUNDS, statement)
    assert faults(path) == {"values of every column": (told,)}


def test_a_word_that_is_not_in_its_list_is_found(tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), SITE.format(POINT), BOUNDS, "UPDATE site SET sensitivity = 'secret'")
    assert faults(path) == {
        "controlled words": ("sensitivity of site holds 'secret', which is not in its list",)
    }


@pytest.mark.parametrize(
    ("date", "end", "told"),
    [
        ("2025-02-30", "NULL", "holds '2025-02-30' in local_date"),
        ("1699-12-31", "NULL", "holds '1699-12-31' in local_date"),
        ("2201-01-01", "NULL", "holds '2201-01-01' in local_date"),
        ("14.9.2025", "NULL", "holds '14.9.2025' in local_date"),
        ("2025-09-14", "'2025-09-13'", "ends before it begins"),
    ],
)
def test_a_date_that_cannot_be_is_found(date: str, end: str, told: str, tmp_path: Path) -> None:
    found = faults(broken(books.fresh(tmp_path), VISIT.format(date, end)))
    (fault,) = found.pop("dates and instants")
    assert told in fault
    assert found == {}


@pytest.mark.parametrize("date", ["1700-01-01", "2200-12-31", "2024-02-29"])
def test_a_date_that_can_be_is_left_alone(date: str, tmp_path: Path) -> None:
    assert faults(broken(books.fresh(tmp_path), VISIT.format(date, "NULL"))) == {}


@pytest.mark.parametrize("instant", ["2025-02-30T10:00:00.000Z", "2025-09-14T10:00:00", "2025-09-14", "soon"])
def test_an_instant_that_cannot_be_is_found(instant: str, tmp_path: Path) -> None:
    path = broken(
        books.fresh(tmp_path), SITE.format(POINT), BOUNDS, f"UPDATE site SET changed_at = '{instant}'"
    )
    (fault,) = faults(path).pop("dates and instants")
    assert f"row 1 of site holds '{instant}' in changed_at" in fault


@pytest.mark.source(
    item="",
    what="instants as GDAL writes them, without a fraction when it is nought",
    value="2025-09-14T10:00:00Z is an instant",
    source="GDAL's GeoPackage driver, DATETIME_FORMAT",
    mark="memory",
)
def test_an_instant_as_map_programs_write_it_is_left_alone(tmp_path: Path) -> None:
    statement = "UPDATE site SET changed_at = '2025-09-14T10:00:00Z'"
    assert faults(broken(books.fresh(tmp_path), SITE.format(POINT), BOUNDS, statement)) == {}


@pytest.mark.parametrize(
    ("blob", "told"),
    [
        (LINE, "is a LineString, not a Point"),
        (OTHER_SYSTEM, "is not in WGS 84"),
        (OFF_THE_WORLD, "row 1 of visit lies off the world"),
        ("x'4750'", "cannot be read"),
        ("x'47500001e610000001ff'", "cannot be read"),
    ],
)
def test_a_geometry_that_cannot_be_is_found(blob: str, told: str, tmp_path: Path) -> None:
    no_index = [f"DROP TRIGGER rtree_visit_geom_{trigger}" for trigger in TRIGGERS]
    path = broken(books.fresh(tmp_path), *no_index, VISIT.format("2025-09-14", "NULL"))
    broken(path, f"UPDATE visit SET geom = {blob}")
    (fault,) = faults(path)["geometries"]
    assert told in fault


@pytest.mark.parametrize(
    ("columns", "values", "told"),
    [
        ("photo_id, site_id", "1, 1", ""),
        ("photo_id", "1", "row 1 of photo_link says 0 things instead of one"),
        ("photo_id, site_id, visit_id", "1, 1, 1", "row 1 of photo_link says 2 things instead of one"),
    ],
)
def test_a_photo_shows_one_thing_a_row(columns: str, values: str, told: str, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    link = _photo_link(path, columns, values)
    broken(path, SITE.format(POINT), BOUNDS, VISIT.format("2025-09-14", "NULL"), PHOTO.format("ab"), link)
    assert faults(path).get("rows that say one thing alone", ()) == ((told,) if told else ())


def _photo_link(path: Path, columns: str, values: str) -> str:
    """Fill the columns that every record of hers carries, where the table has them."""
    there = {row[1] for row in books.asked(path, "PRAGMA table_info(photo_link)")}
    if "uuid" in there:
        columns, values = (
            f"uuid, created_at, changed_at, {columns}",
            f"'l', '{INSTANT}', '{INSTANT}', {values}",
        )
    return f"INSERT INTO photo_link ({columns}) VALUES ({values})"
