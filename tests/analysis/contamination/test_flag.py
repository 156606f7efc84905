"""Tests of the review of the roads round one place."""

from __future__ import annotations

import datetime
import re
import uuid
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from sitebook.analysis.contamination.flag import needs, review_place
from sitebook.analysis.contamination.roads import traffic_index
from sitebook.errors import PositionImpossible
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import TrafficCount, Way
from sitebook.records.results.review import PlaceReview

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)
WIDE = shapely.box(-19.6, 48.5, -19.2, 48.7)
Metres = list[tuple[float, float]]
FORBIDDEN = re.compile(r"\b(safe|clean|clear|ok|edible|harmless)\b|mg/kg", re.IGNORECASE)


def _way(line: Metres, road_class: str = "residential", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    return Way(uuid=str(uuid.uuid4()), road_class=road_class, geom=shape, **given)


def _count(at: tuple[float, float], vehicles: float) -> TrafficCount:
    spot = Point(FRAME.to_degrees([at])[0])
    return TrafficCount(
        uuid=str(uuid.uuid4()),
        created_at=NOW,
        changed_at=NOW,
        source="A. Lind",
        vehicles_per_day=vehicles,
        geom=spot,
    )


def _review(points: Metres, ways: list[Way], **given: Any) -> PlaceReview:  # noqa: ANN401 - any argument
    settled: dict[str, Any] = {
        "counts": [],
        "covered": [WIDE],
        "today": TODAY,
        "data_date": datetime.date(2025, 1, 1),
        **given,
    }
    review = review_place("Alder Bank", FRAME.to_degrees(points), ways, **settled)
    said = " ".join([review.words, *review.unknown, *(s.reason + s.source for s in review.sources)])
    assert not FORBIDDEN.search(said)
    assert review.words.endswith("This speaks of roads only.")
    assert (review.place_class is None) == (review.could_be is None) == (review.traffic_index is None)
    return review


@pytest.mark.source(
    item="C9",
    what="index of an L-shaped primary road from map records",
    value="0.170028282691, within 1e-5",
    source="25-digit quadrature",
    mark="computed",
)
def test_a_primary_road_with_a_corner() -> None:
    review = _review([(0, 0)], [_way([(-200, 20), (30, 20), (30, -300)], "primary", name="Long Quay")])
    assert review.traffic_index is not None
    assert review.traffic_index.central == pytest.approx(0.170028282691, rel=1e-5)
    assert review.traffic_index.low == pytest.approx(0.170028282691 / 3, rel=1e-5)
    assert review.traffic_index.high == pytest.approx(0.170028282691 * 3, rel=1e-5)
    assert (review.place_class, review.could_be) == (2, 3)
    (source,) = review.sources
    assert (source.kind, source.name, source.vehicles_per_day) == ("road", "Long Quay", 8905.0)
    assert source.distance_m == pytest.approx(20.0, abs=1e-3)
    assert source.value == review.traffic_index.central
    assert review.unknown == ()
    assert review.points_looked_at == 1


def test_the_index_is_that_of_the_public_function() -> None:
    chance = np.random.default_rng(12)
    lines = [[(float(x), float(y)) for x, y in chance.uniform(-400, 400, (3, 2))] for _ in range(20)]
    review = _review([(0, 0)], [_way(line, "tertiary") for line in lines])
    assert review.traffic_index is not None
    assert review.traffic_index.central == pytest.approx(traffic_index([[0, 0]], lines, 1000)[0], rel=1e-6)
    (source,) = review.sources
    assert source.value == pytest.approx(review.traffic_index.central)
    assert "(20 mapped pieces)" in source.reason


def test_the_worst_point_stands() -> None:
    points: Metres = [(0, 300), (0, 10), (0, 150)]
    review = _review(points, [_way([(-400, 0), (400, 0)], "primary")])
    assert [review.lon, review.lat] == pytest.approx(list(FRAME.to_degrees([(0, 10)])[0]))
    assert review.points_looked_at == 3
    assert review.sources[0].distance_m == pytest.approx(10.0, abs=1e-3)


def test_a_place_on_a_road() -> None:
    review = _review([(0, 0)], [_way([(-900, 0), (900, 0)], "service")])
    assert review.traffic_index is not None
    assert review.traffic_index.central == pytest.approx(0.025, rel=1e-6)
    assert review.place_class == 2
    assert "within 5 m of the centre line" in review.words
    assert review.sources[0].distance_m == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("aside", "expected"), [(4.9, 2), (5.1, 1)])
def test_the_five_metres_are_measured_to_the_centre_line(aside: float, expected: int) -> None:
    assert _review([(0, aside)], [_way([(-900, 0), (900, 0)], "service")]).place_class == expected


def test_no_road_in_reach_is_class_0_and_says_what_it_does_not_tell() -> None:
    review = _review([(0, 0)], [_way([(1100, -50), (1100, 50)], "motorway")])
    assert (review.place_class, review.could_be) == (0, 0)
    assert review.sources == ()
    assert review.words.startswith("No mapped road with motor traffic within 1,000 m.")
    assert "This does not tell whether the ground is polluted." in review.words


def test_far_from_roads_on_a_map_that_has_roads() -> None:
    assert _review([(0, 0)], [], motor_roads_in_extract=12).place_class == 0


@pytest.mark.parametrize("ways", [[], [_way([(-50, 20), (50, 20)], "footway")]])
def test_a_map_without_a_motor_road_tells_nothing(ways: list[Way]) -> None:
    review = _review([(0, 0)], ways)
    assert review.place_class is None
    assert review.unknown == ("no motor road in the extract at all",)
    assert review.words.startswith("Nothing is known of the roads round this place.")


@pytest.mark.parametrize("covered", [[], [shapely.box(0, 0, 1, 1)]])
def test_no_map_data(covered: list[shapely.Polygon]) -> None:
    review = _review([(0, 0)], [_way([(-50, 20), (50, 20)])], covered=covered)
    assert review.place_class is None
    assert review.unknown == ("no map data covers this place",)
    assert review.points_looked_at == 0


def test_a_place_near_the_end_of_the_map() -> None:
    north = float(FRAME.to_degrees([(0, 120)])[0, 1])
    cover = shapely.box(-19.6, 48.5, -19.2, north)
    review = _review([(0, 0), (0, -40)], [_way([(-90, -20), (90, -20)])], covered=[cover])
    assert review.unknown == ("the map ends 120 m to the north",)
    assert review.place_class is not None


def test_a_place_that_straddles_the_end_of_the_map() -> None:
    cover = shapely.box(-19.6, 48.5, -19.2, 48.6)
    review = _review([(0, 30), (0, -30)], [_way([(-90, 29), (90, 29)])], covered=[cover])
    assert review.unknown == ("1 of 2 points lie outside the map data", "the map ends 30 m to the north")
    assert review.points_looked_at == 1
    assert review.lat < 48.6


def test_a_count_lifts_the_class() -> None:
    way = _way([(-250, 0), (330, 0)], name="Kiln Lane")
    assert _review([(0, 12)], [way]).place_class == 1
    review = _review([(0, 12)], [way], counts=[_count((40, 2), 9000.0)])
    assert review.place_class == 2
    assert "count by A. Lind" in review.sources[0].source
    assert review.traffic_index is not None
    assert review.traffic_index.high == pytest.approx(1.5 * review.traffic_index.central)


def test_a_count_by_no_road_is_told() -> None:
    review = _review(
        [(0, 12)], [_way([(-500, 0), (500, 0)])], counts=[_count((40, 300), 9.0), _count((0, 9e3), 9.0)]
    )
    assert review.unknown == ("the count by A. Lind has no motor road within 30 m and was not used",)


def test_a_tunnel_is_not_counted_but_named() -> None:
    ways = [
        _way([(-500, 0), (500, 0)]),
        _way([(-500, 52), (500, 52)], "trunk", tunnel=True, name="Hill Bore"),
    ]
    review = _review([(0, 12)], ways)
    assert "A tunnel (Hill Bore) runs 40 m away and is not counted." in review.words
    assert [source.name for source in review.sources] == ["residential street without a name"]


def test_what_the_map_does_not_say_is_told() -> None:
    ways = [
        _way([(-500, 0), (500, 0)]),
        _way([(-500, 60), (500, 60)], "raceway"),
        _way([(2e3, 0), (2e3, 9)], "odd"),
    ]
    review = _review([(0, 12)], ways, data_date=None)
    assert review.unknown == (
        'ways of the class "raceway" have no number of vehicles and do not count',
        "the map data do not say their date",
    )
    old = _review([(0, 12)], ways[:1], data_date=datetime.date(2018, 6, 1))
    assert old.unknown == ("the map data are 7 years old; roads may have changed since",)
    assert old.data_date == datetime.date(2018, 6, 1)


def test_five_nearest_roads_and_the_one_that_adds_most() -> None:
    lanes = [_way([(-20, y), (20, y)], "service", name=f"Lane {y}") for y in (40, 50, 60, 70, 80, 90)]
    big = _way([(-900, -120), (900, -120)], "motorway", name="Coast Way")
    review = _review([(0, 0)], [*lanes, big])
    assert [s.name for s in review.sources] == [*(f"Lane {y}" for y in (40, 50, 60, 70, 80)), "Coast Way"]
    assert review.sources[-1].value == max(s.value for s in review.sources)


def test_pieces_of_one_road_are_one_source() -> None:
    whole = _review([(0, 10)], [_way([(-300, 0), (300, 0)], "primary", name="Long Quay")])
    ways = [
        _way([(-300, 0), (50, 0)], "primary", name="Long Quay"),
        _way([(50, 0), (300, 0)], "primary", name="Long Quay"),
    ]
    split = _review([(0, 10)], ways)
    (one,), (two,) = whole.sources, split.sources
    assert two.value == pytest.approx(one.value, rel=1e-9)
    assert two.distance_m == pytest.approx(one.distance_m)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_the_range_holds_the_centre_and_could_be_is_never_lower(seed: int) -> None:
    chance = np.random.default_rng(seed)
    classes = ["motorway", "primary", "residential", "service", "footway"]
    lines = [[(float(x), float(y)) for x, y in chance.uniform(-300, 300, (2, 2))] for _ in range(8)]
    ways = [_way(line, str(chance.choice(classes))) for line in lines]
    points: Metres = [(float(x), float(y)) for x, y in chance.uniform(-100, 100, (4, 2))]
    review = _review(points, ways, counts=[_count((0, 0), 5000.0)], motor_roads_in_extract=1)
    assert review.traffic_index is not None
    assert review.traffic_index.low <= review.traffic_index.central <= review.traffic_index.high
    assert review.place_class is not None
    assert review.could_be is not None
    assert 0 <= review.place_class <= review.could_be <= 4
    alone = [
        _review([point], ways, counts=[_count((0, 0), 5000.0)], motor_roads_in_extract=1) for point in points
    ]
    assert review.place_class == max(one.place_class or 0 for one in alone)


@pytest.mark.parametrize(("lon", "lat"), [(180.0, -16.5), (-179.9999, 70.5), (18.9, 78.0)])
def test_places_at_the_seam_and_far_north(lon: float, lat: float) -> None:
    frame = LocalMetres(lon, lat)
    line = frame.to_degrees([(-300, 20), (300, 20)])
    way = Way(uuid="a", road_class="primary", geom=LineString(line))
    halves = [shapely.box(-180, lat - 1, -160, lat + 1), shapely.box(0, lat - 1, 180, lat + 1)]
    review = review_place("there", [[lon, lat]], [way], [], halves, today=TODAY, data_date=TODAY)
    assert review.traffic_index is not None
    expected = traffic_index([[0, 0]], [[(-300, 20), (300, 20)]], 8905)[0]
    assert review.traffic_index.central == pytest.approx(expected, rel=1e-6)
    assert review.unknown == ()


def test_what_must_be_loaded() -> None:
    (window,) = needs([[-19.4, 48.6]])
    east, north = FRAME.to_metres([[window.east, 48.6], [-19.4, window.north]])
    assert 1330.0 < east[0] < 1360.0
    assert 1330.0 < north[1] < 1360.0
    assert len(needs([[179.999, 10.0]])) == 2


def test_a_place_needs_a_point_on_the_globe() -> None:
    with pytest.raises(ValueError, match="at least one point"):
        review_place("x", [], [], [], [], today=TODAY)
    with pytest.raises(PositionImpossible):
        review_place("x", [[10.0, 95.0]], [], [], [], today=TODAY)
