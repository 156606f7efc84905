"""Circular statistics against published figures, open data sets and the turn of the year."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.season import circular

SIX = np.radians([51.0, 67.0, 40.0, 109.0, 31.0, 358.0])
PIGEONS = np.radians(
    [85.0, 135.0, 135.0, 140.0, 145.0, 150.0, 150.0, 150.0, 160.0, 285.0, 200.0, 210.0, 220.0, 225.0, 270.0]
)
ZAR = np.radians([45.0, 55.0, 81.0, 96.0, 110.0, 117.0, 132.0, 154.0])
JS = "Jammalamadaka & SenGupta 2001 p. 23, through a test of astropy"
ANGLES = st.lists(st.floats(0.0, 6.28), min_size=1, max_size=30)


def column(path: Path, name: str = "value") -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    with path.open(encoding="utf-8", newline="") as file:
        return np.array([float(line[name]) for line in csv.DictReader(file)])


@pytest.mark.source(item="S22", what="mean of six angles", value="48.63 deg", source=JS, mark="secondary")
def test_mean_of_six_angles() -> None:
    assert math.degrees(circular.mean_direction(SIX)) == pytest.approx(48.63, abs=0.005)


@pytest.mark.source(item="S23", what="circular variance", value="0.1635635", source=JS, mark="secondary")
def test_circular_variance_of_six_angles() -> None:
    assert 1.0 - circular.resultant_length(SIX) == pytest.approx(0.1635635, abs=5e-8)


@pytest.mark.source(
    item="S24",
    what="second moment",
    value="90.9926 deg, 0.4800428",
    source="astropy's tests of its circular statistics",
    mark="secondary",
)
def test_second_moment_of_six_angles() -> None:
    direction, length = circular.moment(SIX, 2)
    assert math.degrees(direction) == pytest.approx(90.9926, abs=5e-5)
    assert length == pytest.approx(0.4800428, abs=5e-8)


@pytest.mark.source(
    item="",
    what="direction of the third, fourth moment with its length",
    value="1.963919 rad; 2.685556 rad, 0.2255761",
    source="astropy's tests of its circular statistics (third length 0.236541 left out: it sums to 0.236564)",
    mark="secondary",
)
def test_higher_moments_of_six_angles() -> None:
    direction, length = circular.moment(SIX, 3)
    assert direction == pytest.approx(1.963919, abs=5e-7)
    cosines, sines = sum(math.cos(3 * a) for a in SIX), sum(math.sin(3 * a) for a in SIX)
    assert length == pytest.approx(math.hypot(cosines, sines) / 6, abs=1e-12)
    direction, length = circular.moment(SIX, 4)
    assert direction == pytest.approx(2.685556, abs=5e-7)
    assert length == pytest.approx(0.2255761, abs=5e-8)


@pytest.mark.source(
    item="S25",
    what="mean resultant length of five angles",
    value="0.9202565",
    source="worked value of the R package CircStats",
    mark="secondary",
)
def test_resultant_of_five_angles() -> None:
    five = np.radians([190.18, 175.48, 155.95, 217.83, 156.36])
    assert circular.resultant_length(five) == pytest.approx(0.9202565, abs=5e-7)
    assert circular.rayleigh_p(five) == pytest.approx(0.00692, abs=5e-6)


@pytest.mark.source(
    item="S26",
    what="exact concentration of ten angles",
    value="1.4807",
    source="root found numerically; CircStats approximates it as 1.474132",
    mark="computed",
)
def test_concentration_is_the_exact_root() -> None:
    ten = [
        3.3699057,
        4.0411630,
        0.5014477,
        2.6223103,
        3.7336524,
        1.8136389,
        4.1566039,
        2.7806317,
        2.4672173,
        2.8493644,
    ]
    kappa = circular.concentration_of(float(circular.resultant_length(ten)))
    assert circular.mean_direction(ten) == pytest.approx(3.006514, abs=5e-7)
    assert kappa == pytest.approx(1.4807, abs=5e-5)
    assert kappa == pytest.approx(1.474132, rel=0.005)


@pytest.mark.source(
    item="S27",
    what="mean, resultant and Rayleigh test of eight angles",
    value="99 deg, 0.82522, 0.001 < P < 0.002",
    source="Zar, Biostatistical Analysis, examples 26.4 and 27.1",
    mark="memory",
)
def test_eight_angles_of_zar() -> None:
    assert math.degrees(circular.mean_direction(ZAR)) == pytest.approx(98.99, abs=0.005)
    assert circular.resultant_length(ZAR) == pytest.approx(0.82522, abs=5e-6)
    assert circular.rayleigh_p(ZAR) == pytest.approx(0.00185, abs=5e-6)


@pytest.mark.source(
    item="S28",
    what="sea stars, across north",
    value="3.10 deg, 0.8298",
    source="data set fisherB11 of the R package circular (Fisher 1993 B.11)",
    mark="confirmed",
)
def test_sea_stars_cross_north(shared_data: Path) -> None:
    stars = np.radians(column(shared_data / "circular" / "fisherB11.csv"))
    assert len(stars) == 22
    assert math.degrees(circular.mean_direction(stars)) == pytest.approx(3.100, abs=5e-4)
    assert circular.resultant_length(stars) == pytest.approx(0.82977, abs=5e-6)
    assert circular.rayleigh_p(stars) == pytest.approx(7.6e-9, rel=0.01)


@pytest.mark.source(
    item="S29",
    what="pigeons",
    value="172.119 deg, 0.63736, P 0.00136",
    source="Fisher 1993 B.12",
    mark="computed",
)
def test_pigeons() -> None:
    assert math.degrees(circular.mean_direction(PIGEONS)) == pytest.approx(172.119, abs=5e-4)
    assert circular.resultant_length(PIGEONS) == pytest.approx(0.63736, abs=5e-6)
    assert circular.rayleigh_p(PIGEONS) == pytest.approx(0.00136, abs=5e-6)


@pytest.mark.source(
    item="S30",
    what="mean day of six days on both sides of New Year",
    value="364.327",
    source="season notes 3.1",
    mark="computed",
)
def test_days_on_both_sides_of_new_year() -> None:
    angles = circular.day_angle([350, 355, 360, 3, 8, 15], 365)
    mean_day = float(circular.mean_direction(angles)) * 365 / circular.FULL_TURN_RAD + 0.5
    assert mean_day == pytest.approx(364.327, abs=5e-4)
    assert circular.resultant_length(angles) == pytest.approx(0.98413, abs=5e-6)


@pytest.mark.source(
    item="S31",
    what="kernel concentration for 100 angles of concentration 4",
    value="19.763",
    source="Taylor 2008 equation 7, as the R package circular computes it",
    mark="computed",
)
def test_plug_in_concentration() -> None:
    assert circular.plug_in_concentration(100, 4.0) == pytest.approx(19.7631, abs=5e-5)
    assert circular.plug_in_concentration(25, 2.0) == pytest.approx(4.86836, abs=5e-6)


@pytest.mark.source(
    item="",
    what="weighted resultant of seven angles",
    value="0.766282",
    source="season notes 3.2, a worked example with weights",
    mark="secondary",
)
def test_weights_are_counts() -> None:
    angles = np.radians([0.0, 3.6, 36.0, 72.0, 108.0, 169.2, 324.0])
    weights = np.array([12, 1, 6, 1, 2, 1, 1])
    assert circular.resultant_length(angles, weights) == pytest.approx(0.766282, abs=5e-7)
    spread = np.repeat(angles, weights)
    assert circular.mean_direction(angles, weights) == pytest.approx(float(circular.mean_direction(spread)))


@pytest.mark.source(
    item="",
    what="angle of the days about 29 February and New Year",
    value="58.685, 59.508, 58.525, 359.507, 359.508, 0.493 deg",
    source="season notes 3.1",
    mark="computed",
)
def test_day_angle_in_both_kinds_of_year() -> None:
    days, years = [60, 61, 60, 365, 366, 1], [365, 366, 366, 365, 366, 365]
    got = np.degrees(circular.day_angle(days, years))
    assert got == pytest.approx([58.685, 59.508, 58.525, 359.507, 359.508, 0.493], abs=5e-4)


@pytest.mark.source(
    item="",
    what="76 turtles, 14 frogs, 310 winds: mean and resultant",
    value="64.17 deg 0.4971; 145.97 deg 0.7252; 0.2922 rad 0.6557",
    source="data sets fisherB3, ncfrog and wind of the R package circular",
    mark="confirmed",
)
def test_open_data_sets(shared_data: Path) -> None:
    turtles = np.radians(column(shared_data / "circular" / "fisherB3.csv"))
    frogs = np.radians(column(shared_data / "circular" / "ncfrog.csv"))
    winds = column(shared_data / "circular" / "wind.csv")
    assert [len(turtles), len(frogs), len(winds)] == [76, 14, 310]
    assert math.degrees(circular.mean_direction(turtles)) == pytest.approx(64.17, abs=0.005)
    assert circular.resultant_length(turtles) == pytest.approx(0.4971, abs=5e-5)
    assert math.degrees(circular.mean_direction(frogs)) == pytest.approx(145.97, abs=0.005)
    assert circular.resultant_length(frogs) == pytest.approx(0.7252, abs=5e-5)
    assert circular.mean_direction(winds) == pytest.approx(0.2922, abs=5e-5)
    assert circular.resultant_length(winds) == pytest.approx(0.6557, abs=5e-5)


@pytest.mark.source(
    item="",
    what="mean day of 6,761 dated specimens",
    value="244.31 days after the year began, R 0.5750",
    source="data/SOURCE.md, agaricales_usa.csv of the R package fungarium",
    mark="computed",
)
def test_dated_specimens(shared_data: Path) -> None:
    days = []
    with (shared_data / "specimens" / "agaricales_usa.csv").open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            day = complete_day(line["eventDate"])
            if day is not None:
                days.append(day)
    angles = circular.day_angle(days, 365.25)
    elapsed_d = float(circular.mean_direction(angles)) * 365.25 / circular.FULL_TURN_RAD
    assert len(days) == 6761
    assert elapsed_d == pytest.approx(244.31, abs=0.005)
    assert circular.resultant_length(angles) == pytest.approx(0.5750, abs=5e-5)


def complete_day(text: str) -> int | None:
    try:
        when = np.datetime64(text[:10], "D")
    except ValueError:
        return None
    if len(text) < 10 or np.isnat(when):
        return None
    return int((when - when.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)) + 1


@pytest.mark.source(
    item="",
    what="kernel density of six angles at 50 degrees, concentration 10",
    value="0.645903",
    source="season notes 3.3",
    mark="computed",
)
def test_density_of_six_angles() -> None:
    assert circular.von_mises_density(np.radians(50.0), SIX, 10.0).mean() == pytest.approx(0.645903, abs=5e-7)


@given(st.floats(-7.0, 7.0), st.floats(0.0, 900.0))
def test_density_makes_one(mean_rad: float, concentration: float) -> None:
    grid = np.linspace(0.0, 2.0 * math.pi, 4001)[:-1]
    total = circular.von_mises_density(grid, mean_rad, concentration).mean() * 2.0 * math.pi
    assert total == pytest.approx(1.0, abs=1e-9)


@given(ANGLES, st.floats(-20.0, 20.0))
def test_turning_all_turns_the_mean(angles: list[float], turn: float) -> None:
    before, after = circular.moment(angles), circular.moment(np.array(angles) + turn)
    assert after[1] == pytest.approx(float(before[1]), abs=1e-12)
    if before[1] > 1e-3:
        assert math.cos(float(after[0] - before[0]) - turn) == pytest.approx(1.0, abs=1e-9)
        assert 0.0 <= float(after[0]) < 2.0 * math.pi


@given(st.lists(st.floats(0.0, 6.28), min_size=1, max_size=300))
def test_rayleigh_p_is_a_probability(angles: list[float]) -> None:
    assert 0.0 <= float(circular.rayleigh_p(angles)) <= 1.0


def test_ten_near_angles_give_no_negative_p() -> None:
    tight = np.full(10, 1.0) + np.linspace(-0.6, 0.6, 10)
    assert circular.rayleigh_p(tight) > 0.0


def test_axes_and_shapes_follow_numpy() -> None:
    table = np.stack([SIX, SIX + 1.0])
    assert circular.mean_direction(table, axis=1) == pytest.approx(
        [float(circular.mean_direction(SIX)), float(circular.mean_direction(SIX)) + 1.0]
    )
    assert circular.rayleigh_p(table, axis=1).shape == (2,)
    assert circular.von_mises_density(SIX[:, None], [0.0, 1.0], 2.0).shape == (6, 2)


def test_opposite_angles_have_no_mean() -> None:
    direction, length = circular.moment([0.0, math.pi])
    assert math.isnan(direction)
    assert length == pytest.approx(0.0, abs=1e-12)


def test_a_hair_below_north_is_north() -> None:
    assert 0.0 <= circular.mean_direction([-1e-17]) < circular.FULL_TURN_RAD


@pytest.mark.parametrize("weights", [[0.0, 0.0], [-1.0, 2.0]])
def test_weights_that_cannot_be(weights: list[float]) -> None:
    with pytest.raises(ValueError, match="at least one angle"):
        circular.mean_direction([0.0, 1.0], weights)


def test_no_angles_at_all() -> None:
    with pytest.raises(ValueError, match="at least one angle"):
        circular.resultant_length([])


@given(st.floats(0.001, 0.9999))
def test_concentration_gives_its_length_back(length: float) -> None:
    kappa = circular.concentration_of(length)
    grid = np.linspace(-math.pi, math.pi, 20001)[:-1]
    density = circular.von_mises_density(grid, 0.0, kappa)
    assert (density * np.cos(grid)).mean() * 2.0 * math.pi == pytest.approx(length, abs=1e-6)


@pytest.mark.parametrize("length", [-0.1, 1.0, 2.0])
def test_no_concentration_for_an_impossible_length(length: float) -> None:
    with pytest.raises(ValueError, match="from 0 to below 1"):
        circular.concentration_of(length)


def test_no_concentration_at_all() -> None:
    assert circular.concentration_of(0.0) == 0.0
