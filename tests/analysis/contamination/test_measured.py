"""Tests that a laboratory's number keeps its meaning from unit to unit and from fresh to dry mass."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook import vocabulary
from sitebook.analysis.contamination.measured import (
    DRY_MATTER_SEEN_HIGH,
    DRY_MATTER_SEEN_LOW,
    MG_A_UNIT,
    Amount,
    DryMatter,
    amount_of,
    below_limit,
    detection_limit_of,
    dry_matter_of,
    mg_per_kg,
    on_basis,
)
from tests.analysis.contamination.samples import lab_test, result

AMOUNTS = st.floats(1e-6, 1e6)
FRACTIONS = st.floats(0.01, 1.0)


def test_every_unit_of_a_result_is_known_or_has_no_mass() -> None:
    assert set(vocabulary.RESULT_UNIT.all) - set(MG_A_UNIT) == {"Bq/kg"}
    assert mg_per_kg(5.0, "Bq/kg") is None
    assert set(vocabulary.BASIS.all) == {"fresh", "dry"}


@given(AMOUNTS)
def test_one_amount_in_three_units(milligrams: float) -> None:
    written = {"mg/kg": milligrams, "ug/kg": 1e3 * milligrams, "ng/kg": 1e6 * milligrams}
    assert [mg_per_kg(value, unit) for unit, value in written.items()] == pytest.approx([milligrams] * 3)


@given(AMOUNTS, FRACTIONS, st.sampled_from(["fresh", "dry"]))
def test_to_the_other_basis_and_back(milligrams: float, fraction: float, basis: str) -> None:
    dry, other = DryMatter(fraction, ""), "dry" if basis == "fresh" else "fresh"
    there = on_basis(Amount(milligrams, basis, at_most=False), other, dry)
    assert there is not None
    back = on_basis(Amount(there, other, at_most=False), basis, dry)
    assert back == pytest.approx(milligrams, rel=1e-12)


@given(AMOUNTS, FRACTIONS)
def test_dry_mass_holds_no_less_than_fresh(milligrams: float, fraction: float) -> None:
    turned = on_basis(Amount(milligrams, "fresh", at_most=False), "dry", DryMatter(fraction, ""))
    assert turned is not None
    assert turned >= milligrams


@pytest.mark.source(
    item="C44",
    what="dry matter of three mushrooms from lead on fresh and on dry mass",
    value="14.42, 8.51 and 6.90 %",
    source="Mironczuk-Chodakowska and others 2013, table 1",
    mark="secondary",
)
@pytest.mark.parametrize(
    ("fresh", "dry", "percent"), [(0.30, 2.08, 14.42), (0.04, 0.47, 8.51), (0.18, 2.61, 6.90)]
)
def test_dry_matter_from_one_analyte_on_both_bases(fresh: float, dry: float, percent: float) -> None:
    found = dry_matter_of(lab_test("mushroom"), [result("Pb", fresh, basis="fresh"), result("lead", dry)])
    assert found is not None
    assert 100 * found.fraction == pytest.approx(percent, abs=0.005)
    assert not found.convention
    assert "from Pb on both bases" in found.said


def test_spread_of_the_convention_is_that_of_the_paper() -> None:
    assert pytest.approx(0.18 / 2.61, abs=5e-5) == DRY_MATTER_SEEN_LOW.value
    assert pytest.approx(0.30 / 2.08, abs=5e-5) == DRY_MATTER_SEEN_HIGH.value


def test_measured_dry_matter_goes_before_all_else() -> None:
    both = [result("Pb", 0.3, basis="fresh"), result("Pb", 2.08)]
    found = dry_matter_of(lab_test("mushroom", dry_matter_fraction=0.085), both)
    assert found == DryMatter(0.085, "dry matter 8.5 %, as the report gives it")


@pytest.mark.parametrize("impossible", [0.0, -0.1, 1.5, 8.5])
def test_an_impossible_dry_matter_is_not_used(impossible: float) -> None:
    found = dry_matter_of(lab_test("mushroom", dry_matter_fraction=impossible), [])
    assert found is not None
    assert found.convention


def test_more_on_fresh_than_on_dry_mass_tells_no_dry_matter() -> None:
    found = dry_matter_of(lab_test("mushroom"), [result("Pb", 3.0, basis="fresh"), result("Pb", 0.3)])
    assert found is not None
    assert found.convention


def test_values_below_a_limit_tell_no_dry_matter() -> None:
    found = dry_matter_of(
        lab_test("mushroom"), [result("Pb", 0.1, basis="fresh", below=True), result("Pb", 2.0)]
    )
    assert found is not None
    assert found.convention


@pytest.mark.parametrize("material", ["soil", "plant", "dust"])
def test_the_convention_is_for_mushrooms_alone(material: str) -> None:
    assert dry_matter_of(lab_test(material), [result("Pb", 1.0)]) is None


def test_zero_is_a_limit_that_was_not_given() -> None:
    nothing = result("Hg", 0.0)
    assert below_limit(nothing)
    assert detection_limit_of(nothing) is None
    assert amount_of(nothing) is None


def test_of_two_limits_the_higher_one_holds() -> None:
    assert detection_limit_of(result("Cd", 0.02, below=True, detection_limit=0.05)) == 0.05
    assert detection_limit_of(result("Cd", 0.0, below=True, detection_limit=0.05)) == 0.05
    assert amount_of(result("Cd", 20.0, "ug/kg", below=True)) == Amount(0.02, "dry", at_most=True)
