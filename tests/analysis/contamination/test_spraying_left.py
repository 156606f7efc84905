"""Tests of how much of a spraying may be left in soil and on leaves."""

from __future__ import annotations

import datetime
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from sitebook.analysis.contamination.spraying_left import SOURCES, range_of
from sitebook.analysis.contamination.sprayings import RainSeen, Told
from sitebook.citations import Cited
from sitebook.records.results.spray_term import ActiveLeft
from sitebook.records.spraying import SprayingActive
from sitebook.reference.substances import substance, substances
from tests.analysis.contamination.spraying_made import NO_RAIN, SPRAYED_ON, TODAY, active, one, spraying
from tests.house.judging_words import JUDGING

UNDER = box(-20, -20, 20, 20)
FIVE_METRES_OFF = box(5, -200, 100, 200)
TWO_WEEKS = SPRAYED_ON + datetime.timedelta(days=14)


def left(
    what: SprayingActive | str,
    *,
    today: datetime.date = TODAY,
    rain: RainSeen = NO_RAIN,
    off_m: float = 0.0,
    **more: object,
) -> ActiveLeft:
    """Give what is left of one active on the sprayed ground, or beside it."""
    shape = box(off_m, -200, 100, 200) if off_m else UNDER
    named = active(what) if isinstance(what, str) else what
    (found,) = one(Told(spraying(shape, **more), [named]), today=today, rain=rain).actives
    return found


@pytest.mark.source(
    item="C28",
    what="1000 g/ha of 2,4-D told of a place: on it and drifted 5 m, on the day and after 14 d",
    value="1.333333; 0.007625789; 0.505238856; 0.002889634 mg/kg",
    source="arithmetic from FOCUS 2001 and SWAT+ half-lives",
    mark="computed",
)
@pytest.mark.parametrize(
    ("off_m", "today", "mg_kg"),
    [
        (0.0, SPRAYED_ON, 1.333333),
        (5.0, SPRAYED_ON, 0.007625789),
        (0.0, TWO_WEEKS, 0.505238856),
        (5.0, TWO_WEEKS, 0.002889634),
    ],
)
def test_residue_at_a_place(off_m: float, today: datetime.date, mg_kg: float) -> None:
    found = left("2,4-D", off_m=off_m, today=today)
    assert found.soil_mg_kg is not None
    assert found.soil_mg_kg.central == pytest.approx(mg_kg, rel=1e-5)
    assert found.soil_mg_kg.low <= found.soil_mg_kg.central <= found.soil_mg_kg.high


@pytest.mark.source(
    item="C29",
    what="percent of 2,4-D, mecoprop, glyphosate and propiconazole left 30 d after a spraying",
    value="12.5; 37.150; 64.247; 82.775",
    source="arithmetic from SWAT+ half-lives",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "percent"),
    [("2,4-D", 12.5), ("MCPP", 37.150), ("glyphosate", 64.247), ("propiconazole", 82.775)],
)
def test_share_left_after_a_month(name: str, percent: float) -> None:
    found = left(name)
    assert found.soil_left is not None
    assert 100.0 * found.soil_left.central == pytest.approx(percent, abs=6e-4)


def test_the_range_of_a_half_life_is_the_wider_of_factor_and_report() -> None:
    ranges = {
        name: range_of(known) for name in ("2,4-D", "mecoprop", "propiconazole") if (known := substance(name))
    }
    assert ranges["2,4-D"] == pytest.approx((1.63, 60.95))
    assert ranges["mecoprop"] == pytest.approx((7.0, 63.0))
    assert ranges["propiconazole"] == pytest.approx((12.0, 330.0))
    found = left("glyphosate")
    assert found.soil_left is not None
    assert found.soil_left.low == pytest.approx(2.0 ** (-30 * 3 / 47))
    assert found.soil_left.high == pytest.approx(2.0 ** (-30 / (47 * 3)))


def test_the_later_of_two_days_is_taken_and_the_earlier_widens() -> None:
    span = left("glyphosate", applied_on=SPRAYED_ON, applied_on_end=TWO_WEEKS)
    assert span.soil_left is not None
    assert span.soil_left.central == pytest.approx(2.0 ** (-16 / 47))
    assert span.soil_left.low == pytest.approx(2.0 ** (-30 * 3 / 47))
    assert span.soil_left.high == pytest.approx(2.0 ** (-16 / (47 * 3)))


def test_without_a_day_nothing_is_said_of_what_is_left() -> None:
    found = left("2,4-D", applied_on=None)
    assert (found.soil_left, found.soil_mg_kg, found.foliage_left) == (None, None, None)
    assert "cannot be told without a day" in found.said


def test_an_element_stays_for_ever_even_without_a_day() -> None:
    for applied_on in (None, datetime.date(1935, 5, 1)):
        found = left("Bordeaux mixture", applied_on=applied_on, applications=8)
        assert found.element
        assert found.soil_left is not None
        assert found.soil_left.low == 1.0
        assert found.soil_mg_kg is not None
        assert found.soil_mg_kg.central == pytest.approx(8 * 1.3333333)
        assert found.foliage_left is None
        assert "does not decay" in found.said


def test_a_substance_not_in_the_table_has_no_half_life() -> None:
    found = left("moss killer")
    assert (found.soil_left, found.foliage_left, found.said) == (
        None,
        None,
        "No half-life known to the book.",
    )
    assert (found.source, found.mark, found.rate_g_ha) == ("", "memory", 1000.0)


@pytest.mark.parametrize(
    ("rate", "unit", "g_ha", "words"),
    [
        (1000.0, "g/ha", 2000.0, "1,000 g/ha"),
        (1.5, "kg/ha", 3000.0, "1.5 kg/ha"),
        (1500.0, "ml/ha", None, "1,500 ml/ha of a product; the mass in it is not known"),
        (2.0, "g/tree", None, "2 g/tree; by tree, not by ground"),
        (2.0, None, None, "2 of a unit not told"),
        (None, "g/ha", None, ""),
        (-3.0, "g/ha", None, ""),
        (math.nan, "g/ha", None, ""),
    ],
)
def test_rates(rate: float | None, unit: str | None, g_ha: float | None, words: str) -> None:
    found = left(active("2,4-D", rate, unit), applications=2)
    assert (found.rate_g_ha, found.rate_words) == (g_ha, words)
    assert (found.soil_mg_kg is None) == (g_ha is None)


def test_rain_washes_leaves_and_days_not_known_may_be_either() -> None:
    days = [SPRAYED_ON + datetime.timedelta(days=n) for n in range(31)]
    rain = dict.fromkeys(days, 0.0) | {days[3]: 2.6, days[4]: 2.5, days[0]: 9.0}
    del rain[days[7]]
    rain[days[8]] = math.nan
    found = left("2,4-D", rain=RainSeen(rain))
    assert found.foliage_left is not None
    assert found.foliage_left.central == pytest.approx(2.0**-6 * 0.55)
    assert found.foliage_left.low == pytest.approx(2.0**-18 * 0.55**4)
    assert found.foliage_left.high == pytest.approx(2.0**-2 * 0.55)
    assert "1 to 4 such days since" in found.said


def test_leaves_without_a_half_life_say_so() -> None:
    found = left("azoxystrobin")
    assert found.foliage_left is None
    assert "No half-life on leaves known to the book." in found.said
    assert found.mark == "memory"


def test_trunks_and_granules_are_not_reckoned_like_a_spray() -> None:
    trunk = left(active("imidacloprid", 2.0, "g/tree"), method="trunk injection")
    assert (trunk.soil_left, trunk.foliage_left) == (None, None)
    assert "wood, leaves and litter is not known" in trunk.said
    dry = left("2,4-D", method="granules")
    assert dry.soil_left is not None
    assert dry.foliage_left is None


def test_the_source_of_a_half_life_is_said_in_words() -> None:
    found = left("2,4-D")
    assert found.source == "pesticide data of the SWAT+ model (swatplus_pesticides, pesticide.pes)"
    assert "range taken 1.6 to 61 days (reported, five soils" in found.said
    assert "4.7" in left("dicamba").said
    assert "16 to 140 days (3 times shorter or longer, our choice)" in left("glyphosate").said
    numbers = [value for each in substances() for value in vars(each).values() if isinstance(value, Cited)]
    keys = {number.source_key for number in numbers} | {each.source_key for each in substances()}
    assert keys <= set(SOURCES)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(substances()), st.integers(0, 20000), st.integers(0, 400), st.floats(0, 1e5))
def test_ranges_hold_their_middle_and_words_judge_nothing(
    known: object, days: int, span: int, rate: float
) -> None:
    name = getattr(known, "name", "")
    first = TODAY - datetime.timedelta(days=days)
    last = first + datetime.timedelta(days=span)
    found = left(active(name, rate), rain=RainSeen(), applied_on=first, applied_on_end=last)
    for band in (found.soil_left, found.foliage_left, found.soil_mg_kg):
        assert band is None or 0.0 <= band.low <= band.central <= band.high
    assert not JUDGING.search(found.said)
