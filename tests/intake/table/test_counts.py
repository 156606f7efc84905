"""Tests that a count at the kerb gives a daily number by the plain rule, and that halves are refused."""

from __future__ import annotations

import pytest

from sitebook.intake.table.counts import daily_number, share_of_an_hour
from sitebook.intake.table.typed import read_typed

SPOT = {"lon": "-19.4", "lat": "48.6", "source": "own count"}


def test_the_shares_of_a_day_make_one() -> None:
    assert sum(share_of_an_hour(hour) for hour in range(24)) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.source(
    item="",
    what="collecting road: 700 vehicles in 12 h of day, 200 in 4 h of evening, 100 in 8 h of night",
    value="1000 vehicles a day from an hour of each",
    source="WG-AEN Good Practice Guide v2, Tool 2.5, as coded in two open noise libraries",
    mark="secondary",
)
@pytest.mark.parametrize(("vehicles", "hour"), [(700 / 12, 12), (200 / 4, 20), (100 / 8, 2)])
def test_an_hour_of_each_part_gives_the_published_day(vehicles: float, hour: int) -> None:
    assert daily_number(vehicles, 60.0, hour) == 1000.0


@pytest.mark.parametrize(
    ("hour", "share"), [(6, 0.1 / 8), (7, 0.7 / 12), (18, 0.7 / 12), (19, 0.05), (23, 0.1 / 8)]
)
def test_parts_of_the_day_begin_at_their_hour(hour: int, share: float) -> None:
    assert share_of_an_hour(hour) == pytest.approx(share)


def test_a_count_fills_the_daily_number() -> None:
    cells = SPOT | {"counted_vehicles": "118", "counted_minutes": "20", "counted_hour": "17"}
    (count,) = read_typed("traffic_count", cells).drafts
    assert count.values["vehicles_per_day"] == round(118 * 3 / (0.7 / 12))


def test_counts_of_two_hours_at_one_spot_are_two() -> None:
    cells = SPOT | {"counted_vehicles": "118", "counted_minutes": "20", "counted_on": "2026-09-01"}
    one, other = (read_typed("traffic_count", cells | {"counted_hour": h}).drafts[0] for h in ("8", "17"))
    assert one.identity != other.identity
    plain = read_typed("traffic_count", SPOT | {"vehicles_per_day": "5200"}).drafts[0]
    assert plain.identity == "traffic_count:-19.4|48.6||own count"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "how many were counted? fill vehicles_per_day, or counted_vehicles"),
        ({"counted_vehicles": "5", "counted_minutes": "10"}, "counted_hour is empty"),
        ({"counted_vehicles": "5", "counted_minutes": "0", "counted_hour": "9"}, "at least 1"),
        ({"counted_vehicles": "5", "counted_minutes": "10", "counted_hour": "24"}, "at most 23"),
        ({"counted_vehicles": "-5", "counted_minutes": "10", "counted_hour": "9"}, "at least 0"),
        ({"vehicles_per_day": "-1"}, "at least 0"),
        (
            {"vehicles_per_day": "5", "counted_vehicles": "5", "counted_minutes": "10", "counted_hour": "9"},
            "vehicles_per_day says 5, the count makes about 514: give one of the two",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(more: dict[str, str], said: str) -> None:
    (line,) = read_typed("traffic_count", SPOT | more).sorted_lines
    assert said in line.reason


@pytest.mark.parametrize(
    ("written", "near"),
    [("orchrd", "orchard, old orchard"), ("burned car", "burnt car"), ("road", "old main road")],
)
def test_a_hazard_kind_nobody_knows_names_the_nearest(written: str, near: str) -> None:
    (line,) = read_typed("hazard", SPOT | {"kind": written, "origin": "told"}).sorted_lines
    assert "words for hazard kind; nearest: " in line.reason
    assert near in line.reason
