"""Tests of the index along a line across the nearest road."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitebook.analysis.contamination.past_roads import PAST_USE
from sitebook.analysis.contamination.profile import across
from sitebook.analysis.contamination.road_index import index_at
from sitebook.analysis.contamination.traffic import Road
from sitebook.records.results.contamination import Band


def _road(line: list[tuple[float, float]], name: str = "Long Quay", past_use: str = "") -> Road:
    band = Band(8905.0, 2968.0, 26715.0)
    return Road(name, "primary", np.array(line), band, "s", "secondary", 4.5, past_use)


ENDLESS = _road([(-9000.0, 0.0), (9000.0, 0.0)])


@pytest.mark.source(
    item="",
    what="profile across an endless primary road of 9 m",
    value="0.8905 (0.8 exp(-d/5) + 0.2 exp(-d/50)), d from the edge, alike on both sides",
    source="the published shape of a fall beside a long road",
    mark="computed",
)
def test_across_an_endless_road() -> None:
    found = across((30.0, 12.0), [ENDLESS])
    assert found is not None
    assert (found.road, found.half_width_m) == ("Long Quay", 4.5)
    assert found.place_m == pytest.approx(12.0)
    assert (found.distance_m[0], found.distance_m[-1]) == (-100.0, 100.0)
    assert list(found.distance_m) == sorted(found.distance_m)
    assert any(step == pytest.approx(12.0) for step in found.distance_m)
    for step, central in zip(found.distance_m, found.central, strict=True):
        edge = max(abs(step) - 4.5, 0.0)
        expected = 0.8905 * (0.8 * math.exp(-edge / 5.0) + 0.2 * math.exp(-edge / 50.0))
        assert central == pytest.approx(expected, rel=1e-8)
    assert all(a < b < c for a, b, c in zip(found.low, found.central, found.high, strict=True))


def test_it_is_denser_near_the_kerb() -> None:
    found = across((0.0, 12.0), [ENDLESS], half_length_m=200.0)
    assert found is not None
    steps = np.array(found.distance_m)
    gaps = np.diff(steps[steps >= 4.5])
    assert gaps[0] <= 0.5 < gaps[-1]
    assert steps[-1] == 200.0


def test_at_right_angles_to_a_slanting_road_with_the_others_counted() -> None:
    roads = [
        _road([(-3000.0, -3000.0), (3000.0, 3000.0)]),
        _road([(-500.0, 60.0), (500.0, 60.0)], "Kiln Lane"),
    ]
    found = across((10.0, -10.0), roads)
    assert found is not None
    assert found.place_m == pytest.approx(math.sqrt(200.0))
    number = found.distance_m.index(found.place_m)
    assert found.central[number] == pytest.approx(index_at([(10.0, -10.0)], roads)[0].index.central)
    far = index_at([(-50.0 / math.sqrt(2.0), 50.0 / math.sqrt(2.0))], roads)[0].index.central
    assert np.interp(-50.0, found.distance_m, found.central) == pytest.approx(far, rel=0.1)


def test_a_place_on_the_middle_of_the_road() -> None:
    found = across((30.0, 0.0), [ENDLESS])
    assert found is not None
    assert found.place_m == 0.0
    assert found.central[0] == pytest.approx(found.central[-1])
    assert found.central[0] < 0.05


def test_the_line_runs_as_far_as_the_place() -> None:
    found = across((0.0, 250.0), [ENDLESS])
    assert found is not None
    assert found.distance_m[-1] == found.place_m == 250.0


def test_no_road_near_or_only_one_of_the_past() -> None:
    assert across((0.0, 301.0), [ENDLESS]) is None
    assert across((0.0, 0.0), []) is None
    assert across((0.0, 12.0), [_road([(-900.0, 0.0), (900.0, 0.0)], past_use=PAST_USE)]) is None


@pytest.mark.parametrize("half_length_m", [0.0, -5.0, math.nan])
def test_an_impossible_length_is_refused(half_length_m: float) -> None:
    with pytest.raises(ValueError, match="half the length of a profile"):
        across((0.0, 12.0), [ENDLESS], half_length_m=half_length_m)
