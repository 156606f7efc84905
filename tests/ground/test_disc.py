"""Tests of the radii that stand for the uncertainty of a position."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.ground.disc import radii_within_m


@given(st.floats(0.01, 5000.0), st.floats(0.0, 5000.0))
def test_a_wider_disc_holds_the_radii_of_a_narrower_one(narrow_m: float, more_m: float) -> None:
    narrow, wide = radii_within_m(narrow_m), radii_within_m(narrow_m + more_m)
    assert set(narrow) <= set(wide)
    assert narrow[-1] >= narrow_m * (1.0 - 1e-9)
    assert narrow[-1] <= max(1.0, narrow_m * 1.26)


def test_a_known_position_has_none_and_ten_metres_are_ten() -> None:
    assert not radii_within_m(0.0).size
    assert radii_within_m(10.0)[-1] == pytest.approx(10.0)
    assert radii_within_m(0.3).tolist() == [1.0]
