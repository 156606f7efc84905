"""Tests of the Bessel functions for many arguments at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from scipy import special

from sitebook.analysis.contamination import bessel

Floats = NDArray[np.float64]


@pytest.mark.source(
    item="C2",
    what="K1(1), K1(0.5), K1(2)",
    value="0.601907230197, 1.656441120003, 0.139865881817",
    source="20-digit evaluation",
    mark="computed",
)
def test_three_values_of_k1() -> None:
    given = bessel.k1(np.array([1.0, 0.5, 2.0]))
    assert_allclose(given, [0.601907230197, 1.656441120003, 0.139865881817], rtol=5e-11)


@pytest.mark.source(
    item="",
    what="K0 and K1 between 1e-9 and 600",
    value="within 3e-11",
    source="scipy.special.k0 and k1",
    mark="computed",
)
@pytest.mark.parametrize(("ours", "theirs"), [(bessel.k0, special.k0), (bessel.k1, special.k1)])
def test_both_agree_with_scipy(ours: Callable[[Floats], Floats], theirs: Callable[[Floats], Floats]) -> None:
    z = np.geomspace(1e-9, 600.0, 20_001)
    assert_allclose(ours(z), theirs(z), rtol=3e-11)
    assert_allclose(ours(z[z >= bessel.FAR]), theirs(z[z >= bessel.FAR]), rtol=3e-11)


def test_shape_is_kept_and_the_argument_left_alone() -> None:
    z = np.array([[0.5, 3.0], [2.0, 40.0]])
    kept = z.copy()
    assert bessel.k0(z).shape == (2, 2)
    assert_allclose(z, kept)
    assert bessel.k1(np.empty(0)).shape == (0,)


def test_very_large_arguments_give_zero() -> None:
    assert_allclose(bessel.k0(np.array([1e4])), [0.0])
