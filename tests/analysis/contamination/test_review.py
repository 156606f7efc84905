"""Tests of the review of one place from every mapped and told source."""

from __future__ import annotations

import datetime
import re
import uuid
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.place import Known, Place, TreeAt, needs
from sitebook.analysis.contamination.review import review_place
from sitebook.analysis.contamination.roads import traffic_index
from sitebook.analysis.contamination.sprayings import Told
from sitebook.errors import PositionImpossible
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Hazard, TrafficCount, Way
from sitebook.records.results.review import PlaceReview
from sitebook.records.spraying import Spraying, SprayingActive
from tests.house.judging_words import JUDGING

FRAME = LocalMetres(-19.4, 48.6)
TODAY = datetime.date(2025, 6, 1)
NOW = datetime.datetime(2025, 6, 1, 12, tzinfo=datetime.UTC)
WIDE = shapely.box(-19.6, 48.5, -19.2, 48.7)
ROW: dict[str, Any] = {"uuid": "made for a test", "created_at": NOW, "changed_at": NOW}
LINE_M = 1e-6
"""Width of a road that is a line, so that distances to centre and edge agree [m]."""

Metres = list[tuple[float, float]]
FORBIDDEN = re.compile(r"\b(within limits|waiting time)\b", re.IGNORECASE)


def _ground(shape_m: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape_m, FRAME.to_degrees)


def way(line: Metres, road_class: str = "residential", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    return Way(
        **{"uuid": str(uuid.uuid4()), "road_class": road_class, "geom": shape, "width_m": LINE_M, **given}
    )


def hazard(kind: str, shape_m: BaseGeometry, **given: Any) -> Hazard:  # noqa: ANN401 - any column
    told = {"kind": kind, "origin": "told", "source": "a neighbour", "geom": _ground(shape_m)}
    return Hazard(**{**ROW, **told, **given})


def sprayed(shape_m: BaseGeometry, *actives: str, **given: Any) -> Told:  # noqa: ANN401 - any column
    told = {
        "ground": "the verge",
        "state": "done",
        "told_by": "B. Moss",
        "applied_on": datetime.date(2025, 5, 4),
    }
    spraying = Spraying(**{**ROW, **told, "geom": _ground(shape_m), "id": 7, **given})
    return Told(spraying, tuple(SprayingActive(**ROW, spraying_id=7, active=word) for word in actives), ())


def count(at: tuple[float, float], vehicles: float) -> TrafficCount:
    spot = Point(FRAME.to_degrees([at])[0])
    about = {**ROW, "uuid": str(uuid.uuid4())}
    return TrafficCount(**about, source="A. Lind", vehicles_per_day=vehicles, geom=spot)


def review(points: Metres, ways: list[Way], **given: Any) -> PlaceReview:  # noqa: ANN401 - any argument
    about = {key: given.pop(key) for key in ("trees", "uncertainty_m", "grows_on", "shape") if key in given}
    place = Place("Alder Bank", FRAME.to_degrees(points), **about)
    settled = {"covered": [WIDE], "data_date": datetime.date(2025, 1, 1), **given}
    found = review_place(place, Known(ways=ways, **settled), today=TODAY, with_drawings=True)
    visible(found)
    assert (found.place_class is None) == (found.could_be is None)
    assert found.words.endswith("This speaks of what is mapped or was told, and of nothing else.")
    return found


def visible(found: PlaceReview) -> str:
    """Give every word of a review that a person may read, after looking at it."""
    said = [found.words, *found.unknown, *found.evidence, *found.looked_for]
    said += [reason.words for reason in (*found.because, *found.could_because)]
    said += [source.reason + source.source for source in found.sources]
    said += [term.reason for term in found.terms] + [spray.reason for spray in found.sprayings]
    said += [question.whom for question in found.questions] + [tree.reason for tree in found.trees]
    text = " ".join(said)
    assert not JUDGING.search(text), JUDGING.search(text)
    assert not FORBIDDEN.search(text)
    return text


@pytest.mark.source(
    item="C9",
    what="index of an L-shaped primary road from map records, its width taken as 0",
    value="0.170028282691, within 1e-5",
    source="25-digit quadrature",
    mark="computed",
)
def test_a_primary_road_with_a_corner() -> None:
    found = review([(0, 0)], [way([(-200, 20), (30, 20), (30, -300)], "primary", name="Long Quay")])
    assert found.traffic_index is not None
    assert found.traffic_index.central == pytest.approx(0.170028282691, rel=1e-5)
    assert found.traffic_index.low < 0.170028282691 / 3
    assert found.traffic_index.high > 0.170028282691 * 3
    assert (found.place_class, found.could_be) == (2, 3)
    (source,) = found.sources
    assert (source.kind, source.name, source.vehicles_per_day) == ("road", "Long Quay", 8905.0)
    assert source.vehicles_low == pytest.approx(8905 / 3)
    assert source.vehicles_high == pytest.approx(8905 * 3)
    assert found.unknown == ()
    assert found.effects[0].high >= found.effects[-1].high
    assert found.because[0].place_class == 2
    assert found.could_because[0].place_class == 3


def test_the_worst_point_stands_and_the_spread_is_told() -> None:
    points: Metres = [(0, 300), (0, 10), (0, 150)]
    found = review(points, [way([(-400, 0), (400, 0)], "primary")])
    assert [found.lon, found.lat] == pytest.approx(list(FRAME.to_degrees([(0, 10)])[0]))
    assert found.points_looked_at == 3
    assert found.spread is not None
    expected = traffic_index([(0, 300), (0, 150), (0, 10)], [[(-400, 0), (400, 0)]], 8905)
    assert (found.spread.lowest, found.spread.median, found.spread.highest) == pytest.approx(
        tuple(expected), rel=1e-5
    )


def test_a_tree_off_the_map_keeps_its_u_beside_the_class() -> None:
    spots = FRAME.to_degrees([(0, -10), (0, 60), (0, 200)])
    trees = tuple(
        TreeAt(tag, "Quercus", *spot) for tag, spot in zip(("on", "off", "far"), spots, strict=True)
    )
    found = review(
        [(0, -20)],
        [way([(-400, -30), (400, -30)], "primary")],
        trees=trees,
        covered=[_ground(box(-500, -500, 500, 0))],
        hazards=[hazard("landfill", box(-20, 50, 20, 70))],
    )
    on, off, far = found.trees
    assert on.unknown == ()
    assert "U" not in on.class_said
    assert off.class_said == "class 4, some things not known (U)"
    assert off.unknown[0] == "roads: no map covers it"
    assert far.class_said == "class 1, some things not known (U)"


def test_a_tree_on_ground_nobody_spoke_of_says_so() -> None:
    (spot,) = FRAME.to_degrees([(0, 0)])
    lawn = hazard("managed turf", box(-9, -9, 9, 9))
    found = review([(0, 0)], [way([(-90, 400), (90, 400)])], trees=(TreeAt("L1", "", *spot),), hazards=[lawn])
    assert found.trees[0].unknown == ("Mown or gardened ground: sprayed? not known",)


def test_each_tree_has_its_own_value() -> None:
    spots = FRAME.to_degrees([(0, 8), (0, 250)])
    trees = tuple(TreeAt(tag, "Quercus", *spot) for tag, spot in zip(("O1", "O2"), spots, strict=True))
    found = review([(0, 120)], [way([(-400, 0), (400, 0)], "primary")], trees=trees)
    near, far = found.trees
    assert near.index is not None
    assert far.index is not None
    assert near.index.central > far.index.central
    assert (near.tag, near.place_class) == ("O1", found.place_class)
    assert "primary road" in near.reason


@pytest.mark.parametrize(("aside", "expected"), [(6.9, 2), (7.1, 1)])
def test_the_five_metres_are_measured_to_the_edge(aside: float, expected: int) -> None:
    lane = way([(-900, 0), (900, 0)], "service", width_m=4.0)
    assert review([(0, aside)], [lane]).place_class == expected


def test_nothing_in_reach_is_class_0_and_says_what_it_does_not_tell() -> None:
    found = review([(0, 0)], [way([(1100, -50), (1100, 50)], "motorway")])
    assert (found.place_class, found.could_be) == (0, 0)
    assert not found.sources
    assert not found.because
    assert found.words.startswith("Nothing that this book can weigh was found: roads within 1,000 m")
    assert "This does not tell whether the ground is polluted." in found.words


def test_far_from_roads_on_a_map_that_has_roads() -> None:
    assert review([(0, 0)], [], motor_roads_in_extract=12).place_class == 0


@pytest.mark.parametrize("ways", [[], [way([(-50, 20), (50, 20)], "footway")]])
def test_a_map_without_a_motor_road_tells_nothing(ways: list[Way]) -> None:
    found = review([(0, 0)], ways)
    assert found.place_class is None
    assert found.unknown == ("no motor road in the extract at all",)


def test_no_map_data_but_a_source_that_was_told_of() -> None:
    silent = review([(0, 0)], [way([(-50, 20), (50, 20)])], covered=[])
    assert (silent.place_class, silent.unknown) == (None, ("no map data covers this place",))
    told = review([(0, 0)], [], covered=[], hazards=[hazard("landfill", box(-20, -20, 20, 20))])
    assert told.place_class == 4
    assert told.unknown[0] == "no map data covers this place"
    assert told.traffic_index is None


def test_a_place_near_the_end_of_the_map() -> None:
    north = float(FRAME.to_degrees([(0, 120)])[0, 1])
    cover = shapely.box(-19.6, 48.5, -19.2, north)
    found = review([(0, 0), (0, -40)], [way([(-90, -20), (90, -20)])], covered=[cover])
    assert found.unknown == ("the map ends 120 m to the north",)
    assert found.questions[0].whom == "bring in a map extract that reaches farther"
    assert found.place_class is not None


def test_a_place_that_straddles_the_end_of_the_map() -> None:
    cover = shapely.box(-19.6, 48.5, -19.2, 48.6)
    found = review([(0, 30), (0, -30)], [way([(-90, 29), (90, 29)])], covered=[cover])
    assert found.unknown[:2] == ("1 of 2 points lies outside the map data", "the map ends 30 m to the north")
    assert found.spread is not None
    assert found.spread.points == 1


def test_a_count_lifts_the_class() -> None:
    lane = way([(-500, 0), (500, 0)], name="Kiln Lane")
    assert review([(0, 12)], [lane]).place_class == 1
    found = review([(0, 12)], [lane], counts=[count((40, 2), 9000.0)])
    assert found.place_class == 2
    assert "A. Lind" in found.sources[0].source


def test_a_count_by_no_road_is_told() -> None:
    counts = [count((40, 300), 9.0), count((0, 9e3), 9.0)]
    found = review([(0, 12)], [way([(-500, 0), (500, 0)])], counts=counts)
    assert found.unknown == ("the count by A. Lind has no motor road within 30 m and was not used",)


def test_a_tunnel_counts_at_its_portals_alone_and_is_named() -> None:
    street = way([(-500, 0), (500, 0)])
    bore = way([(-500, 52), (500, 52)], "trunk", tunnel=True, name="Hill Bore")
    found = review([(0, 12)], [street, bore])
    assert "A tunnel (Hill Bore) runs 40 m away; only its portals are counted." in found.words
    assert [source.name for source in found.sources] == ["residential street without a name"]


def test_what_the_map_does_not_say_is_told() -> None:
    ways = [
        way([(-500, 0), (500, 0)]),
        way([(-500, 60), (500, 60)], "raceway"),
        way([(2e3, 0), (2e3, 9)], "odd"),
    ]
    found = review([(0, 12)], ways, data_date=None)
    assert set(found.unknown) == {
        'ways of the class "raceway" have no number of vehicles and do not count',
        "the map data do not say their date",
    }
    old = review([(0, 12)], ways[:1], data_date=datetime.date(2018, 6, 1))
    assert old.unknown == ("the map data are 7 years old; roads may have changed since",)


def test_a_hard_rule_of_a_source_stands_with_its_reason() -> None:
    found = review([(0, 0)], [way([(-90, 400), (90, 400)])], hazards=[hazard("landfill", box(-9, -9, 9, 9))])
    assert found.place_class == 4
    assert found.because[0].words.startswith("Landfill, the place lies on it")
    assert any("what was tipped" in what for what in found.unknown)


def test_what_is_only_suspected_may_be_so() -> None:
    tip = hazard("landfill", box(-9, -9, 9, 9), standing="suspected")
    found = review([(0, 0)], [way([(-90, 400), (90, 400)])], hazards=[tip])
    assert found.place_class is not None
    assert found.place_class < 4
    assert found.could_be == 4
    assert found.could_because[0].place_class == 4


def test_a_known_spraying_is_class_4_until_a_note_with_a_name_ends_it() -> None:
    lawn, street = box(-9, -9, 9, 9), way([(-90, 400), (90, 400)])
    found = review([(0, 0)], [street], sprayings=[sprayed(lawn, "glyphosate")])
    assert found.place_class == 4
    old = sprayed(lawn, "glyphosate", applied_on=datetime.date(2015, 5, 4))
    assert review([(0, 0)], [street], sprayings=[old]).place_class == 4
    note = {"closed_on": datetime.date(2025, 5, 20), "closed_by": "B. Moss", "closing_note": "turf replaced"}
    ended = review([(0, 0)], [street], sprayings=[sprayed(lawn, "glyphosate", **note)])
    assert ended.place_class is not None
    assert ended.place_class < 4
    assert "B. Moss" in ended.sprayings[0].ended


def test_a_lawn_of_unknown_history_is_asked_about_until_somebody_tells() -> None:
    lawn, street = box(-9, -9, 9, 9), way([(-90, 400), (90, 400)])
    found = review([(0, 0)], [street], hazards=[hazard("managed turf", lawn)])
    assert found.place_class == 1
    assert any(what.endswith("sprayed? not known") for what in found.unknown)
    never = sprayed(lawn, state="never", applied_on=None)
    told = review([(0, 0)], [street], hazards=[hazard("managed turf", lawn)], sprayings=[never])
    assert not any(what.endswith("sprayed? not known") for what in told.unknown)
    assert told.place_class == found.place_class


def test_a_position_whose_error_nobody_noted() -> None:
    found = review([(0, 12)], [way([(-500, 0), (500, 0)])], uncertainty_m=None)
    assert found.unknown == ("how exact the position is was not noted, so the range leaves it out",)


def test_what_it_grows_on_is_told_by_her() -> None:
    found = review([(0, 0)], [way([(-90, 400), (90, 400)])], grows_on=frozenset({"treated timber"}))
    assert found.place_class == 4


def test_the_small_map_and_the_profile_show_what_lies_near() -> None:
    ways = [way([(-500, 30), (500, 30)], "primary", name="Long Quay"), way([(0, 90), (9, 90)], "footway")]
    outline = _ground(box(-20, -20, 20, 20))
    found = review([(0, 0)], ways, hazards=[hazard("fuel station", Point(50, 0))], shape=outline)
    drawn, profile = found.surroundings, found.profile
    assert drawn is not None
    assert [road.name for road in drawn.roads] == ["Long Quay"]
    assert {ground.kind for ground in drawn.grounds} == {"covered", "source"}
    assert drawn.outline_m.area == pytest.approx(1600, rel=1e-3)
    assert profile is not None
    assert profile.road == "Long Quay"
    assert abs(profile.place_m) == pytest.approx(30, abs=0.01)
    assert all(low <= high for low, high in zip(profile.low, profile.high, strict=True))


@pytest.mark.parametrize(("lon", "lat"), [(180.0, -16.5), (-179.9999, 70.5), (18.9, 78.0)])
def test_places_at_the_seam_and_far_north(lon: float, lat: float) -> None:
    frame = LocalMetres(lon, lat)
    line = frame.to_degrees([(-300, 20), (300, 20)])
    road = Way(uuid="a", road_class="primary", width_m=LINE_M, geom=LineString(line))
    halves = [shapely.box(-180, lat - 1, -160, lat + 1), shapely.box(0, lat - 1, 180, lat + 1)]
    known = Known(ways=[road], covered=halves, data_date=TODAY)
    found = review_place(Place("there", np.array([[lon, lat]])), known, today=TODAY, with_drawings=True)
    assert found.traffic_index is not None
    expected = traffic_index([[0, 0]], [[(-300, 20), (300, 20)]], 8905)[0]
    assert found.traffic_index.central == pytest.approx(expected, rel=1e-6)
    assert found.unknown == ()


def test_what_must_be_loaded() -> None:
    (window,) = needs(Place("there", np.array([[-19.4, 48.6]])))
    east, north = FRAME.to_metres([[window.east, 48.6], [-19.4, window.north]])
    assert 1330.0 < east[0] < 1360.0
    assert 1330.0 < north[1] < 1360.0
    assert len(needs(Place("there", np.array([[179.999, 10.0]])))) == 2


def test_a_place_needs_a_point_on_the_globe() -> None:
    with pytest.raises(ValueError, match="at least one point"):
        Place("x", np.empty((0, 2)))
    with pytest.raises(PositionImpossible):
        Place("x", np.array([[10.0, 95.0]]))


def test_a_self_crossing_outline_and_a_source_a_kilometre_long() -> None:
    bow = shapely.Polygon([(-30, -30), (30, 30), (30, -30), (-30, 30)])
    line = LineString([(-500, 15), (500, 15)])
    street = way([(-90, 400), (90, 400)])
    found = review([(0, 0)], [street], hazards=[hazard("landfill", bow), hazard("railway", line)])
    assert found.place_class is not None
    assert any("crosses itself" in what for what in found.unknown)
    assert {term.kind for term in found.terms} == {"landfill", "railway"}


def test_a_review_can_be_kept_as_it_is() -> None:
    found = review([(0, 12)], [way([(-500, 0), (500, 0)])])
    assert replace(found, name="Elsewhere") != found
