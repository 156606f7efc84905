"""Tests that the surface is reckoned from what stands, kept, and reckoned anew exactly when that changes."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest
import shapely

from sitebook import errors
from sitebook.analysis.contamination import parameters
from sitebook.ground.projection import LocalMetres
from sitebook.records.results.surface import SurfaceView
from sitebook.records.surface import Surface, SurfaceCells, SurfaceContour
from sitebook.store import rows
from sitebook.work import contamination, opened, surface, surface_plan
from sitebook.work import map as work_map
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _surface(path: Path, *, later: bool = False) -> SurfaceView:
    with opened(path) as book:
        now = books.LATER if later else books.NOW
        return surface.surface_of(book, today=books.TODAY, now=now).result


def _kept(path: Path) -> SurfaceView | None:
    with opened(path) as book:
        return surface.kept_surface(book, today=books.TODAY)


def _count(path: Path, folder: Path, *lines: str) -> None:
    table = books.table(
        folder, "traffic_count", "lon,lat,vehicles_per_day,counted_on,source", *lines, name="more"
    )
    town.bring(path, table, now=books.LATER)


def test_the_whole_covered_ground_has_an_index(book: Path) -> None:
    view = _surface(book)
    (part,) = view.parts
    assert view.made_anew
    assert view.current
    assert view.left_out_km2 == 0.0
    assert part.cells == np.count_nonzero(~np.isnan(part.index)) > 10_000
    assert part.error_points == 3000
    assert part.error_median < 0.0005
    assert part.error_p99 < 0.003
    shares = [level.share for level in part.levels]
    assert [level.level for level in part.levels] == [0.005, 0.05, 0.3, 1.0]
    assert shares == sorted(shares, reverse=True)
    assert 0.0 < shares[0] < 1.0


def test_a_site_has_the_index_that_its_review_gives(book: Path) -> None:
    with opened(book) as found:
        review = contamination.review_at(found, -19.3951, 48.6004, today=books.TODAY).result
    (part,) = _surface(book).parts
    x, y = LocalMetres(part.centre_lon, part.centre_lat).to_metres([[-19.3951, 48.6004]])[0]
    row, column = int((y - part.south_m) / part.cell_m), int((x - part.west_m) / part.cell_m)
    assert review.traffic_index is not None
    assert part.index[row, column] == pytest.approx(review.traffic_index.central, rel=0.1)


def test_levels_are_drawn_where_the_cells_reach_them(book: Path) -> None:
    (part,) = _surface(book).parts
    for level in part.levels[:2]:
        assert level.outline is not None
        assert level.outline.is_valid
        assert part.ground.buffer(1e-9).covers(level.outline)
        assert level.outline.area / part.ground.area == pytest.approx(level.share, rel=0.1)
    lower, higher = (level.outline for level in part.levels[:2])
    assert lower is not None
    assert lower.buffer(1e-5).covers(higher)


def test_nothing_is_reckoned_again_while_nothing_changes(book: Path) -> None:
    first = _surface(book)
    revision = books.revision(book)
    again = _surface(book, later=True)
    assert not again.made_anew
    assert books.revision(book) == revision
    assert again.parts[0].made_at == first.parts[0].made_at == books.NOW
    np.testing.assert_array_equal(again.parts[0].index, first.parts[0].index)


def test_a_count_makes_it_anew_and_the_old_one_goes(book: Path, tmp_path: Path) -> None:
    before = _surface(book)
    _count(book, tmp_path, "-19.4050,48.6000,9400,2025-08-20,own count")
    stale = _kept(book)
    assert stale is not None
    assert not stale.current
    after = _surface(book, later=True)
    assert after.made_anew
    assert after.parts[0].made_at == books.LATER
    assert np.nanmax(after.parts[0].index) > np.nanmax(before.parts[0].index)
    with opened(book) as found:
        assert [rows.how_many(found, kind) for kind in (Surface, SurfaceCells)] == [1, 1]
        drawn = sum(level.outline is not None for level in after.parts[0].levels)
        assert rows.how_many(found, SurfaceContour) == drawn
    kept = _kept(book)
    assert kept is not None
    assert kept.current


def test_what_changes_no_road_leaves_it_as_it_is(book: Path, tmp_path: Path) -> None:
    _surface(book)
    _count(book, tmp_path, "-19.4005,48.6095,40,2025-08-20,far from every road")
    fire = books.table(
        tmp_path,
        "hazard",
        "kind,name,origin,source,lon,lat",
        "fire place,New,seen,OV,-19.401,48.602",
        name="fire",
    )
    town.bring(book, fire, now=books.LATER)
    assert not _surface(book, later=True).made_anew


def test_a_told_old_main_road_counts(book: Path, tmp_path: Path) -> None:
    before = _surface(book)
    old = books.table(
        tmp_path,
        "hazard",
        "kind,name,origin,source,vehicles_per_day,outline_wkt",
        'old main road,Old Coast Road,told,a neighbour,9000,"LINESTRING (-19.404 48.603, -19.396 48.603)"',
        name="old_road",
    )
    town.bring(book, old, now=books.LATER)
    after = _surface(book, later=True)
    assert after.made_anew
    assert after.parts[0].levels[2].share > before.parts[0].levels[2].share


def test_a_failure_while_keeping_leaves_the_old_one(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = _surface(book)
    _count(book, tmp_path, "-19.4050,48.6000,9400,2025-08-20,own count")
    whole = rows.insert

    def broken(found: object, records: list[object]) -> list[int]:
        if records and isinstance(records[0], SurfaceContour):
            raise RuntimeError("power fails")
        return whole(found, records)  # type: ignore[arg-type]

    monkeypatch.setattr(rows, "insert", broken)
    with pytest.raises(RuntimeError, match="power fails"):
        _surface(book, later=True)
    kept = _kept(book)
    assert kept is not None
    np.testing.assert_array_equal(kept.parts[0].index, before.parts[0].index)
    assert [level.share for level in kept.parts[0].levels] == [
        level.share for level in before.parts[0].levels
    ]


def test_a_ground_too_large_is_cut_round_the_sites(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = _surface(book)
    monkeypatch.setattr(surface_plan, "MOST_CELLS", 6400)
    view = _surface(book, later=True)
    (part,) = view.parts
    assert part.index.size <= 6400
    assert view.left_out_km2 == pytest.approx((whole.cells - view.cells) * 25e-6, rel=0.05)
    assert part.ground.buffer(0.003).covers(shapely.Point(-19.396, 48.605))


def test_no_map_is_told_in_one_line(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as found:
        assert surface.kept_surface(found, today=books.TODAY) is None
        with pytest.raises(errors.NothingToShow, match="no map"):
            surface.surface_of(found, today=books.TODAY, now=books.NOW)


def test_a_map_without_roads_is_told_in_one_line(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parameters, "classes_to_load", tuple)
    with opened(book) as found, pytest.raises(errors.NothingToShow, match="no road"):
        surface.surface_of(found, today=books.TODAY, now=books.NOW)


def test_the_map_shows_a_kept_one_and_makes_a_stale_one_anew(book: Path, tmp_path: Path) -> None:
    with opened(book) as found:
        assert work_map.view_of(found, today=books.TODAY, now=books.NOW).surface is None
    _surface(book)
    _count(book, tmp_path, "-19.4050,48.6000,9400,2025-08-20,own count")
    with opened(book) as found:
        left = work_map.view_of(found, today=books.TODAY).surface
        anew = work_map.view_of(found, today=books.TODAY, now=books.LATER).surface
    assert left is not None
    assert not left.current
    assert anew is not None
    assert (anew.current, anew.made_anew) == (True, True)


def test_a_book_that_cannot_be_written_still_has_its_map(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _surface(book)
    _count(book, tmp_path, "-19.4050,48.6000,9400,2025-08-20,own count")

    def refused(*_: object, **__: object) -> None:
        raise errors.BookNotWritable("it is write-protected", remedy="Take that away.")

    monkeypatch.setattr(surface, "surface_of", refused)
    with opened(book) as found:
        view = work_map.view_of(found, today=books.TODAY, now=books.LATER)
    assert view.surface is not None
    assert not dataclasses.replace(view.surface).current
