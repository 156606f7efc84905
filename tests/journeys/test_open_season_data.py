"""Seasons and trees of open data: specimen dates of a herbarium, and fruit bodies round one birch."""

from __future__ import annotations

import csv
import datetime
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from sitebook.analysis.season import background, circular, model, spots
from sitebook.analysis.season.ends import season_spans
from sitebook.analysis.season.looks import middle_of
from sitebook.analysis.season.prior import season_prior
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.analysis.season.spots import Fitted
from sitebook.ground.projection import LocalMetres
from sitebook.intake.cells import CellError
from sitebook.intake.table.dates import Interval, read_interval
from sitebook.records.results.fruiting import SEASON_MODEL
from tests.analysis.season.test_spots import dry

YEAR_DAYS = 365.25


@pytest.fixture(scope="module")
def specimens(shared_file: Callable[[str], Path]) -> list[tuple[str, Interval | None]]:
    """Give genus or name, and the date as read, of every specimen; None where it is not known or refused."""
    with shared_file("specimens/agaricales_usa.csv").open(encoding="utf-8") as file:
        return [(row["scientificName"], _read(row["eventDate"])) for row in csv.DictReader(file)]


def _read(text: str) -> Interval | None:
    try:
        return read_interval(text)
    except CellError:
        return None


def _whole(specimens: list[tuple[str, Interval | None]]) -> list[datetime.date]:
    return [span.first for _, span in specimens if span is not None and span.first == span.last]


@pytest.mark.source(
    item="",
    what="complete dates of 7,898 fungarium specimens: how many, circular mean day and resultant length",
    value="6,761 (one of the year 0000, which is refused here), 244.31, 0.5750",
    source="Agaricales of the USA, example data of fungarium (Simpson & Schilling 2021)",
    mark="computed",
)
def test_the_specimens_fruit_in_early_september(specimens: list[tuple[str, Interval | None]]) -> None:
    dates = _whole(specimens)
    assert (len(specimens), len(dates)) == (7898, 6760)
    angles = circular.day_angle([date.timetuple().tm_yday for date in dates], YEAR_DAYS)
    mean_day = float(circular.mean_direction(angles)) * YEAR_DAYS / (2.0 * math.pi)
    assert mean_day == pytest.approx(244.31, abs=0.03)
    assert float(circular.resultant_length(angles)) == pytest.approx(0.5750, abs=1e-4)


def test_partial_dates_are_spans_and_speak_for_no_week(specimens: list[tuple[str, Interval | None]]) -> None:
    spans = [span for _, span in specimens if span is not None and span.first != span.last]
    assert len(spans) > 500
    months = [span for span in spans if (span.last - span.first).days in (27, 28, 29, 30)]
    assert len(months) > 400
    assert all(middle_of(span.first, span.last) is None for span in spans)


def test_presence_only_specimens_give_a_season_against_the_days_anybody_was_out(
    specimens: list[tuple[str, Interval | None]],
) -> None:
    outings = _whole(specimens)
    own = [s.first for name, s in specimens if name == "Cortinarius" and s is not None and s.first == s.last]
    pairs = background.looks_behind(own, outings)
    assert sum(found for _, found in pairs) == len(own) > 200
    looks = [SpotLook(1, None, None, date, None, found, effort_assumed=True) for date, found in pairs]
    prior = season_prior([])
    made = spots.made_looks(looks, {}, prior, dry)
    fit = model.fit(made, prior)
    fitted = Fitted(1, "Cortinarius", False, False, prior, tuple(looks), made, fit, SEASON_MODEL, "")  # noqa: FBT003
    spans = season_spans(fitted, [])
    latest = max(spans, key=lambda span: span.peak.day)
    angles = circular.day_angle([date.timetuple().tm_yday for date in own], YEAR_DAYS)
    mean_day = float(circular.mean_direction(angles)) * YEAR_DAYS / (2.0 * math.pi)
    assert latest.peak.day == pytest.approx(mean_day, abs=35.0)


@pytest.mark.source(
    item="",
    what="mean distance of fruit bodies from the birch they were linked to: 190, 129 and 11 of three fungi",
    value="92.16, 67.29 and 34.00 cm",
    source="Ford, Mason & Pelham 1980, Trans. Br. Mycol. Soc. 75: 287-296, as in spatstat.data",
    mark="computed",
)
def test_fruit_bodies_lie_as_far_from_their_birch_on_the_map_as_on_the_ground(
    shared_file: Callable[[str], Path],
) -> None:
    with shared_file("fruiting/sporophores_ford1980.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    at_birch, of_a_site_nearby = LocalMetres(-3.2, 55.9), LocalMetres(-3.15, 55.93)
    placed = at_birch.to_degrees(np.array([[float(row["x_cm"]), float(row["y_cm"])] for row in rows]) / 100.0)
    birch = of_a_site_nearby.to_metres(np.array([[-3.2, 55.9]]))[0]
    away_cm = 100.0 * np.hypot(*(of_a_site_nearby.to_metres(placed) - birch).T)
    species = np.array([row["species"] for row in rows])
    means = {name: float(away_cm[species == name].mean()) for name in sorted(set(species.tolist()))}
    counts = {name: int((species == name).sum()) for name in means}
    assert sorted(counts.values()) == [11, 129, 190]
    by_count = {counts[name]: mean for name, mean in means.items()}
    assert [by_count[n] for n in (190, 129, 11)] == pytest.approx([92.16, 67.29, 34.00], abs=0.006)
