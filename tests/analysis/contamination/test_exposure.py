"""Weekly intake against worked arithmetic on published health-based values."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.contamination.exposure import (
    largest_weekly_portion_g,
    margin_of_exposure,
    share_of_weekly_limit,
    weekly_intake_ug,
)


@pytest.mark.source(
    item="C33",
    what="tolerable cadmium of an adult of 70 kg",
    value="175 ug a week",
    source="EFSA CONTAM 2009: 2.5 ug/kg a week",
    mark="confirmed",
)
def test_tolerable_cadmium() -> None:
    assert float(share_of_weekly_limit(175.0, 2.5, 70.0)) == pytest.approx(1.0, rel=1e-12)


@pytest.mark.source(
    item="C34",
    what="250 g a week at 0.50 mg/kg fresh cadmium, as share of the tolerable intake",
    value="71.4286 %",
    source="arithmetic on EFSA 2009 and Regulation (EU) 2023/1510",
    mark="computed",
)
def test_cadmium_at_the_sale_limit() -> None:
    intake = weekly_intake_ug(250.0, 5.0, 0.10)
    assert float(intake) == pytest.approx(125.0)
    assert 100 * float(share_of_weekly_limit(intake, 2.5, 70.0)) == pytest.approx(71.4286, abs=5e-5)


@pytest.mark.source(
    item="C35",
    what="margin of exposure of lead at 0.80 mg/kg fresh, 250 g a week",
    value="1.5435",
    source="EFSA CONTAM 2010: benchmark dose 0.63 ug/kg a day",
    mark="computed",
)
def test_margin_of_lead() -> None:
    assert float(margin_of_exposure(weekly_intake_ug(250.0, 8.0), 0.63, 70.0)) == pytest.approx(
        1.5435, abs=5e-5
    )


@pytest.mark.source(
    item="C36",
    what="mercury of ceps at 0.90 mg/kg fresh, 250 g a week, as share of 4 ug/kg",
    value="80.357 %",
    source="EFSA 2012 and Regulation (EU) 2018/73",
    mark="computed",
)
def test_mercury_of_ceps() -> None:
    share = share_of_weekly_limit(weekly_intake_ug(250.0, 9.0), 4.0, 70.0)
    assert 100 * float(share) == pytest.approx(80.357, abs=5e-4)


@pytest.mark.source(
    item="C37",
    what="fresh portion a week of a mushroom with 117 mg/kg dry cadmium that takes up the tolerable intake",
    value="14.957 g",
    source="arithmetic on EFSA 2009 and Al Sayegh Petkovsek and Pokorny 2013",
    mark="computed",
)
def test_largest_portion() -> None:
    assert float(largest_weekly_portion_g(2.5, 70.0, 117.0)) == pytest.approx(14.957, abs=5e-4)
    portions = largest_weekly_portion_g(2.5, 70.0, [1.0, 5.0, 10.0, 50.0])
    np.testing.assert_allclose(portions, [1750, 350, 175, 35], rtol=1e-12)


@pytest.mark.source(
    item="C38",
    what="lead intake at which the margin is 1, adult of 70 kg, three effects",
    value="44.1, 35, 105 ug a day",
    source="EFSA CONTAM 2010: 0.63, 0.50 and 1.50 ug/kg a day",
    mark="computed",
)
def test_lead_at_margin_one() -> None:
    for bmdl, ug_a_day in ((0.63, 44.1), (0.50, 35.0), (1.50, 105.0)):
        assert float(margin_of_exposure(7 * ug_a_day, bmdl, 70.0)) == pytest.approx(1.0, rel=1e-12)


@pytest.mark.source(
    item="C41",
    what="sale limits in dry mass at one tenth dry matter",
    value="Pb 8, Cd 5, Hg 5 and 9 mg/kg dry",
    source="Regulation (EU) 2023/915 and 2018/73",
    mark="computed",
)
def test_sale_limits_in_dry_mass() -> None:
    for fresh, dry in ((0.80, 8.0), (0.50, 5.0), (0.90, 9.0)):
        assert float(weekly_intake_ug(1000.0, dry)) == pytest.approx(1000.0 * fresh)


def test_nothing_eaten_leaves_an_endless_margin() -> None:
    assert math.isinf(float(margin_of_exposure(0.0, 0.63, 70.0)))
    assert math.isinf(float(largest_weekly_portion_g(2.5, 70.0, 0.0)))


@pytest.mark.parametrize(("eaten", "measured", "dry"), [(-1, 1, 0.1), (1, -1, 0.1), (1, 1, 0.0), (1, 1, 1.1)])
def test_impossible_portions_are_refused(eaten: float, measured: float, dry: float) -> None:
    with pytest.raises(ValueError, match="dry matter"):
        weekly_intake_ug(eaten, measured, dry)


def test_a_body_without_mass_is_refused() -> None:
    with pytest.raises(ValueError, match="body mass"):
        share_of_weekly_limit(1.0, 2.5, 0.0)


@given(st.floats(0.1, 2000.0), st.floats(0.01, 100.0), st.floats(0.03, 0.3), st.floats(5.0, 150.0))
def test_the_largest_portion_takes_up_just_the_limit(
    limit_share: float, measured: float, dry: float, body: float
) -> None:
    portion = largest_weekly_portion_g(limit_share, body, measured, dry)
    share = share_of_weekly_limit(weekly_intake_ug(portion, measured, dry), limit_share, body)
    assert float(share) == pytest.approx(1.0, rel=1e-9)
