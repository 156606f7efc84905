"""Tests of areas seen from afar as one point."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import i0, k0, k1
from shapely import Polygon, box

from sitebook.analysis.contamination.kernel import area_weight
from sitebook.analysis.contamination.multipoles import FAR_RADII, LARGEST, moments_of, seen_as_point
from sitebook.analysis.contamination.outlines import outlines_of

SHAPES = {
    "square": box(-17, -17, 17, 17),
    "thin triangle": Polygon([(-24.5, 0), (24.5, 0), (24, 2)]),
    "strip": box(-24, -3, 24, 3),
    "small": box(-5, -5, 5, 5),
    "ring": Polygon(box(-15, -15, 15, 15).exterior, [box(-5, -9, 9, 9).exterior]),
}


@pytest.mark.parametrize("shape", list(SHAPES.values()), ids=list(SHAPES))
def test_an_area_far_off_is_what_its_edges_say(shape: Polygon) -> None:
    moments = moments_of(outlines_of([shape]), 1, 10.0)
    away = float(moments.far_from[0]) * np.linspace(1.0, 3.0, 500)
    turn = np.linspace(0.0, 40.0, 500)
    place = np.column_stack([away * np.cos(turn), away * np.sin(turn)])
    share = seen_as_point(place[:, 0], place[:, 1], np.zeros(500, dtype=np.int64), moments)
    exact = area_weight(10.0 * (place + moments.centre[0]), shape, 10.0)
    assert_allclose(share, exact, atol=2e-8, rtol=1e-6)


@pytest.mark.source(
    item="",
    what="share of a disc as wide as the length, 3 lengths off, within the error of 720 corners",
    value="I1(1) K0(3) with I1 from 1 = I0 K1 + I1 K0 at 1",
    source="sum of K0 over a disc; Wronskian of the Bessel functions",
    mark="computed",
)
def test_a_disc_far_off() -> None:
    turn = np.arange(720) * (2 * np.pi / 720)
    moments = moments_of(outlines_of([Polygon(np.column_stack([np.cos(turn), np.sin(turn)]))]), 1, 1.0)
    share = seen_as_point(np.array([3.0]), np.array([0.0]), np.array([0]), moments)
    i1 = (1.0 - i0(1.0) * k1(1.0)) / k0(1.0)
    assert_allclose(share, i1 * k0(3.0), rtol=2e-5)


def test_a_large_area_is_never_seen_as_one_point() -> None:
    half = 0.8 * LARGEST * 10.0
    moments = moments_of(outlines_of([box(-half, -half, half, half), SHAPES["small"]]), 2, 10.0)
    assert np.isinf(moments.far_from[0])
    assert moments.far_from[1] == pytest.approx(max(FAR_RADII * np.hypot(0.5, 0.5), 2.0))
