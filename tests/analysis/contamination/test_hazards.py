"""Tests of what sources other than roads add to a place."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.analysis.contamination.hazards import area_term_of, needs, terms_at, terms_of
from sitebook.analysis.contamination.kernel import area_weight
from sitebook.citations import MARKS
from sitebook.errors import PositionImpossible
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Hazard
from sitebook.records.results.source_term import SourceTerm
from sitebook.reference import reader
from sitebook.reference.map_tags import hazard_kinds
from tests.house.judging_words import JUDGING
from tests.house.source_files import REPOSITORY

LON, LAT = -19.4, 48.6
TODAY = datetime.date(2026, 6, 1)
NOW = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC)
KINDS = sorted(hazard_kinds())
STANDINGS = vocabulary.HAZARD_STANDING.all


def hazard(kind: str, shape_m: BaseGeometry, lon: float = LON, lat: float = LAT, **more: object) -> Hazard:
    """Give a source whose shape is told in metres round a place."""
    values: dict[str, object] = {
        "uuid": "made for a test",
        "created_at": NOW,
        "changed_at": NOW,
        "kind": kind,
        "origin": "told",
        "source": "a neighbour",
        "geom": shapely.transform(shape_m, LocalMetres(lon, lat).to_degrees),
    }
    return Hazard(**{**values, **more})  # type: ignore[arg-type]


def terms(*hazards: Hazard, uncertainty_m: float = 0.0) -> tuple[SourceTerm, ...]:
    return terms_of(LON, LAT, hazards, today=TODAY, uncertainty_m=uncertainty_m)


def one(*hazards: Hazard, uncertainty_m: float = 0.0) -> SourceTerm:
    (term,) = terms(*hazards, uncertainty_m=uncertainty_m)
    return term


def test_a_landfill_beside_the_place() -> None:
    term = one(hazard("landfill", box(40, -50, 140, 50), name="Old tip", past_use="gravel pit"))
    assert term.distance_m == pytest.approx(40, abs=1e-3)
    assert (term.direction, term.name, term.members) == ("east", "Old tip", 1)
    assert (term.floor_class, term.could_be_floor, term.hard) == (2, 2, False)
    expected = [area_weight([[0, 0]], box(40, -50, 140, 50), scale)[0] for scale in (10, 5, 20)]
    assert term.value.central == pytest.approx(expected[0], abs=1e-6)
    assert (term.value.low, term.value.high) == pytest.approx((min(expected), max(expected)), abs=1e-6)
    assert term.reason == (
        "Landfill (Old tip), 40 m to the east, told: mixed waste. Where it lies is taken exactly as told. "
        "That is within 100 m: our choice. Used before as: gravel pit."
    )
    assert term.unknown == ("Landfill (Old tip): what was tipped and up to when?",)
    assert (term.source, term.mark, term.limit_m, term.length_scale_m) == ("a neighbour", "memory", 100, 10)


def test_the_place_of_what_a_map_shows_is_not_called_told() -> None:
    square = box(40, -50, 140, 50)
    for origin, said in (("told", True), ("seen", True), ("extract", False)):
        term = one(hazard("landfill", square, origin=origin))
        assert ("Where it lies is taken exactly as told." in term.reason) == said


def test_inside_a_landfill_everything_is_left() -> None:
    term = one(hazard("landfill", box(-50, -50, 50, 50)))
    assert (term.distance_m, term.direction, term.hard, term.floor_class) == (0.0, "", True, 4)
    assert term.reason.endswith("Inside it everything is left, by our rule.")
    assert term.value.central > 0.9


@pytest.mark.parametrize(
    ("kind", "limit_m"), [(k, v.distance_m.value) for k, v in hazard_kinds().items() if v.distance_m]
)
def test_the_published_or_agreed_distance_is_the_floor_of_class_2(kind: str, limit_m: float) -> None:
    inside = one(hazard(kind, box(0.99 * limit_m, -5, 0.99 * limit_m + 20, 5)))
    assert inside.floor_class == 2
    reach_m = hazard_kinds()[kind].reach_m.value
    beyond = one(hazard(kind, box(min(1.1 * limit_m + 2, reach_m - 1), -5, reach_m + 20, 5)))
    assert beyond.floor_class == (1 if reach_m > limit_m + 3 else 2)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_named_up_to_its_reach_and_no_farther(kind: str) -> None:
    reach_m = hazard_kinds()[kind].reach_m.value
    assert len(terms(hazard(kind, box(reach_m - 3, -5, reach_m + 100, 5)))) == 1
    assert terms(hazard(kind, box(reach_m + 3, -5, reach_m + 100, 5))) == ()


def test_what_is_needed_reaches_as_far_as_each_kind() -> None:
    wanted = needs([[LON, LAT]])
    assert sorted(kind for want in wanted for kind in want.kinds) == KINDS
    assert [want.kinds for want in wanted[1:]] == [("airfield",), ("smelter",)]
    heights = [(want.windows[0].north - LAT) * 111_200 for want in wanted]
    assert heights == pytest.approx([300, 1000, 6000], rel=0.02)


def test_what_is_suspected_makes_only_what_could_be() -> None:
    term = one(hazard("old orchard", box(-50, -50, 50, 50), standing="suspected"))
    assert (term.hard, term.floor_class, term.could_be_floor) == (False, 1, 4)
    assert term.value.central > 0.9
    assert term.unknown[0] == "Orchard from before about 1950: is it so, or only suspected?"
    told = one(hazard("old orchard", box(-50, -50, 50, 50), standing="told"))
    assert (told.hard, told.floor_class) == (True, 4)


def test_the_uncertainty_of_a_position_widens_the_range() -> None:
    tip = hazard("landfill", box(8, -50, 108, 50))
    sharp, blurred = one(tip), one(tip, uncertainty_m=10.0)
    assert (sharp.could_be_floor, blurred.could_be_floor) == (2, 4)
    assert blurred.distance_m == pytest.approx(8, abs=1e-3)
    assert blurred.nearest_m == 0.0
    assert blurred.value.low < sharp.value.low < sharp.value.high < blurred.value.high
    assert blurred.value.central == pytest.approx(sharp.value.central)
    assert len(terms(hazard("landfill", box(305, -5, 400, 5)), uncertainty_m=10.0)) == 1


def test_points_are_discs_lines_are_strips_and_houses_are_walls() -> None:
    tank = one(hazard("industry", Point(50, 0)))
    assert tank.distance_m == pytest.approx(30, abs=0.1)
    track = one(hazard("railway", LineString([(-4000, 12.5), (4000, 12.5)])))
    assert track.distance_m == pytest.approx(10, abs=0.05)
    assert track.value.central == pytest.approx((np.exp(-1.0) - np.exp(-1.5)) / 2, abs=2e-4)
    house = one(hazard("old house", box(-10, -10, 10, 10)))
    assert house.distance_m == pytest.approx(9, abs=0.01)
    strip = box(-11, -11, 11, 11).difference(box(-9, -9, 9, 9))
    assert house.value.central == pytest.approx(float(area_weight([[0, 0]], strip, 10)[0]), abs=1e-3)


def test_areas_of_one_kind_that_overlap_count_once() -> None:
    left, right = box(20, -50, 80, 50), box(60, -50, 120, 50)
    same = one(hazard("landfill", left), hazard("landfill", right))
    union = float(area_weight([[0, 0]], box(20, -50, 120, 50), 10)[0])
    assert same.members == 2
    assert ", the nearest of 2, 20 m to the east" in same.reason
    assert same.value.central == pytest.approx(union, abs=1e-6)
    named = terms(hazard("landfill", left, name="A"), hazard("landfill", right, name="B"))
    assert len(named) == 2
    assert area_term_of(named).central == pytest.approx(union, abs=1e-6)
    other = terms(hazard("landfill", left), hazard("brownfield", left))
    assert area_term_of(other).central == pytest.approx(max(term.value.central for term in other))


def test_what_is_gone_stays_in_the_soil_where_the_kind_says_so() -> None:
    closed = datetime.date(1990, 5, 1)
    tip = one(hazard("landfill", box(-50, -50, 50, 50), valid_to=closed))
    assert tip.hard
    assert tip.until == closed
    assert "There until 1990-05-01; the soil may keep what it left." in tip.reason
    mapped = one(hazard("parking", box(10, 0, 20, 10), valid_to=closed, origin="extract"))
    assert "Not on the map any more since 1990-05-01" in mapped.reason
    assert terms(hazard("managed turf", box(-50, -50, 50, 50), valid_to=closed)) == ()
    assert terms(hazard("landfill", box(-50, -50, 50, 50), valid_from=datetime.date(2027, 1, 1))) == ()
    assert terms(hazard("landfill", box(-50, -50, 50, 50), withdrawn_at=NOW)) == ()


def test_spray_history_is_asked_near_by_only() -> None:
    lawn = one(hazard("managed turf", box(20, -50, 80, 50)))
    assert lawn.unknown == ("Mown or gardened ground: sprayed? not known",)
    assert lawn.spraying_asked == lawn.unknown[0]
    assert one(hazard("landfill", box(20, -50, 80, 50))).spraying_asked == ""
    assert one(hazard("managed turf", box(60, -50, 80, 50))).unknown == ()


def test_what_grows_on_treated_timber_is_left_whether_or_not_a_map_shows_it() -> None:
    pole = hazard("treated timber", Point(0, 0))
    assert [term.hard for term in terms(pole)] == [False]
    noted = terms_of(LON, LAT, [pole], today=TODAY, grows_on={"treated timber"})
    assert [(term.hard, term.floor_class, term.members) for term in noted] == [(True, 4, 0), (False, 2, 1)]
    assert noted[0].reason.startswith("It grows on this: Pole or other treated timber")
    with pytest.raises(ValueError, match="'landfill' is no kind of source whose rule"):
        terms_of(LON, LAT, [], today=TODAY, grows_on={"landfill"})


def test_a_told_old_main_road_keeps_its_traffic() -> None:
    road = LineString([(-200, 20), (200, 20)])
    term = one(hazard("old main road", road, vehicles_per_day=12_000.0, past_use="trunk road to 1975"))
    assert "It once carried about 12,000 vehicles a day. Used before as: trunk road to 1975." in term.reason
    assert (term.floor_class, term.unknown) == (2, ())
    assert (
        one(hazard("old main road", road)).unknown[0].endswith("how many vehicles a day did it carry then?")
    )


def test_a_brownfield_asks_what_stood_there_unless_it_was_told() -> None:
    ground = box(10, -10, 30, 10)
    assert one(hazard("brownfield", ground)).unknown == ("Brownfield: what stood there before?",)
    assert one(hazard("brownfield", ground, past_use="dye works")).unknown == ()
    assert one(hazard("landfill", ground, past_use="gravel pit")).unknown


def test_an_outline_that_crosses_itself_is_taken_as_what_it_encloses_and_said() -> None:
    bow = Polygon([(-10, 0), (10, 40), (10, 0), (-10, 40)])
    term = one(hazard("landfill", bow))
    assert term.unknown[0] == ("Landfill: an outline crosses itself and was taken as the ground it encloses")
    sound = shapely.make_valid(bow)
    assert term.value.central == pytest.approx(float(area_weight([[0, 0]], sound, 10)[0]), abs=1e-5)


def test_a_kind_that_the_table_does_not_know_counts_as_a_tagged_hazard() -> None:
    assert one(hazard("something new", box(20, -5, 30, 5))).kind == "tagged hazard"


def test_places_come_back_in_their_order_with_the_worst_source_first() -> None:
    sources = [hazard("landfill", box(-20, -20, 20, 20)), hazard("parking", box(100, -20, 140, 20))]
    frame = LocalMetres(LON, LAT)
    places = frame.to_degrees([[0, 0], [95, 0], [0, 2000]])
    found = terms_at(places, sources, today=TODAY)
    assert [[term.kind for term in each] for each in found] == [
        ["landfill", "parking"],
        ["parking", "landfill"],
        [],
    ]


@pytest.mark.parametrize(
    ("lon", "lat"), [(-19.4, 48.6), (24.9, 70.0), (180.0, -17.5), (-179.9999, 65.0), (0.0, 0.0)]
)
def test_any_place_on_the_globe_gives_the_same_terms(lon: float, lat: float) -> None:
    shapes: Sequence[tuple[str, BaseGeometry]] = [
        ("landfill", box(40, -50, 140, 50)),
        ("railway", LineString([(-200, -30), (200, -35)])),
        ("industry", Point(-80, 10)),
    ]
    here = terms_of(LON, LAT, [hazard(k, s) for k, s in shapes], today=TODAY)
    there = terms_of(lon, lat, [hazard(k, s, lon, lat) for k, s in shapes], today=TODAY)
    for a, b in zip(here, there, strict=True):
        assert b.distance_m == pytest.approx(a.distance_m, abs=1e-2)
        assert b.value.central == pytest.approx(a.value.central, abs=1e-4)
        assert (b.direction, b.floor_class) == (a.direction, a.floor_class)


def test_an_area_split_at_180_degrees_is_one() -> None:
    west, east = box(179.999, -17.5, 180.0, -17.499), box(-180.0, -17.5, -179.999, -17.499)
    tip = hazard("landfill", Point(0, 0), geom=shapely.union_all([west, east]))
    (term,) = terms_of(180.0, -17.4995, [tip], today=TODAY)
    assert term.hard
    assert term.value.central == pytest.approx(1.0, abs=0.01)


SOURCES = st.tuples(
    st.sampled_from(KINDS),
    st.floats(-200, 200),
    st.floats(-200, 200),
    st.floats(2, 120),
    st.sampled_from(STANDINGS),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(SOURCES, min_size=1, max_size=5), st.floats(0, 30))
def test_no_source_added_ever_lowers_a_floor_or_the_area_term(
    given_sources: list[tuple[str, float, float, float, str]], uncertainty_m: float
) -> None:
    hazards = [hazard(k, box(x, y, x + side, y + side), standing=s) for k, x, y, side, s in given_sources]
    before, after = (
        terms(*hazards[:-1], uncertainty_m=uncertainty_m),
        terms(*hazards, uncertainty_m=uncertainty_m),
    )

    def floors(found: tuple[SourceTerm, ...]) -> tuple[int, int]:
        return (
            max((term.floor_class for term in found), default=0),
            max((term.could_be_floor for term in found), default=0),
        )

    assert all(a >= b for a, b in zip(floors(after), floors(before), strict=True))
    assert area_term_of(after).central >= area_term_of(before).central - 2e-6
    for term in after:
        assert term.value.low <= term.value.central <= term.value.high
        assert term.could_be_floor >= term.floor_class
        assert term.mark in MARKS


def test_turning_everything_round_the_place_changes_only_the_direction() -> None:
    shape = affinity.translate(box(0, 0, 30, 10), 15, -3)
    before = one(hazard("landfill", shape))
    for turn_deg in (37.0, 90.0, 211.0):
        after = one(hazard("landfill", affinity.rotate(shape, turn_deg, origin=(0, 0))))
        assert after.distance_m == pytest.approx(before.distance_m, abs=1e-3)
        assert after.value.central == pytest.approx(before.value.central, abs=1e-5)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("standing", STANDINGS)
def test_nothing_that_is_said_judges(kind: str, standing: str) -> None:
    for east in (0.0, 30.0, 250.0):
        for term in terms(hazard(kind, box(east, 0, east + 10, 10), standing=standing)):
            said = " ".join([term.title, term.reason, *term.unknown])
            assert not JUDGING.search(said), said


def test_the_page_shows_every_number_of_the_area_term() -> None:
    page = (REPOSITORY / "docs" / "contamination-model.md").read_text(encoding="utf-8")
    for row in reader.rows("areas_model"):
        assert f"| `{row['name']}` | {row['value']} | {row['unit']} | {row['why']} | {row['mark']} |" in page


def test_impossible_places_are_refused() -> None:
    with pytest.raises(PositionImpossible):
        terms_of(200.0, 0.0, [], today=TODAY)
    with pytest.raises(ValueError, match="at least one place"):
        terms_at(np.empty((0, 2)), [], today=TODAY)
    with pytest.raises(ValueError, match="an uncertainty of 0 or more"):
        terms_of(LON, LAT, [], today=TODAY, uncertainty_m=-1.0)
    assert terms_of(LON, LAT, [], today=TODAY) == ()
    assert area_term_of(()).central == 0.0


def test_an_orchard_of_unknown_age_could_be_one_of_the_lead_years() -> None:
    term = one(hazard("orchard", box(-20, -20, 20, 20)))
    assert (term.floor_class, term.could_be_floor, term.hard) == (1, 4, False)
    assert one(hazard("orchard", box(30, -20, 60, 20))).could_be_floor == 1
