"""Tests that a position far from everything is refused, with a hint, and never in an empty book."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from sitebook import errors
from sitebook.work import opened
from sitebook.work.bring_in.distances import distance_km
from sitebook.work.settings import set_value
from tests.work import books
from tests.work.bring_in import town

SPHERE = Geod(a=6371008.8, b=6371008.8)
HEAD = "name,lon,lat,radius_m"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    return path


@pytest.mark.source(
    item="",
    what="great-circle distance of any two places",
    value="the same to one part in a million",
    source="geodesics on a sphere of 6,371,008.8 m by GeographicLib, through pyproj",
    mark="computed",
)
@given(st.floats(-180, 180), st.floats(-90, 90), st.floats(-180, 180), st.floats(-90, 90))
def test_distance_is_that_of_the_great_circle(lon: float, lat: float, other: float, other_lat: float) -> None:
    _, _, theirs_m = SPHERE.inv(lon, lat, other, other_lat)
    (ours_km,) = distance_km(np.array([[lon, lat]]), np.array([[other, other_lat]]))
    assert ours_km == pytest.approx(theirs_m / 1000, rel=1e-6, abs=1e-6)


def test_a_far_position_is_refused_and_says_how_far(book: Path, tmp_path: Path) -> None:
    far = books.table(tmp_path, "site", HEAD, "Alm,13.0,47.0,30", name="far")
    with pytest.raises(errors.SitebookError, match=r"far\.csv line 3.*km from everything.*--far") as told:
        town.bring(book, far)
    assert "swap" not in str(told.value)
    town.bring(book, far, far=True)
    assert books.only(book, "SELECT count(*) FROM site") == (3,)


def test_swapped_axes_are_hinted_at(book: Path, tmp_path: Path) -> None:
    swapped = books.table(tmp_path, "site", HEAD, "Dune,48.601,-19.401,30", name="swapped")
    with pytest.raises(errors.SitebookError, match="swapped"):
        town.bring(book, swapped)


def test_a_swap_that_is_no_latitude_is_not_hinted_at(book: Path, tmp_path: Path) -> None:
    far = books.table(tmp_path, "site", HEAD, "Far,148.6,-19.4,30", name="far")
    with pytest.raises(errors.SitebookError, match="--far"):
        town.bring(book, far)


def test_an_empty_book_refuses_nothing(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "empty.gpkg")
    places = books.table(tmp_path, "site", HEAD, "Alm,13.0,47.0,30", "Reef,148.6,-19.4,30", name="far")
    town.bring(path, places)
    assert books.only(path, "SELECT count(*) FROM site") == (2,)


def _chain(steps: int) -> list[str]:
    step_deg = 150 / (111.19 * math.cos(math.radians(48.6)))
    return [f"Link {n},{-19.4 + n * step_deg:.5f},48.6,30" for n in range(1, steps + 1)]


def test_what_is_near_something_near_is_near_in_every_order(tmp_path: Path) -> None:
    links = [
        books.table(tmp_path, "site", HEAD, line, name=name)
        for line, name in zip(_chain(3), ("c", "a", "b"), strict=True)
    ]
    for number, order in enumerate(itertools.permutations(links)):
        path = books.fresh(tmp_path, f"{number}.gpkg")
        town.bring(path, town.sites(tmp_path))
        town.bring(path, *order)
        assert books.only(path, "SELECT count(*) FROM site") == (5,)


def test_a_chain_with_a_missing_link_is_broken(book: Path, tmp_path: Path) -> None:
    lines = _chain(4)
    broken = books.table(tmp_path, "site", HEAD, *lines[:1], *lines[3:], name="broken")
    report = town.bring(book, broken, accept_rest=True)
    assert [line.line_number for line in town.lines_of(report)] == [4]
    assert books.only(book, "SELECT count(*) FROM site") == (3,)


@pytest.mark.parametrize(("setting", "let_in"), [("1000", True), ("5", False)])
def test_she_may_set_what_is_far(setting: str, let_in: bool, book: Path, tmp_path: Path) -> None:
    with opened(book) as found:
        set_value(found, "far_km", setting)
    (line,) = _chain(1)
    place = books.table(tmp_path, "site", HEAD, line, name="place")
    if let_in:
        town.bring(book, place)
    else:
        with pytest.raises(errors.SitebookError, match="km from everything"):
            town.bring(book, place)


def test_the_antimeridian_is_no_distance(tmp_path: Path) -> None:
    path = books.fresh(tmp_path, "east.gpkg")
    town.bring(path, books.table(tmp_path, "site", HEAD, "East,179.9,-17.0,30", name="east"))
    town.bring(path, books.table(tmp_path, "site", HEAD, "West,-179.9,-17.0,30", name="west"))
    assert books.only(path, "SELECT count(*) FROM site") == (2,)
