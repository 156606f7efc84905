"""Tests what a tested mushroom brings to each eater."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.contamination.exposure import share_of_reference_dose, weekly_intake_ug
from sitebook.analysis.contamination.intakes import Eater, intakes_of
from sitebook.analysis.contamination.measured import Amount, DryMatter
from sitebook.records.results.test_reading import IntakeLine
from sitebook.reference.analytes import Analyte, analyte

ADULT = Eater("adult", 70.0, 250.0)
TENTH = DryMatter(0.10, "by convention", convention=True)
HELD = ["Pb", "Cd", "Hg", "MeHg", "iAs"]


def named(name: str) -> Analyte:
    found = analyte(name)
    assert found is not None
    return found


def lines(name: str, mg_per_kg: float, *eaters: Eater, basis: str = "fresh") -> tuple[IntakeLine, ...]:
    return intakes_of(named(name), Amount(mg_per_kg, basis, at_most=False), TENTH, eaters or (ADULT,))


@pytest.mark.source(
    item="C39",
    what="inorganic arsenic a day that takes up the reference dose of an adult of 70 kg",
    value="4.2 ug a day",
    source="US EPA IRIS 2025: 6e-5 mg/kg a day",
    mark="confirmed",
)
def test_daily_inorganic_arsenic() -> None:
    (dose,) = [line for line in lines("iAs", 7 * 4.2 / 250.0) if line.share_percent is not None]
    assert dose.share_percent == pytest.approx(100.0, rel=1e-12)


@pytest.mark.source(
    item="C40",
    what="share of the cadmium reference dose for two habits",
    value="0.12140816 and 0.85714286",
    source="arithmetic on US EPA IRIS: 1e-3 mg/kg a day",
    mark="computed",
)
def test_cadmium_for_two_habits() -> None:
    once_a_week = weekly_intake_ug(300.0, 1.983, 0.10)
    assert float(share_of_reference_dose(once_a_week, 1.0, 70.0)) == pytest.approx(0.12140816, abs=5e-9)
    thirty_dry_a_day = weekly_intake_ug(7 * 30.0, 2.0, 1.0)
    assert float(share_of_reference_dose(thirty_dry_a_day, 1.0, 70.0)) == pytest.approx(0.85714286, abs=5e-9)


@pytest.mark.source(
    item="C34",
    what="lines of cadmium and of ceps' mercury at the maxima for sale, 250 g a week, 70 kg",
    value="71.4286 % and 80.357 %",
    source="arithmetic on EFSA 2009 and 2012, Regulations (EU) 2023/1510 and 2018/73",
    mark="computed",
)
def test_shares_at_the_maxima_for_sale() -> None:
    assert lines("Cd", 0.50)[0].share_percent == pytest.approx(71.4286, abs=5e-5)
    assert lines("Cd", 5.0, basis="dry")[0].share_percent == pytest.approx(71.4286, abs=5e-5)
    assert lines("Hg", 0.90)[0].share_percent == pytest.approx(80.357, abs=5e-4)


@pytest.mark.source(
    item="C35",
    what="lines of lead at the maximum for sale, 250 g a week, 70 kg",
    value="margin 1.5435",
    source="arithmetic on EFSA 2010 and Regulation (EU) 2021/1317",
    mark="computed",
)
def test_lead_has_a_margin_and_never_a_share() -> None:
    eaters = (ADULT, Eater("child", 15.0, 125.0), Eater("pregnancy", 70.0, 250.0))
    found = lines("Pb", 0.80, *eaters)
    assert found[0].margin == pytest.approx(1.5435, abs=5e-5)
    assert {line.eater for line in found} == {"adult", "child", "pregnancy"}
    assert all(line.share_percent is None and line.margin is not None for line in found)
    assert all("promises nothing" in line.words and "%" not in line.words for line in found)


def test_total_mercury_stands_beside_both_forms_and_says_if() -> None:
    found = lines("Hg", 0.5)
    assert ["if all of it were inorganic mercury" in line.words for line in found] == [True, False]
    assert ["if all of it were methylmercury" in line.words for line in found] == [False, True]
    (alone,) = lines("MeHg", 0.5)
    assert " if " not in alone.words


@pytest.mark.parametrize("name", ["As", "Cu", "Zn", "PAH"])
def test_what_has_no_health_based_value_gives_no_line(name: str) -> None:
    assert not lines(name, 1.0)


@given(
    st.sampled_from(HELD),
    st.floats(1e-4, 1e3),
    st.floats(1.0, 2000.0),
    st.floats(1.0, 10.0),
    st.floats(5, 150),
)
def test_more_eaten_is_never_told_as_less(
    name: str, mg_per_kg: float, portion_g: float, factor: float, body_kg: float
) -> None:
    less = lines(name, mg_per_kg, Eater("adult", body_kg, portion_g))
    more = lines(name, mg_per_kg, Eater("adult", body_kg, factor * portion_g))
    for one, other in zip(less, more, strict=True):
        assert other.intake_ug_per_week >= one.intake_ug_per_week
        assert (other.share_percent or 0.0) >= (one.share_percent or 0.0)
        assert (other.margin or 0.0) <= (one.margin or 0.0)


@given(st.sampled_from(HELD), st.floats(1e-4, 1e3), st.floats(0.03, 0.3))
def test_fresh_and_dry_mass_bring_in_the_same(name: str, mg_per_kg_dry: float, fraction: float) -> None:
    dry = DryMatter(fraction, "measured")
    eaten = [
        intakes_of(named(name), Amount(amount, basis, at_most=False), dry, [ADULT])
        for amount, basis in ((mg_per_kg_dry, "dry"), (mg_per_kg_dry * fraction, "fresh"))
    ]
    for one, other in zip(*eaten, strict=True):
        assert one.intake_ug_per_week == pytest.approx(other.intake_ug_per_week, rel=1e-12)


@pytest.mark.parametrize(("body_kg", "portion_g"), [(0.0, 250.0), (70.0, 0.0), (float("nan"), 1.0)])
def test_an_eater_without_body_or_portion_is_refused(body_kg: float, portion_g: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        Eater("adult", body_kg, portion_g)


def test_below_a_limit_the_intake_is_an_upper_end() -> None:
    found = intakes_of(named("Cd"), Amount(0.05, "fresh", at_most=True), None, [ADULT])
    assert all(line.at_most and "at most about" in line.words for line in found)
    lead = intakes_of(named("Pb"), Amount(0.05, "fresh", at_most=True), None, [ADULT])
    assert all("at least about" in line.words for line in lead)
