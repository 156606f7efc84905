"""Tests of how much each tree bears."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.season import productivity
from sitebook.analysis.season.productivity import gamma_poisson

PUMPS = [5, 1, 5, 14, 3, 19, 1, 1, 4, 22]
HOURS = [94.3, 15.7, 62.9, 126.0, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5]


@pytest.mark.source(
    item="S35",
    what="gamma law of ten pump failure rates, its likelihood, and the shrunk rates",
    value="shape 0.82297, rate 1.26165, log likelihood -32.25784; rates .0609 to 1.9405",
    source="data of Gaver and O'Muircheartaigh 1987; maximum found independently",
    mark="computed",
)
def test_the_pumps() -> None:
    shape, rate, means, likelihood = gamma_poisson(PUMPS, HOURS)
    assert (shape, rate, likelihood) == pytest.approx((0.82297, 1.26165, -32.25784), abs=1e-5)
    published = [0.0609, 0.1075, 0.0908, 0.1165, 0.5880, 0.6069, 0.7886, 0.7886, 1.4347, 1.9405]
    assert means == pytest.approx(published, abs=6e-5)


@pytest.mark.source(
    item="",
    what="a tree with no find in three looks, and one with four",
    value=".1931, chance of one .1593; 1.1317 with its 80 % interval .5416 to 1.8218",
    source="gamma law, computed independently",
    mark="computed",
)
def test_two_trees_under_one_law() -> None:
    rates = productivity.drawn_rates([0, 4], [3, 3], 0.823, 1.2617)
    assert rates == pytest.approx([0.1931, 1.1317], abs=5e-5)
    assert float(productivity.chance_of_one(0, 3, 0.823, 1.2617)) == pytest.approx(0.1593, abs=5e-5)
    low, high = productivity.interval(4, 3, 0.823, 1.2617)
    assert (float(low), float(high)) == pytest.approx((0.5416, 1.8218), abs=5e-5)


@pytest.mark.source(
    item="",
    what="chance that a tree still holds it after 3, 5 and 10 empty looks",
    value=".3397, .2013, .0406 at occupancy .6 and detection .3",
    source="Bayes' rule as in MacKenzie 2002, computed",
    mark="computed",
)
def test_whether_a_tree_still_holds_it() -> None:
    found = productivity.still_there([0, 3, 5, 10], 0.6, 0.3)
    assert found == pytest.approx([0.6, 0.3397, 0.2013, 0.0406], abs=5e-5)
    assert float(productivity.still_there(5, 1.0, 1.0)) == 0.0


@pytest.mark.source(
    item="",
    what="crop that stands again 3, 7, 14 and 21 days after picking at a life of 10 days",
    value=".2592, .5034, .7534, .8775",
    source="immigration and death at a steady rate, computed",
    mark="computed",
)
def test_the_crop_after_picking() -> None:
    assert productivity.standing_crop([3, 7, 14, 21], 10.0) == pytest.approx(
        [0.2592, 0.5034, 0.7534, 0.8775], abs=5e-5
    )


def test_a_short_record_is_drawn_to_the_others_and_a_long_one_keeps_its_own() -> None:
    _, _, means, _ = gamma_poisson([0, 9, 90, 10, 12], [0.1, 10.0, 100.0, 10.0, 10.0])
    assert means[0] > 0.5
    assert means[2] == pytest.approx(0.9, abs=0.05)
    assert np.all(np.isfinite(gamma_poisson([0, 0, 0], [1.0, 2.0, 3.0])[2]))


@pytest.mark.parametrize(
    ("counts", "looks"), [([1], [1.0]), ([1, 2], [1.0]), ([1, -2], [1, 1]), ([1, 2], [1, 0])]
)
def test_what_cannot_be_is_refused(counts: list[float], looks: list[float]) -> None:
    with pytest.raises(ValueError, match="exposures"):
        gamma_poisson(counts, looks)
