"""Tests of the scores of chances and dates."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from sitebook.analysis.season import scores

SAID = [0.1, 0.1, 0.3, 0.3, 0.3, 0.8, 0.8, 0.8, 0.8, 0.8]
CAME = [0, 0, 0, 1, 0, 1, 1, 1, 0, 1]


@pytest.mark.source(
    item="S37",
    what="score of a normal forecast: (0, 1) for 0, (0, 1) for 1, (2, 3) for 5",
    value="0.233695, 0.602441, 1.807324",
    source="closed form of Gneiting and Raftery 2007",
    mark="computed",
)
def test_ranked_score_of_a_normal_forecast() -> None:
    found = scores.normal_crps([0.0, 0.0, 2.0], [1.0, 1.0, 3.0], [0.0, 1.0, 5.0])
    assert found == pytest.approx([0.233695, 0.602441, 1.807324], abs=1e-6)


def test_ranked_score_is_the_area_between_the_two_steps() -> None:
    law = stats.norm(2.0, 3.0)
    below = integrate.quad(lambda x: float(law.cdf(x)) ** 2, -40.0, 5.0)[0]
    above = integrate.quad(lambda x: float(law.sf(x)) ** 2, 5.0, 45.0)[0]
    assert scores.normal_crps(2.0, 3.0, 5.0) == pytest.approx(below + above, abs=1e-6)


@pytest.mark.source(
    item="S37",
    what="Brier score of ten forecasts, its reliability, resolution and uncertainty",
    value="0.149 = 0.0023333 - 0.1033333 + 0.25",
    source="Murphy's partition",
    mark="computed",
)
def test_parts_of_the_brier_score() -> None:
    parts = scores.brier(SAID, CAME)
    assert parts.score == pytest.approx(0.149)
    assert parts.reliability == pytest.approx(0.0023333, abs=1e-6)
    assert parts.resolution == pytest.approx(0.1033333, abs=1e-6)
    assert parts.uncertainty == pytest.approx(0.25)
    assert parts.score == pytest.approx(parts.reliability - parts.resolution + parts.uncertainty)


def test_log_loss_of_the_same_forecasts() -> None:
    assert scores.log_loss(SAID, CAME) == pytest.approx(0.463006, abs=1e-6)


def test_log_loss_of_a_sure_miss_is_held() -> None:
    assert scores.log_loss([0.0], [1]) == pytest.approx(-math.log(1e-4))


def test_reliability_holds_every_look_once() -> None:
    bins = scores.reliability([0.0, 0.049, 0.05, 0.5, 1.0], [0, 1, 0, 1, 1])
    assert [(one.looks, one.came) for one in bins] == [(2, 0.5), (1, 0.0), (1, 1.0), (1, 1.0)]
    assert scores.calibration_error(bins) == pytest.approx((2 * 0.4755 + 0.05 + 0.5 + 0.0) / 5)


def test_forecasts_that_mean_what_they_say_have_no_calibration_error() -> None:
    chance = np.random.default_rng(1)
    said = chance.random(200_000)
    came = chance.random(200_000) < said
    assert scores.calibration_error(scores.reliability(said, came)) < 0.005


@pytest.mark.parametrize(("said", "came"), [([], []), ([0.5], [0, 1]), ([1.5], [1]), ([math.nan], [1])])
def test_what_cannot_be_scored_is_refused(said: list[float], came: list[int]) -> None:
    with pytest.raises(ValueError, match="score"):
        scores.log_loss(said, came)
