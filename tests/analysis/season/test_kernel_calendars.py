"""Sums of many calendars at once are those of each alone."""

from __future__ import annotations

import numpy as np

from sitebook.analysis.season import baseline, circular
from sitebook.analysis.season.kernel_calendars import week_sums


def test_sums_of_all_groups_are_those_of_each_alone() -> None:
    chance = np.random.default_rng(6)
    count, groups = 400, 9
    group = chance.integers(0, groups - 1, count)
    days = chance.choice([365, 366], count)
    day = np.minimum(chance.integers(1, 367, count), days)
    found, effort = chance.random(count) < 0.3, chance.uniform(0.1, 3.0, count)
    kernel = baseline.KERNEL_CONCENTRATION.value
    hits, efforts = week_sums(
        group,
        day,
        days,
        [found, effort],
        groups=groups,
        at_rad=baseline.WEEK_ANGLES_RAD,
        concentration=kernel,
    )
    angle = circular.day_angle(day, days)
    weights = np.exp(kernel * (np.cos(np.array(baseline.WEEK_ANGLES_RAD)[:, None] - angle[None, :]) - 1.0))
    for number in range(groups):
        own = group == number
        assert np.allclose(hits[number], weights[:, own] @ found[own], rtol=0.0, atol=1e-12)
        assert np.allclose(efforts[number], weights[:, own] @ effort[own], rtol=0.0, atol=1e-12)
    assert not hits[groups - 1].any()
