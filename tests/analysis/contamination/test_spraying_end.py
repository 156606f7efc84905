"""Tests of what ends a spraying: a closing note with a name, or a laboratory that found nothing of it."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from sitebook.analysis.contamination.sprayings import Told
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.results.spray_term import SprayTerm
from tests.analysis.contamination.spraying_made import NOW, SPRAYED_ON, active, one, sample, spraying
from tests.house.judging_words import JUDGING

UNDER = box(-20, -20, 20, 20)
CLOSED = {
    "closed_on": datetime.date(2026, 5, 20),
    "closed_by": "A. Warden",
    "closing_note": "turf lifted, soil replaced.",
}
LATER = datetime.date(2026, 5, 25)

OneSample = tuple[LabTest, tuple[LabResult, ...]]


def after(*tests: OneSample, actives: tuple[str, ...] = ("2,4-D",), **more: object) -> SprayTerm:
    """Give the term of a spraying under the place after some tests."""
    return one(Told(spraying(UNDER, **more), [active(name) for name in actives], tests))


def test_a_closing_note_with_a_name_ends_it() -> None:
    term = one(spraying(UNDER, **CLOSED))
    assert (term.floor_class, term.could_be_floor) == (0, 0)
    assert term.ended == "closed by A. Warden on 2026-05-20: turf lifted, soil replaced"
    assert term.reason.endswith("Ended: closed by A. Warden on 2026-05-20: turf lifted, soil replaced.")
    assert term.unknown == ()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"closed_by": None}, "one is missing"),
        ({"closing_note": "  "}, "one is missing"),
        ({"closed_on": None}, "one is missing"),
        ({"closed_on": datetime.date(2026, 6, 2)}, "of a day to come"),
        ({"closed_on": datetime.date(2026, 5, 1)}, "older than the spraying"),
        ({"applied_on_end": datetime.date(2026, 5, 21)}, "older than the spraying"),
    ],
)
def test_a_closing_note_that_lacks_something_ends_nothing(change: dict[str, object], said: str) -> None:
    term = one(spraying(UNDER, **{**CLOSED, **change}))
    assert (term.floor_class, term.ended) == (4, "")
    assert said in term.reason


def test_what_is_planned_may_be_called_off_before_its_day() -> None:
    planned = {"state": "planned", "applied_on": datetime.date(2026, 5, 30)}
    assert one(spraying(UNDER, **planned)).could_be_floor == 4
    term = one(spraying(UNDER, **planned, **CLOSED))
    assert (term.could_be_floor, term.unknown) == (0, ())
    assert term.ended.startswith("closed by A. Warden")


def test_a_laboratory_that_found_none_of_it_ends_it() -> None:
    tested = sample(LATER, ("2,4-D", "<0.01"), ("MCPP", "<0.02"), ("glyphosate", "1.0"))
    term = after(tested, actives=("2,4-d", "mecoprop"))
    assert (term.floor_class, term.could_be_floor) == (0, 0)
    assert term.ended == (
        "not found by Island Laboratory, in soil sampled on 2026-05-25, "
        "down to 2,4-D 0.01 mg/kg dry, MCPP 0.02 mg/kg dry"
    )


def test_two_tests_may_share_the_work() -> None:
    first = sample(LATER, ("2,4-D", "<0.01"))
    second = sample(datetime.date(2026, 5, 26), ("dicamba", "<0.02"))
    assert after(first, second, actives=("2,4-D", "dicamba")).floor_class == 0
    term = after(first, actives=("2,4-D", "dicamba"))
    assert term.floor_class == 4
    assert "No laboratory result covers all of dicamba yet" in term.reason


@pytest.mark.parametrize(
    ("tested", "said"),
    [
        (sample(LATER, ("2,4-D", "0.3")), "Found by Island Laboratory, in soil sampled on 2026-05-25: 0.3"),
        (sample(LATER, ("2,4-D", "<0")), "down to what is not told"),
        (sample(LATER, ("2,4-D", "<2")), "the rate makes no more than 1.3 mg/kg over the depth sampled"),
        (sample(LATER, ("2,4-D", "<2000"), unit="ug/kg"), "the rate makes no more than 1.3 mg/kg"),
        (sample(SPRAYED_ON - datetime.timedelta(days=1), ("2,4-D", "<0.01")), "before the spraying alone"),
        (sample(LATER, ("mystery", "<0.01")), "covers all of 2,4-D"),
    ],
)
def test_a_test_that_does_not_end_it_says_why(tested: OneSample, said: str) -> None:
    term = after(tested)
    assert (term.floor_class, term.ended) == (4, "")
    assert said in term.reason


def test_what_was_found_stays_found_until_the_same_material_is_tested_again() -> None:
    found = sample(LATER, ("2,4-D", "0.3"))
    june = datetime.date(2026, 5, 30)
    caps = sample(june, ("2,4-D", "<0.01"), material="mushroom")
    assert after(found, caps).floor_class == 4
    again = sample(june, ("2,4-D", "<0.01"))
    assert after(found, again).floor_class == 0
    assert after(sample(LATER, ("2,4-D", "<0.01")), sample(june, ("2,4-D", "0.02"))).floor_class == 4


def test_no_test_ends_what_nobody_named_or_dated() -> None:
    tested = sample(LATER, ("2,4-D", "<0.01"))
    nameless = after(tested, actives=())
    assert nameless.floor_class == 4
    assert "while nobody says what was sprayed" in nameless.reason
    undated = after(tested, applied_on=None)
    assert undated.floor_class == 4
    assert "while its day is not known" in undated.reason


def test_a_sample_of_the_last_day_counts_and_one_between_the_days_does_not() -> None:
    last = datetime.date(2026, 5, 10)
    on_it, before = sample(last, ("2,4-D", "<0.01")), sample(datetime.date(2026, 5, 9), ("2,4-D", "<0.01"))
    assert after(on_it, applied_on_end=last).floor_class == 0
    assert after(before, applied_on_end=last).floor_class == 4


def test_lead_arsenate_is_lead_and_arsenic() -> None:
    both = sample(LATER, ("Pb", "<0.05"), ("As", "<0.05"))
    assert after(both, actives=("lead arsenate",)).floor_class == 0
    assert after(sample(LATER, ("Pb", "<0.05")), actives=("lead arsenate",)).floor_class == 4
    written = sample(LATER, ("Lead, total", "<0.05"), ("Arsen", "<0.05"))
    assert after(written, actives=("lead arsenate",)).floor_class == 0
    form = sample(LATER, ("Pb", "<0.05"), ("inorganic arsenic", "<0.05"))
    assert after(form, actives=("lead arsenate",)).floor_class == 4


def test_tests_of_another_spraying_and_withdrawn_ones_do_not_count() -> None:
    other = sample(LATER, ("2,4-D", "<0.01"), spraying_id=8)
    withdrawn = sample(LATER, ("2,4-D", "<0.01"), withdrawn_at=NOW)
    to_come = sample(datetime.date(2026, 6, 2), ("2,4-D", "<0.01"))
    for tested in (other, withdrawn, to_come):
        assert after(tested).floor_class == 4


def test_a_named_substance_that_the_book_does_not_know_may_be_tested_for() -> None:
    assert after(sample(LATER, ("Moss-Killer", "<0.01")), actives=("moss killer",)).floor_class == 0


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 30), st.sampled_from(["<0.01", "0.4", "<5", "<0"])), max_size=4))
def test_only_results_below_a_told_limit_end_it(drawn: list[tuple[int, str]]) -> None:
    samples = [sample(SPRAYED_ON + datetime.timedelta(days=n), ("2,4-D", written)) for n, written in drawn]
    term = after(*samples)
    last = max((n for n, _ in drawn), default=None)
    ended = last is not None and {written for n, written in drawn if n == last} == {"<0.01"}
    assert (term.floor_class == 0) == bool(term.ended) == ended
    assert not JUDGING.search(term.reason + term.ended)
