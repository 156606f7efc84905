"""The drift curves against their published table and against integration."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from sitebook import vocabulary
from sitebook.analysis.contamination.drift import curves, drift_percent, groups, strip_mean_percent

TABLE = {
    "arable_below_50cm": {
        1: 2.77,
        3: 0.95,
        5: 0.57,
        10: 0.29,
        15: 0.20,
        20: 0.15,
        30: 0.10,
        40: 0.07,
        50: 0.06,
    },
    "fruit_early": {3: 29.20, 5: 19.89, 10: 11.81, 15: 5.55, 20: 2.77, 30: 1.04, 40: 0.52, 50: 0.30},
    "fruit_late": {3: 15.73, 5: 8.41, 10: 3.60, 15: 1.81, 20: 1.09, 30: 0.54, 40: 0.32, 50: 0.22},
    "vines_late_or_above_50cm": {
        3: 8.02,
        5: 3.62,
        10: 1.23,
        15: 0.65,
        20: 0.42,
        30: 0.22,
        40: 0.14,
        50: 0.10,
    },
    "vines_early": {3: 2.70, 5: 1.18, 10: 0.39, 15: 0.20, 20: 0.13, 30: 0.07, 40: 0.04, 50: 0.03},
    "hops": {3: 19.33, 5: 11.57, 10: 5.77, 15: 3.84, 20: 1.79, 30: 0.56, 40: 0.25, 50: 0.13},
    "railway": {3: 0.01872, 5: 0.01436, 10: 0.01003, 15: 0.00812, 20: 0.00700, 30: 0.00567, 50: 0.00435},
}
"""Published table of JKI 2010 (Rautmann 2001): metres to percent of the rate, one application."""


@pytest.mark.source(
    item="C20",
    what="drift beside arable crops at 1, 3 and 5 m",
    value="2.7593, 0.9424748, 0.5719342",
    source="FOCUS 2001, appendix B table B.1",
    mark="confirmed",
)
def test_arable_curve() -> None:
    found = drift_percent([1, 3, 5], "arable_below_50cm")
    np.testing.assert_allclose(found, [2.7593, 0.9424748, 0.5719342], rtol=3e-7)


@pytest.mark.source(
    item="C21",
    what="drift beside early fruit at 3, 5, 20 and 50 m",
    value="29.1973659, 19.8844422, 2.7618138, 0.3012008",
    source="FOCUS 2001, appendix B table B.1",
    mark="confirmed",
)
def test_early_fruit_curve() -> None:
    found = drift_percent([3, 5, 20, 50], "fruit_early")
    np.testing.assert_allclose(found, [29.1973659, 19.8844422, 2.7618138, 0.3012008], rtol=3e-7)


@pytest.mark.source(
    item="C22",
    what="drift beside late fruit at 3, 5, 20 and 50 m",
    value="15.7246994, 8.4108487, 1.0813887, 0.2155992",
    source="documentation of the R package pfm",
    mark="confirmed",
)
def test_late_fruit_curve() -> None:
    found = drift_percent([3, 5, 20, 50], "fruit_late")
    np.testing.assert_allclose(found, [15.7246994, 8.4108487, 1.0813887, 0.2155992], rtol=3e-7)


@pytest.mark.source(
    item="C23",
    what="mean drift over strips one metre wide",
    value="arable 1.9273922, 0.8160023, 0.5224362; early fruit 26.1193421, 18.5428680, 2.6038558, 0.2940792",
    source="tests of the R package pfm, after FOCUS 2001 section 5.4.5",
    mark="secondary",
)
def test_strip_means() -> None:
    arable = strip_mean_percent([1, 3, 5], 1, "arable_below_50cm")
    fruit = strip_mean_percent([3, 5, 20, 50], 1, "fruit_early")
    np.testing.assert_allclose(arable, [1.9273922, 0.8160023, 0.5224362], rtol=2e-7)
    np.testing.assert_allclose(fruit, [26.1193421, 18.5428680, 2.6038558, 0.2940792], rtol=2e-7)


@pytest.mark.source(
    item="C24",
    what="either side of the hinge of early fruit",
    value="10.6991 below 11.4 m, 10.7538 from it on",
    source="FOCUS 2001, appendix B table B.1",
    mark="computed",
)
def test_the_hinge_belongs_to_the_far_piece() -> None:
    below, at = drift_percent([11.3999, 11.4], "fruit_early")
    assert below == pytest.approx(10.6991, abs=2e-4)
    assert at == pytest.approx(10.7538, abs=5e-5)


@pytest.mark.source(
    item="C32",
    what="drift from weed-control trains at 3 and 50 m",
    value="0.018722, 0.004351",
    source="fit to the railway column of the JKI table",
    mark="computed",
)
def test_railway_curve() -> None:
    np.testing.assert_allclose(drift_percent([3, 50], "railway"), [0.018722, 0.004351], atol=5e-7)


@pytest.mark.source(
    item="",
    what="the whole published drift table, 58 values",
    value="within half its last digit or 1.5 %",
    source="JKI 2010 table of basic drift values (Rautmann 2001)",
    mark="confirmed",
)
@pytest.mark.parametrize("group", sorted(TABLE))
def test_published_table(group: str) -> None:
    for distance_m, percent in TABLE[group].items():
        digits = len(str(percent).rpartition(".")[2])
        allowed = max(0.5 * 10.0**-digits * 1.6, 0.032 * percent)
        assert float(drift_percent(distance_m, group)) == pytest.approx(percent, abs=allowed)


def test_groups_are_the_words_of_the_book() -> None:
    assert set(groups()) == set(vocabulary.DRIFT_GROUP.all)


def test_more_applications_belong_to_arable_alone() -> None:
    assert {n for group, n in curves() if group == "arable_below_50cm"} == set(range(1, 9))
    assert {n for group, n in curves() if group != "arable_below_50cm"} == {1}
    for group, number in (("fruit_late", 2), ("arable_below_50cm", 9), ("lawn", 1), ("hops", 0)):
        with pytest.raises(ValueError, match="no drift curve"):
            drift_percent(5.0, group, number)


@pytest.mark.parametrize("distance_m", [-0.1, float("nan")])
def test_impossible_distances_are_refused(distance_m: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        drift_percent(distance_m, "hops")


@given(st.sampled_from(sorted(TABLE)), st.floats(0.0, 1.0), st.floats(0.0, 500.0), st.floats(0.1, 100.0))
def test_drift_is_flat_below_a_metre_and_falls_beyond(
    group: str, near_m: float, far_m: float, step_m: float
) -> None:
    assert float(drift_percent(near_m, group)) == float(drift_percent(1.0, group))
    jump = 1.006  # the two pieces of a curve do not quite meet at its hinge
    assert float(drift_percent(far_m + step_m, group)) <= float(drift_percent(far_m, group)) * jump


@pytest.mark.parametrize("group", sorted(TABLE))
def test_a_strip_over_the_hinge_is_the_integral(group: str) -> None:
    hinge_m = curves()[group, 1].hinge_m
    breaks = [hinge_m] if np.isfinite(hinge_m) else None
    area, _ = quad(lambda z: float(drift_percent(z, group)), 5.0, 25.0, points=breaks)
    assert float(strip_mean_percent(5.0, 20.0, group)) == pytest.approx(area / 20.0, rel=1e-8)
