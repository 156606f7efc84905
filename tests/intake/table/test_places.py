"""Tests that coordinates and outlines are possible places."""

from __future__ import annotations

import pytest
import shapely

from sitebook.intake.cells import CellError
from sitebook.intake.table.places import point, read_degrees, read_outline

SQUARE = "POLYGON ((-19.4 48.6, -19.3 48.6, -19.3 48.7, -19.4 48.6))"


def test_decimal_degrees_are_read() -> None:
    assert read_degrees("-19.4215", 180.0, "longitude") == -19.4215
    assert read_degrees("−19.5", 180.0, "longitude") == -19.5


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("52°30'N", "decimal degrees"),
        ("52.5 N", "decimal degrees"),
        ("-119.4", "swapped"),
        ("200", "not between -90 and 90$"),
        ("north", "not a number"),
    ],
)
def test_other_latitudes_are_refused_in_words(written: str, said: str) -> None:
    with pytest.raises(CellError, match=said):
        read_degrees(written, 90.0, "latitude")


def test_null_island_is_refused() -> None:
    with pytest.raises(CellError, match="open sea"):
        point(0.0, 0.0)
    assert point(0.0, 51.5).equals(shapely.Point(0, 51.5))


def test_an_outline_is_read_flat() -> None:
    assert read_outline(SQUARE, "GEOMETRY", areas_only=True).equals(shapely.from_wkt(SQUARE))
    assert not read_outline("POINT Z (1 2 3)", "GEOMETRY", areas_only=False).has_z


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("POLYGON ((1 2, 3", "well-known text"),
        ("a field by the brook", "well-known text"),
        ("POLYGON EMPTY", "empty"),
        ("LINESTRING (1 2, 3 4)", "wanted is POLYGON"),
        ("POLYGON ((0 0, 1 1, 1 0, 0 1, 0 0))", "Self-intersection"),
        ("POLYGON ((48 190, 49 190, 49 191, 48 190))", "leaves the globe"),
        ("POLYGON ((48 100, 49 100, 49 101, 48 100))", "leaves the globe"),
    ],
)
def test_other_outlines_are_refused_in_words(written: str, said: str) -> None:
    with pytest.raises(CellError, match=said):
        read_outline(written, "GEOMETRY", areas_only=True)
