"""First-order decay fitted to comparison data, against twelve other programs that fitted the same."""

from __future__ import annotations

import csv
import math
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares

from sitebook.analysis.contamination.decay import remaining_fraction

Floats = NDArray[np.float64]

COLUMN = {
    "A": ("A", "parent"),
    "B": ("B", "parent"),
    "C": ("C", "parent"),
    "D": ("D", "parent"),
    "F system": ("F", "system"),
    "F water": ("F", "water"),
}
"""Set of the comparison to its file, and to the substance or compartment in it."""

PROGRAMS = 12
"""ACSL, Excel, Kinetica, Madonna, Mathematica, MatLab, ModelMaker, ModelManager, PRISM, Statistica,
Tablecurve and Tablecurve 2D."""


def measured(path: Path, what: str) -> tuple[Floats, Floats]:
    """Read days and percent left, without what was not measured."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["name"] == what and row["value"] not in {"", "NA"}]
    return np.array([float(row["time"]) for row in rows]), np.array([float(row["value"]) for row in rows])


def fitted(days: Floats, percent: Floats) -> tuple[float, float]:
    """Fit what there was at first and its half-life by least squares, our decay being the model."""

    def misfit(guess: Floats) -> Floats:
        return np.asarray(guess[0] * remaining_fraction(days, math.exp(guess[1])) - percent)

    found = least_squares(misfit, [percent.max(), math.log(20.0)], xtol=1e-12, ftol=1e-12)
    return float(found.x[0]), math.exp(float(found.x[1]))


@pytest.fixture(scope="module")
def others(shared_file: Callable[[str], Path]) -> dict[str, dict[str, tuple[float, float]]]:
    """Read set to program to first value and half-life."""
    found: dict[str, dict[str, tuple[float, float]]] = defaultdict(dict)
    path = shared_file("degradation/FOCUS_2006_SFO_reference.csv")
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found[row["dataset"]][row["package"].strip()] = float(row["M0"]), float(row["DT50"])
    return found


def test_the_programs_are_all_there(others: dict[str, dict[str, tuple[float, float]]]) -> None:
    assert set(others) == set(COLUMN)
    assert len({name for programs in others.values() for name in programs}) == PROGRAMS


@pytest.mark.source(
    item="",
    what="half-lives fitted to FOCUS sets A, B, C, D and F, each against every program that fitted it",
    value="A 18.62-18.68, B 8.86-8.89, C 2.26-2.28, D 7.00-7.08, F system 17.35-17.42, F water 12.51-12.63 d",
    source="twelve programs compared on the FOCUS 2006 sets, as shipped with the R package mkin",
    mark="confirmed",
)
@pytest.mark.parametrize("name", list(COLUMN))
def test_fits_agree_with_other_programs(
    shared_file: Callable[[str], Path], others: dict[str, dict[str, tuple[float, float]]], name: str
) -> None:
    letter, what = COLUMN[name]
    start, half_life = fitted(*measured(shared_file(f"degradation/FOCUS_2006_{letter}.csv"), what))
    half_lives = [each for _, each in others[name].values()]
    starts = [each for each, _ in others[name].values()]
    assert min(half_lives) - 0.005 <= half_life <= max(half_lives) + 0.005
    assert half_life == pytest.approx(float(np.median(half_lives)), rel=0.003)
    assert start == pytest.approx(float(np.median(starts)), rel=0.003)


@pytest.mark.source(
    item="",
    what="the parent substance of FOCUS set E, whose values are those of set C",
    value="2.26-2.28 d",
    source="eight programs on FOCUS 2006 set C, as shipped with the R package mkin",
    mark="confirmed",
)
def test_set_e_repeats_the_parent_of_set_c(shared_file: Callable[[str], Path]) -> None:
    third, fifth = (measured(shared_file(f"degradation/FOCUS_2006_{x}.csv"), "parent") for x in "CE")
    np.testing.assert_array_equal(third, fifth)
    assert 2.255 <= fitted(*fifth)[1] <= 2.285
