"""Tests of what sprayings near a place do to it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPoint, Point, box

from sitebook import vocabulary
from sitebook.analysis.contamination.drift import drift_percent
from sitebook.analysis.contamination.sprayings import RainSeen, Told, needs, spray_terms_at
from sitebook.errors import PositionImpossible
from sitebook.records.spraying import Spraying
from tests.analysis.contamination.spraying_made import LAT, LON, NOW, TODAY, active, one, spraying, terms
from tests.house.judging_words import JUDGING

BESIDE = box(12, -20, 60, 20)
UNDER = box(-20, -20, 20, 20)
SUMMER = datetime.date(2026, 7, 1)


def beside(distance_m: float, **more: object) -> Spraying:
    return spraying(box(distance_m, -200, distance_m + 100, 200), **more)


def test_sprayed_ground_is_left_whatever_the_day() -> None:
    for day in (datetime.date(2026, 5, 31), datetime.date(1950, 6, 1), None):
        term = one(Told(spraying(UNDER, applied_on=day), [active("2,4-D")]))
        assert (term.floor_class, term.could_be_floor, term.inside, term.direction) == (4, 4, True, "")
        assert term.drift_percent.central == term.drift_percent.low == term.drift_percent.high == 100.0
        assert "left, by our rule; no number of days ends that" in term.reason


def test_the_words_of_a_lawn_beside_the_place() -> None:
    term = one(Told(spraying(BESIDE), [active("2,4-D"), active("dicamba")]))
    assert term.reason == (
        "Church lawn, 12 m to the east: sprayed on 2026-05-02, with 2,4-D and dicamba, told by the parish "
        "office on 2026-05-03. Where it lies is taken exactly as told. In 90 of 100 trials no more than "
        "0.24 % of the rate settled at this distance; that the wind blew this way is assumed. Drift curve: "
        "plants below 50 cm, lawns among them (FOCUS "
        "surface water scenarios, appendix B table B.1 [focus2001]). Time alone lowers no class, by our "
        "choice."
    )
    assert (term.source, term.mark) == ("told by the parish office on 2026-05-03", "confirmed")
    assert (term.days_words, term.drift_group, term.unknown) == ("on 2026-05-02", "arable_below_50cm", ())


@pytest.mark.parametrize(
    ("group", "distance_m", "floor"),
    [
        ("arable_below_50cm", 2.7, 3),
        ("arable_below_50cm", 3.0, 2),
        ("arable_below_50cm", 29.0, 2),
        ("arable_below_50cm", 30.5, 1),
        ("vines_late_or_above_50cm", 11.3, 3),
        ("vines_late_or_above_50cm", 11.5, 2),
        ("vines_late_or_above_50cm", 50.5, 1),
        ("railway", 0.5, 1),
        ("hops", 299.0, 1),
    ],
)
def test_drift_makes_the_class_beside_it(group: str, distance_m: float, floor: int) -> None:
    term = one(beside(distance_m, drift_group=group))
    assert term.floor_class == floor
    assert term.drift_percent.central == pytest.approx(float(drift_percent(distance_m, group)), rel=1e-4)


@pytest.mark.source(
    item="C20",
    what="drift beside a sprayed lawn at 1, 3 and 5 m, told of a place",
    value="2.7593, 0.9424748, 0.5719342",
    source="FOCUS 2001, appendix B table B.1",
    mark="confirmed",
)
def test_a_place_gets_the_drift_of_the_curve() -> None:
    found = [one(beside(distance_m)).drift_percent.central for distance_m in (1, 3, 5)]
    assert found == pytest.approx([2.7593, 0.9424748, 0.5719342], rel=1e-5)


def test_nearer_than_a_metre_the_value_at_a_metre_stands() -> None:
    term = one(beside(0.7))
    assert term.drift_percent.central == pytest.approx(2.7593)
    assert "The curve begins at 1 m" in term.reason
    assert not term.inside


def test_more_applications_never_make_less() -> None:
    totals = [one(beside(12, applications=n)).drift_percent.central * n for n in range(1, 10)]
    assert totals == sorted(totals)
    eight = one(beside(12, applications=8))
    assert eight.drift_percent.central == pytest.approx(float(drift_percent(12, "arable_below_50cm", 8)))
    assert "That is each time; 8 times make 1" in eight.reason
    assert eight.floor_class == 3
    hops = one(beside(12, applications=2, drift_group="hops"))
    assert "by the curve for one as there is no other" in hops.reason


def test_the_way_of_spraying_tells_a_curve_where_no_group_is_told() -> None:
    groups = {
        method: one(beside(12, method=method)).drift_group for method in ("aerial", "railway", "knapsack")
    }
    assert groups == {"aerial": "aerial", "railway": "railway", "knapsack": "arable_below_50cm"}
    told = one(beside(12, method="railway", drift_group="hops"))
    assert told.drift_group == "hops"


def test_a_blower_with_no_crop_told_could_be_more() -> None:
    term = one(beside(12, method="blower"))
    assert (term.floor_class, term.could_be_floor) == (2, 3)
    assert term.drift_percent.high == pytest.approx(float(drift_percent(12, "fruit_early")), rel=1e-5)
    assert "Church lawn: what grew there, and was it in leaf?" in term.unknown


def test_an_injected_trunk_reaches_as_far_as_its_crown() -> None:
    under = one(spraying(Point(9, 0), method="trunk injection"))
    assert (under.floor_class, under.inside) == (4, True)
    beyond = one(spraying(Point(15, 0), method="trunk injection"))
    assert (beyond.floor_class, beyond.drift_percent.high, beyond.drift_group) == (1, 0.0, "")
    assert beyond.distance_m == pytest.approx(5.0, abs=0.02)
    assert "taken not to drift" in beyond.reason
    assert one(spraying(LineString([(9, -50), (9, 50)]), method="trunk injection")).floor_class == 4


def test_what_is_spread_dry_does_not_drift() -> None:
    term = one(spraying(BESIDE, method="granules"))
    assert (term.floor_class, term.drift_percent.central) == (1, 0.0)
    assert term.reason.endswith("Spread dry, it is taken not to drift, by our choice.")


def test_points_and_lines_have_a_width() -> None:
    assert one(spraying(Point(9, 0))).inside
    assert not one(spraying(Point(11, 0))).inside
    assert one(spraying(MultiPoint([(9, 0), (500, 0)]))).inside
    assert one(spraying(LineString([(2.5, -50), (2.5, 50)]))).inside
    assert not one(spraying(LineString([(3.6, -50), (3.6, 50)]))).inside


@pytest.mark.parametrize(
    ("applied_on", "floor", "could_be", "said"),
    [
        (SUMMER, 0, 0, "planned to be sprayed on 2026-07-01"),
        (datetime.date(2026, 5, 20), 0, 4, "nobody says that it was done"),
        (TODAY, 0, 4, "nobody says that it was done"),
        (None, 0, 4, "on a day not known"),
    ],
)
def test_what_is_planned(applied_on: datetime.date | None, floor: int, could_be: int, said: str) -> None:
    term = one(spraying(UNDER, state="planned", applied_on=applied_on))
    assert (term.floor_class, term.could_be_floor) == (floor, could_be)
    assert said in term.reason
    asked = "Church lawn: was it done?" in term.unknown
    assert asked == (could_be == 4)
    assert ("still to come" in term.reason) == (could_be == 0)


def test_nothing_planned_is_left_in_the_soil_before_its_day() -> None:
    term = one(Told(spraying(UNDER, state="planned", applied_on=SUMMER), [active("copper")]))
    assert term.actives[0].soil_left is None
    assert term.actives[0].soil_mg_kg is None


def test_a_word_that_it_never_was() -> None:
    term = one(spraying(UNDER, state="never", applied_on=None))
    assert (term.floor_class, term.could_be_floor, term.unknown, term.days_words) == (0, 0, (), "")
    assert "told by the parish office on 2026-05-03 that this ground was never sprayed" in term.reason
    both = terms(Told(spraying(UNDER, state="never", applied_on=None)), Told(spraying(UNDER)))
    assert [each.floor_class for each in both] == [4, 0]


def test_a_word_that_nobody_knows() -> None:
    term = one(spraying(UNDER, state="not known", applied_on=None))
    assert (term.floor_class, term.could_be_floor) == (0, 0)
    assert (term.unknown, term.whom) == (("Church lawn: sprayed? not known",), "whoever manages the ground")
    far = box(60, -5, 70, 5)
    assert terms(Told(spraying(far, state="not known")), Told(spraying(far, state="never"))) == ()


def test_what_is_not_known_of_a_spraying_is_asked() -> None:
    bare = spraying(UNDER, applied_on=None, method=None, told_on=None)
    assert one(bare).unknown == (
        "Church lawn: on which day is it sprayed?",
        "Church lawn: with what is it sprayed?",
        "Church lawn: how is it brought out?",
    )
    assert (one(bare).source, one(bare).whom) == (
        "told by the parish office on a day not noted",
        "the parish office",
    )
    odd = one(Told(spraying(UNDER, applied_on=SUMMER), [active("moss killer", None, None)]))
    assert odd.floor_class == 4
    assert odd.unknown == (
        "Church lawn: noted as done on a day still to come; which day is meant?",
        "Church lawn: how much moss killer is brought out?",
        "Church lawn: moss killer: no half-life known to the book",
    )


def test_a_spraying_is_named_within_its_reach() -> None:
    assert len(terms(Told(beside(297)))) == 1
    assert terms(Told(beside(303))) == ()
    assert terms(Told(beside(303)), uncertainty_m=10)[0].floor_class == 0
    assert terms(Told(beside(303)), uncertainty_m=10)[0].could_be_floor == 1
    assert one(beside(2000, method="aerial")).floor_class == 2
    window = needs([[LON, LAT]], uncertainty_m=100)[0]
    assert (window.north - LAT) * 111_200 == pytest.approx(3110, rel=0.02)


def test_what_is_withdrawn_is_not_there() -> None:
    assert terms(Told(spraying(UNDER, withdrawn_at=NOW))) == ()
    term = one(Told(spraying(UNDER), [active("copper", withdrawn_at=NOW)]))
    assert term.actives == ()


def test_the_range_of_a_position_holds_both_sides_of_the_edge() -> None:
    term = one(spraying(BESIDE), uncertainty_m=15)
    assert (term.floor_class, term.could_be_floor, term.nearest_m) == (2, 4, 0.0)
    assert term.drift_percent.low == pytest.approx(float(drift_percent(27, "arable_below_50cm")), rel=1e-4)
    assert term.drift_percent.high == 100.0
    inside = one(spraying(UNDER), uncertainty_m=25)
    assert (inside.floor_class, inside.drift_percent.central) == (4, 100.0)
    assert inside.drift_percent.low == pytest.approx(float(drift_percent(5, "arable_below_50cm")), rel=1e-4)
    assert one(spraying(UNDER), uncertainty_m=15).drift_percent.low == 100.0


def test_impossible_places_are_refused() -> None:
    with pytest.raises(PositionImpossible):
        spray_terms_at([[200.0, 0.0]], [], today=TODAY, rain=RainSeen())
    with pytest.raises(ValueError, match="at least one place"):
        spray_terms_at([], [], today=TODAY, rain=RainSeen())
    with pytest.raises(ValueError, match="uncertainty"):
        spray_terms_at([[0.0, 0.0]], [], today=TODAY, rain=RainSeen(), uncertainty_m=-1.0)


DAYS = st.none() | st.dates(datetime.date(2020, 1, 1), datetime.date(2027, 12, 31))
GROUPS = st.none() | st.sampled_from(vocabulary.DRIFT_GROUP.all)


@st.composite
def told(draw: st.DrawFn) -> Told:
    """Draw a spraying of a square near the place, of any kind."""
    east, north, side = (draw(st.floats(-200, 200)), draw(st.floats(-200, 200)), draw(st.floats(1, 80)))
    more = {
        "state": draw(st.sampled_from(vocabulary.SPRAYING_STATE.all)),
        "applied_on": draw(DAYS),
        "applied_on_end": draw(DAYS),
        "method": draw(st.none() | st.sampled_from(vocabulary.SPRAYING_METHOD.all)),
        "drift_group": draw(GROUPS),
        "applications": draw(st.integers(1, 10)),
        "closed_on": draw(DAYS),
        "closed_by": draw(st.sampled_from([None, "A. Warden"])),
        "closing_note": draw(st.sampled_from([None, "soil was replaced"])),
    }
    names = draw(st.lists(st.sampled_from(["2,4-D", "copper", "soap", "azoxystrobin"]), max_size=3))
    rate, unit = draw(st.none() | st.floats(0, 5000)), draw(st.sampled_from(vocabulary.RATE_UNIT.all))
    shape = box(east, north, east + side, north + side)
    return Told(spraying(shape, **more), [active(name, rate, unit) for name in names])


def highest(sprayings: Sequence[Told], uncertainty_m: float = 0.0) -> tuple[int, int]:
    found = terms(*sprayings, uncertainty_m=uncertainty_m)
    floors = [term.floor_class for term in found]
    return max(floors, default=0), max((term.could_be_floor for term in found), default=0)


@settings(max_examples=60, deadline=None)
@given(st.lists(told(), max_size=3), told())
def test_no_spraying_added_lowers_a_class(first: list[Told], added: Told) -> None:
    before, after = highest(first), highest([*first, added])
    assert after[0] >= before[0]
    assert after[1] >= before[1]


@settings(max_examples=100, deadline=None)
@given(told(), st.floats(0, 100), st.floats(0, 100))
def test_a_wider_range_never_lowers_what_could_be(sprayed: Told, narrow_m: float, more_m: float) -> None:
    narrow, wide = highest([sprayed], narrow_m), highest([sprayed], narrow_m + more_m)
    assert wide[1] >= narrow[1] >= narrow[0]


@settings(max_examples=150, deadline=None)
@given(told(), st.floats(0, 50))
def test_words_and_ranges_of_any_spraying(sprayed: Told, uncertainty_m: float) -> None:
    for term in terms(sprayed, uncertainty_m=uncertainty_m):
        said = " ".join([term.reason, term.source, *term.unknown, *(each.said for each in term.actives)])
        assert not JUDGING.search(said)
        assert "None" not in said
        assert "nan" not in said.split()
        bands = [term.drift_percent, *(b for a in term.actives for b in (a.soil_left, a.soil_mg_kg) if b)]
        assert all(0.0 <= band.low <= band.central <= band.high for band in bands)
        assert 0 <= term.floor_class <= term.could_be_floor <= 4
        counts = term.state == "done" and not term.ended
        assert (term.floor_class == 4) == (counts and term.inside)
