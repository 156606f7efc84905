"""Tests of the simpler ways to say a chance."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from sitebook.analysis.season.design import Looks, Points, chosen_looks
from sitebook.analysis.season.prior import Hump, SeasonPrior
from sitebook.analysis.season.simpler import (
    SIMPLER,
    constant,
    month_histogram,
    pooled_ratio,
    published_calendar,
)
from tests.analysis.season import worlds

BOOKS = SeasonPrior((Hump(4.6, 4.0),))
MONTH = 2.0 * math.pi / 12.0


def _points(angles: list[float]) -> Points:
    size = len(angles)
    none, unknown = np.full(size, -1), np.zeros((size, 3))
    return Points(
        np.array(angles), none, np.full(size, 30.0), none, none, none, unknown, np.zeros(size, np.bool_)
    )


LOOKS = Looks(_points([0.5 * MONTH] * 3 + [6.5 * MONTH] * 5), np.array([1, 1, 0, 0, 0, 0, 0, 0], np.bool_))


def test_the_constant_is_the_share_of_looks_with_a_find() -> None:
    assert constant(LOOKS, LOOKS.at, BOOKS) == pytest.approx(np.full(8, 2.5 / 9.0))


def test_the_histogram_counts_by_twelfths_and_shrinks() -> None:
    overall = 2.5 / 9.0
    said = month_histogram(LOOKS, _points([0.9 * MONTH, 6.1 * MONTH, 3.0 * MONTH, -0.1]), BOOKS)
    wanted = [(2.0 + 2.0 * overall) / 5.0, 2.0 * overall / 7.0, overall, overall]
    assert said == pytest.approx(wanted)


def test_the_ratio_follows_the_looks_nearby() -> None:
    said = pooled_ratio(LOOKS, _points([0.5 * MONTH, 6.5 * MONTH, 3.5 * MONTH]), BOOKS)
    overall = 2.5 / 9.0
    wanted = [(2.0 + 2.0 * overall) / 5.0, 2.0 * overall / 7.0, overall]
    assert said == pytest.approx(wanted, abs=1e-6)


def test_the_published_calendar_keeps_its_shape_and_takes_its_rate_from_the_looks() -> None:
    at = _points([4.6, 4.6 + math.pi])
    rates = -np.log1p(-published_calendar(LOOKS, at, BOOKS))
    assert rates[0] / rates[1] == pytest.approx(math.exp(8.0))
    many = Looks(_points([4.6] * 4000), np.arange(4000) % 4 == 0)
    assert published_calendar(many, at, BOOKS)[0] == pytest.approx(0.25, abs=0.003)
    longer = replace(at, minutes=2.0 * at.minutes)
    assert np.all(published_calendar(many, longer, BOOKS) > published_calendar(many, at, BOOKS))


@pytest.mark.parametrize("way", list(SIMPLER))
def test_every_way_gives_chances_from_any_looks(way: str) -> None:
    world = worlds.matched(2)
    none = chosen_looks(world.looks, np.zeros(0, np.int64))
    for looks in (world.looks, none):
        said = SIMPLER[way](looks, world.looks.at, world.prior)
        assert said.shape == (len(world.looks),)
        assert np.all((said >= 0.0) & (said <= 1.0))
