"""Tests of the cited numbers of the road index."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sitebook.analysis.contamination import parameters
from sitebook.reference import reader

DOCS = Path(__file__).resolve().parents[3] / "docs"


@pytest.mark.source(
    item="C17",
    what="motorway, trunk, primary, secondary, tertiary, residential, service",
    value="37290, 23914, 8905, 2000, 1000, 500, 250",
    source="WG-AEN, strategic noise mapping, Tool 2.5, as coded in two open libraries",
    mark="secondary",
)
def test_vehicles_a_day_by_class() -> None:
    classes = parameters.road_classes()
    expected = {
        "motorway": 37290,
        "trunk": 23914,
        "primary": 8905,
        "secondary": 2000,
        "tertiary": 1000,
        "residential": 500,
        "service": 250,
    }
    assert {key: classes[key].vehicles_per_day.value for key in expected} == expected


def test_a_day_is_the_sum_of_its_parts() -> None:
    for row in reader.rows("traffic_by_class"):
        parts = sum(int(row[part]) for part in ("day_12h", "evening_4h", "night_8h"))
        assert parts == int(row["vehicles_per_day"]), row["road_class"]


def test_a_slip_road_carries_what_its_road_carries() -> None:
    classes = parameters.road_classes()
    for key in ("motorway", "trunk", "primary", "secondary", "tertiary"):
        assert classes[f"{key}_link"].vehicles_per_day == classes[key].vehicles_per_day


def test_foot_and_cycle_ways_carry_no_motors() -> None:
    loaded = parameters.classes_to_load()
    assert {"residential", "service", "track", "motorway_link"} <= set(loaded)
    assert not {"footway", "cycleway", "steps", "path"} & set(loaded)


def test_the_shares_of_the_scales_add_up_to_the_kerb() -> None:
    assert sum(share for _, share in parameters.scales()) == pytest.approx(1.0)


def test_the_classes_step_upwards() -> None:
    steps = [parameters.value(f"class_{number}") for number in (1, 2, 3, 4)]
    assert steps == sorted(steps) == [0.005, 0.05, 0.3, 1.0]


def test_the_page_shows_every_parameter_with_its_value_and_mark() -> None:
    page = (DOCS / "contamination.md").read_text(encoding="utf-8")
    for row in reader.rows("roads_model"):
        (line,) = [text for text in page.splitlines() if text.startswith(f"| `{row['name']}` |")]
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        assert cells[1:3] == [row["value"], row["unit"]]
        assert cells[-1] == row["mark"]


def test_the_page_shows_the_traffic_of_every_class() -> None:
    page = (DOCS / "contamination.md").read_text(encoding="utf-8")
    for found in parameters.road_classes().values():
        if found.motors == "yes" and not found.key.endswith("_link"):
            vehicles = f"{found.vehicles_per_day.value:,.0f}"
            assert re.search(rf"^\|.*`{found.key}`.*\| {vehicles} \|", page, re.MULTILINE), found.key
