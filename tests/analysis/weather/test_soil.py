"""Tests of the water and the temperature of the top soil."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.weather.soil_temperature import annual_wave_degc, soil_temperature_degc
from sitebook.analysis.weather.soil_water import (
    SPIN_UP_DAYS,
    UNSURE_DAYS,
    Bucket,
    holds_mm,
    stress,
    water_share,
)


@pytest.mark.source(
    item="",
    what="water a soil holds, what of it is easy to take, and its stress",
    value="160 mm, 64 mm, 0.625 at 100 mm depletion",
    source="FAO-56, example 36 for the first two",
    mark="memory",
)
def test_the_bucket_of_a_tomato_field() -> None:
    assert holds_mm(0.32, 0.12, 0.8) == pytest.approx(160.0)
    bucket = Bucket(160.0, 0.4)
    assert bucket.readily_mm == pytest.approx(64.0)
    assert float(stress(100.0, bucket)) == pytest.approx(0.625)
    assert stress([0.0, 64.0, 160.0], bucket) == pytest.approx([1.0, 1.0, 0.0])


def test_a_wet_soil_is_full_and_a_dry_one_empties_ever_slower() -> None:
    days = 200
    wet = water_share(np.full(days, 20.0), np.full(days, 2.0))
    dry = water_share(np.zeros(days), np.full(days, 3.0))
    assert np.isnan(wet[:SPIN_UP_DAYS]).all()
    assert wet[-1] == pytest.approx(1.0)
    assert 0.0 <= dry[-1] < 0.01
    assert np.all(np.diff(dry[SPIN_UP_DAYS:]) <= 0.0)


def test_a_short_gap_is_bridged_and_not_believed_for_a_while_after() -> None:
    rain, taken = np.full(250, 2.0), np.full(250, 1.0)
    rain[120:123] = np.nan
    share, whole = water_share(rain, taken), water_share(np.full(250, 2.0), taken)
    first = 122 + 3 * round(UNSURE_DAYS.value)
    assert np.isnan(share[120:first]).all()
    assert np.allclose(share[first:], whole[first:])


def test_a_gap_starts_the_run_anew() -> None:
    rain, taken = np.full(250, 2.0), np.full(250, 2.0)
    rain[120:124] = np.nan
    share = water_share(rain, taken)
    assert np.isfinite(share[119])
    assert np.isnan(share[120 : 124 + SPIN_UP_DAYS]).all()
    assert np.isfinite(share[124 + SPIN_UP_DAYS])


@pytest.mark.source(
    item="",
    what="temperature 10 cm deep on days 200 and 15 of an even year",
    value="21.5936 and 2.4147 deg C",
    source="damped wave after Hillel 1982, computed independently",
    mark="computed",
)
def test_the_damped_wave() -> None:
    found = annual_wave_degc(
        [200, 15], depth_m=0.1, mean_degc=12.0, swing_degc=10.0, coldest_day=15.0, diffusivity_m2_d=0.05
    )
    assert found == pytest.approx([21.5936, 2.4147], abs=1e-4)


def test_soil_follows_the_air_late_and_smoothly() -> None:
    day = np.arange(730.0)
    air = 12.0 + 10.0 * np.sin(2 * np.pi * (day - 105.0) / 365.0)
    soil = soil_temperature_degc(air)
    second = slice(365, 730)
    lag = int(np.argmax(soil[second])) - int(np.argmax(air[second]))
    assert 5 <= lag <= 9
    assert np.nanmax(soil[second]) < air[second].max()
    broken = np.where(day == 400, np.nan, air)
    assert np.isnan(soil_temperature_degc(broken)[400:431]).all()


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="holds more"):
        Bucket(0.0)
    with pytest.raises(ValueError, match="share"):
        soil_temperature_degc([1.0], 0.0)
