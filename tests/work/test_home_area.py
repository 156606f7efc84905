"""Tests of drawing the home area: a point with a radius, an outline, and what cannot be one."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
from pyproj import Geod

from sitebook import errors
from sitebook.work.home_area import KEY, home_area_words, read_area, set_home_area
from sitebook.work.opening import opened
from sitebook.work.settings import list_settings
from tests.work.books import LATER, fresh
from tests.work.photos.outing import brought, finds, photo, photos


@pytest.mark.source(
    item="",
    what="area of the circle of 80 m round a place",
    value="within 1 % of pi r squared",
    source="GeographicLib as pyproj's Geod",
    mark="computed",
)
def test_a_point_with_a_radius_is_a_circle_on_the_ground() -> None:
    area_m2, _ = Geod(ellps="WGS84").geometry_area_perimeter(read_area("-19.4,48.6,80"))
    assert abs(area_m2) == pytest.approx(3.14159 * 80**2, rel=0.01)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "home",
        "-19.4,48.6",
        "-19.4,91,80",
        "-19.4,48.6,0",
        "-19.4,48.6,nan",
        "-19.4,48.6,90000",
        "181,48.6,80",
        "POLYGON ((0 0))",
        "POLYGON EMPTY",
        "POLYGON ((0 0, 1 1, 1 0, 0 1, 0 0))",
        "POLYGON ((0 0, 0 95, 1 1, 0 0))",
    ],
)
def test_what_is_no_area_is_refused_in_one_line(text: str) -> None:
    with pytest.raises(errors.ValueImpossible, match="no home area"):
        read_area(text)


def test_it_stands_among_the_settings_and_can_be_taken_away(tmp_path: Path) -> None:
    outline = "POLYGON ((-19.41 48.59, -19.39 48.59, -19.39 48.61, -19.41 48.61, -19.41 48.59))"
    with opened(fresh(tmp_path)) as book:
        assert home_area_words(book) == ""
        set_home_area(book, outline, now=LATER)
        (line,) = [line for line in list_settings(book).result if line.key == KEY]
        assert line.hers
        assert shapely.from_wkt(line.value).equals(shapely.from_wkt(outline))
        set_home_area(book, None, now=LATER)
        assert home_area_words(book) == ""


def test_photos_of_the_book_are_looked_at_again_and_finds_stay(tmp_path: Path) -> None:
    path = fresh(tmp_path)
    brought(path, photo(tmp_path, "a.jpg", 0), photo(tmp_path, "b.jpg", 20, 900.0))
    with opened(path) as book:
        assert set_home_area(book, "-19.4,48.6,80", now=LATER) == 1
    assert {name: p.at_home for name, p in photos(path).items()} == {"a.jpg": True, "b.jpg": False}
    assert len(finds(path)) == 2
    with opened(path) as book:
        assert set_home_area(book, None, now=LATER) == 1
    assert not any(p.at_home for p in photos(path).values())
