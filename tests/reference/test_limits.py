"""Tests of values for soil, maxima for sale and health-based values as the tables give them."""

from __future__ import annotations

import pytest

from sitebook.reference.health import health_values, health_values_of
from sitebook.reference.limits import (
    authorities,
    authority_named,
    sale_limits,
    soil_values,
    soil_values_of,
    wild_limits_of,
)


@pytest.mark.source(
    item="",
    what="maxima for wild fungi on sale",
    value="Pb 0.80, Cd 0.50, Hg 0.50 and ceps 0.90 mg/kg fresh",
    source="Regulations (EU) 2021/1317, 2023/1510 and 2018/73",
    mark="secondary",
)
def test_maxima_for_wild_fungi() -> None:
    found = {
        analyte: [(limit.product, limit.limit.value) for limit in wild_limits_of(analyte)]
        for analyte in ("Pb", "Cd", "Hg", "As")
    }
    assert found == {
        "Pb": [("wild fungi", 0.80)],
        "Cd": [("wild fungi", 0.50)],
        "Hg": [("wild fungi", 0.50), ("ceps", 0.90)],
        "As": [],
    }


def test_maxima_for_cultivated_fungi_are_not_for_gathered_ones() -> None:
    assert all(not limit.gathered for limit in sale_limits() if limit.product not in {"wild fungi", "ceps"})


@pytest.mark.source(
    item="",
    what="screening level for lead in soil of homes",
    value="200 mg/kg since 2025, 100 where several sources until then, 400 before 2024",
    source="US EPA, announcements of 2024 and 2025",
    mark="secondary",
)
def test_soil_values_stand_by_authority_and_time() -> None:
    found = {
        name: [
            value.limit.value for value in soil_values_of(name, "Pb") if value.land_use.startswith("homes")
        ]
        for name in ("US EPA", "US EPA 2024", "US EPA 1994")
    }
    assert found == {"US EPA": [200.0, 600.0], "US EPA 2024": [100.0, 200.0], "US EPA 1994": [400.0]}


def test_soil_values_say_what_kind_of_value_they_are() -> None:
    meanings = {value.meaning for value in soil_values() if value.authority.startswith("US EPA")}
    assert all("screening level" in meaning or "management level" in meaning for meaning in meanings)


def test_no_locator_hides_the_mark_beside_it() -> None:
    cited = [value.limit for value in soil_values()] + [value.limit for value in health_values()]
    cited += [limit.limit for limit in sale_limits()]
    assert not [one for one in cited if one.mark in one.locator]


def test_authorities_are_found_by_name_alone() -> None:
    assert all(authority_named(name.upper()) == name for name in authorities())
    assert authority_named("us  epa 1994") == "US EPA 1994"
    assert authority_named("EPA") is None


def test_units_are_those_the_readings_rely_on() -> None:
    assert {value.limit.unit for value in soil_values()} == {"mg/kg dry"}
    assert {limit.limit.unit for limit in sale_limits()} == {"mg/kg fresh"}
    assert {(value.kind, value.limit.unit) for value in health_values()} == {
        ("weekly", "ug/kg body mass a week"),
        ("daily_dose", "ug/kg body mass a day"),
        ("benchmark", "ug/kg body mass a day"),
    }


def test_lead_has_benchmark_doses_alone() -> None:
    assert {value.kind for value in health_values_of("Pb")} == {"benchmark"}
    assert not health_values_of("As")


@pytest.mark.parametrize(
    ("eater", "names"),
    [
        ("adult", ["lead_kidney", "lead_blood_pressure"]),
        ("child", ["lead_nervous_system"]),
        ("pregnancy", ["lead_nervous_system"]),
    ],
)
def test_whom_a_value_was_set_for(eater: str, names: list[str]) -> None:
    assert [value.name for value in health_values_of("Pb") if value.holds_for(eater)] == names
