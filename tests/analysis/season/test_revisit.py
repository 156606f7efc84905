"""How much a tree bears, what grew again, whether it is still there, and what is worth trying."""

from __future__ import annotations

import datetime
import itertools
from dataclasses import replace

import numpy as np
import pytest

from sitebook.analysis.season import productivity, revisit
from sitebook.analysis.season.ends import usual_curve
from sitebook.analysis.season.lives import life_of
from sitebook.analysis.season.revisit import Key, Record
from sitebook.analysis.season.revisit_words import Told, reasons, weather_words
from sitebook.analysis.season.spot_looks import FindDay
from sitebook.analysis.season.weather_effect import effect
from sitebook.records.results.fruiting import Chance, Spot
from tests.analysis.season.test_spots import BIRCH, BOLETE, LOOKS, OAK, SITE, TREE, fitted, look

ON = datetime.date(2025, 9, 20)
NOTHING = Record(0, 0, 0, 0.0, 0, None, None)


def test_records_count_looks_before_the_day_and_empty_ones_in_season_since_the_last_find() -> None:
    taken = FindDay(BOLETE, SITE, BIRCH, datetime.date(2024, 9, 15), datetime.date(2024, 9, 15), taken=True)
    later = FindDay(BOLETE, SITE, BIRCH, datetime.date(2025, 10, 1), datetime.date(2025, 10, 1), taken=True)
    more = [
        look(2025, 8, BIRCH, found=False),
        look(2025, 9, BIRCH, found=False),
        look(2025, 10, BIRCH, found=True),
    ]
    found = revisit.records_of(fitted([*LOOKS, *more]), [taken, later], ON)[SITE, BIRCH]
    assert (found.looks, found.found) == (20, 6)
    assert found.last_find == datetime.date(2024, 10, 15)
    assert found.picked_on == datetime.date(2024, 9, 15)
    assert found.empty_since == 1, "the looks say that August is out of season"
    assert 0.25 <= found.empty_exposure <= 1.0
    assert 0.0 < found.exposure < found.looks


def test_a_bearing_tree_stands_above_an_empty_one_of_its_kind_and_both_are_drawn_together() -> None:
    spots = [Spot(SITE, n, "Green", f"B{n}", 90, "Betula pendula") for n in range(1, 6)]
    records: dict[Key, Record] = {
        (SITE, n): replace(NOTHING, looks=8, found=n, exposure=6.0) for n in range(1, 6)
    }
    found = revisit.bearings(records, spots)
    rates = [found[SITE, n].rate for n in range(1, 6)]
    assert rates == sorted(rates)
    alone = 100.0 * -np.expm1(-5.0 / 6.0)
    assert rates[-1] < alone
    assert found[SITE, 1].drawn_towards == "5 trees of Betula pendula"
    assert all(one.low < one.rate < one.high for one in found.values())


def test_barren_trees_of_the_host_count_and_the_sentence_contradicts_no_chance() -> None:
    spots = [Spot(SITE, n, "Green", f"B{n}", 90, "Betula pendula") for n in range(1, 9)]
    records: dict[Key, Record] = {
        (SITE, n): replace(NOTHING, looks=8, found=4 * (n < 3), exposure=6.0) for n in range(1, 9)
    }
    few = revisit.bearings(records, spots[:2])[SITE, 1]
    whole = revisit.bearings(records, spots[:2], spots)
    assert set(whole) == {(SITE, 1), (SITE, 2)}
    assert whole[SITE, 1].rate < few.rate
    assert whole[SITE, 1].drawn_towards == "8 trees of Betula pendula"
    known = fitted(LOOKS)
    told = Told(
        usual_curve(known),
        records[SITE, 1],
        revisit.still_there(records[SITE, 1], 0.3),
        whole[SITE, 1],
        None,
        effect(known.fit, np.zeros(3)),
        ON,
    )
    sentence = "of 100 looks of 30 minutes here find it"
    for chance, is_said in ((None, True), (whole[SITE, 1].rate / 100.0, True), (0.01, False)):
        words = reasons(replace(told, at_height=chance), mostly_from_books=False)
        assert any(sentence in line for line in words) is is_said


def test_a_record_says_what_no_counted_look_found_and_judges_no_spot_by_less_than_a_look() -> None:
    empty = replace(NOTHING, looks=7, in_season=2, last_find=ON, empty_since=2, empty_exposure=0.4)
    words = reason_words(empty)
    uncounted = f"the find of {ON} was on no look that counts"
    assert words[0] == f"Found on 0 of 7 looks here; {uncounted}. Of them 2 were in season."
    assert "2 empty looks in season since the last find." in words
    judged = reason_words(replace(empty, empty_exposure=1.5))
    assert any("taking 90 % for before them, which is our choice" in line for line in judged)


def test_the_shape_of_a_law_is_held_where_all_trees_look_alike() -> None:
    shape, rate = productivity.bounded_law([2.0, 2.0, 2.0, 2.0], [5.0, 5.0, 5.0, 5.0])
    assert shape == pytest.approx(productivity.MOST_SHAPE.value)
    assert shape / rate == pytest.approx(0.4, rel=0.05)


def test_a_few_empty_looks_make_no_rate_nothing() -> None:
    spots = [Spot(SITE, n, "Green", f"B{n}", 90, "Betula pendula") for n in (1, 2)]
    empty: dict[Key, Record] = {(SITE, n): replace(NOTHING, looks=1, exposure=0.5) for n in (1, 2)}
    found = revisit.bearings(empty, spots)[SITE, 1]
    assert 2.0 < found.rate < 25.0
    assert found.high > 10.0
    looked_at_much: dict[Key, Record] = {
        key: replace(one, looks=60, exposure=50.0) for key, one in empty.items()
    }
    assert revisit.bearings(looked_at_much, spots)[SITE, 1].rate < 1.0


def test_a_tree_without_others_stands_alone() -> None:
    spots = [Spot(SITE, BIRCH, "Green", "B1", 90, "Betula pendula")]
    own = replace(NOTHING, looks=10, found=5, exposure=10.0)
    found = revisit.bearings({(SITE, BIRCH): own}, spots)[SITE, BIRCH]
    assert found.drawn_towards == ""
    assert found.low < found.rate < found.high
    assert found.rate == pytest.approx(100.0 * -np.expm1(-0.5), abs=1.5), "ten looks of its own weigh most"
    shape, rate = productivity.lone_law()
    logs = np.log(np.random.default_rng(1).gamma(shape, 1.0 / rate, 200_000))
    assert (logs.mean(), logs.std()) == pytest.approx((-1.6, 2.0), abs=0.03)


def test_what_was_left_standing_is_not_taken_off() -> None:
    day = ON - datetime.timedelta(days=7)
    finds = [FindDay(BOLETE, SITE, BIRCH, day, day, taken=True, share_taken=share) for share in (0.25, 0.5)]
    record = revisit.records_of(fitted(LOOKS), finds, ON)[SITE, BIRCH]
    crop = revisit.crop_of("Boletus edulis", record, ON)
    assert crop is not None
    assert crop.share == pytest.approx(1.0 - 0.5 * np.exp(-0.7))
    uncounted = replace(finds[0], share_taken=None)
    assert revisit.records_of(fitted(LOOKS), [uncounted], ON)[SITE, BIRCH].share_taken == 1.0


def test_a_look_within_a_week_is_told_as_common_practice_only() -> None:
    words = reason_words(replace(NOTHING, looks=1, last_look=ON - datetime.timedelta(days=2)))
    assert "Looked at 2 days before; 7 days or more between visits is common practice." in words
    later = reason_words(replace(NOTHING, looks=1, last_look=ON - datetime.timedelta(days=7)))
    assert not any(line.startswith("Looked at") for line in later)


def reason_words(record: Record) -> tuple[str, ...]:
    known = fitted(LOOKS)
    bearing = revisit.bearings({}, [TREE])[SITE, BIRCH]
    told = Told(
        usual_curve(known),
        record,
        revisit.still_there(record, 0.3),
        bearing,
        None,
        effect(known.fit, np.zeros(3)),
        ON,
    )
    return reasons(told, mostly_from_books=False)


@pytest.mark.source(
    item="",
    what="share of a crop that stands again 7 days after a picking, at a mean life of 10 days",
    value="0.5034",
    source="1 - exp(-7/10), immigration and death of fruit bodies, computed",
    mark="computed",
)
def test_what_was_picked_is_taken_off_until_three_lives_have_passed() -> None:
    record = replace(NOTHING, picked_on=ON - datetime.timedelta(days=7))
    crop = revisit.crop_of("Boletus edulis", record, ON)
    assert crop is not None
    assert crop.share == pytest.approx(0.5034, abs=1e-4)
    assert "memory" in crop.life_said
    long_ago = replace(NOTHING, picked_on=ON - datetime.timedelta(days=31))
    assert revisit.crop_of("Boletus edulis", long_ago, ON) is None
    assert revisit.crop_of("Nothing known", record, ON) is None
    whole = Chance(0.6, 0.2, 0.9, mostly_from_books=False)
    left = revisit.thinned(whole, 0.5)
    assert left.chance == pytest.approx(1.0 - 0.4**0.5)
    assert left.low < left.chance < left.high < 0.9


@pytest.mark.source(
    item="",
    what="chance that a tree still holds it after 3, 5 and 10 empty looks, occupancy 0.6, detection 0.3",
    value="0.3397, 0.2013, 0.0406",
    source="Bayes' rule as in MacKenzie et al. 2002, computed",
    mark="computed",
)
def test_each_empty_look_lowers_the_chance_that_it_is_still_there() -> None:
    published = productivity.still_there([3, 5, 10], 0.6, 0.3)
    assert published == pytest.approx([0.3397, 0.2013, 0.0406], abs=5e-5)
    record = replace(NOTHING, last_find=ON)
    chances = [
        revisit.still_there(replace(record, empty_since=n, empty_exposure=float(n)), 0.4).chance
        for n in range(4)
    ]
    assert chances[0] == pytest.approx(revisit.HELD_BEFORE.value)
    assert all(a is not None and b is not None and a > b for a, b in itertools.pairwise(chances))
    part = revisit.still_there(replace(record, empty_since=1, empty_exposure=0.5), 0.4)
    assert part.chance == pytest.approx(0.9 * 0.6**0.5 / (0.9 * 0.6**0.5 + 0.1))
    assert revisit.still_there(NOTHING, 0.4).chance is None
    assert revisit.still_there(None, 0.4).empty_looks == 0


def test_detection_is_that_of_spots_that_held_it() -> None:
    records: dict[Key, Record] = {
        (SITE, BIRCH): replace(NOTHING, found=3, exposure=6.0),
        (SITE, OAK): replace(NOTHING, found=0, exposure=60.0),
    }
    assert revisit.detection(records) == pytest.approx(-np.expm1(-0.5))
    assert revisit.detection({}) == 0.0


def test_few_looks_in_season_are_little_known() -> None:
    assert revisit.is_little_known(None)
    assert revisit.is_little_known(replace(NOTHING, looks=9, in_season=2))
    assert not revisit.is_little_known(replace(NOTHING, looks=3, in_season=3))


def test_lives_are_those_of_the_species_else_of_its_genus() -> None:
    bolete = life_of("Boletus edulis")
    assert bolete is not None
    assert (bolete.value, bolete.unit, bolete.mark) == (10.0, "d", "memory")
    assert life_of("Ganoderma applanatum") is None


def test_weather_counts_as_assumed_nothing_on_watered_ground_and_is_said_when_it_moves_much() -> None:
    fit = fitted(LOOKS).fit
    wet = effect(fit, np.array([2.0, 1.0, 0.0]))
    assert wet.times > 1.2
    assert wet.low < wet.times < wet.high
    assert wet.mostly_assumed
    assert effect(fit, np.array([2.0, 1.0, 0.0]), irrigated=True).times == pytest.approx(1.0)
    unknown = effect(fit, np.full(3, np.nan))
    assert (unknown.times, unknown.known) == (1.0, False)
    assert "as often as in usual weather, mostly assumed" in " ".join(weather_words(wet))
    assert list(weather_words(unknown)) == ["The weather is not known."]
    assert TREE.name == "B1"
