"""Seasons and trees of open data: specimen dates of a herbarium, and fruit bodies round one birch."""

from __future__ import annotations

import csv
import datetime
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sitebook.analysis.season import circular, model, spots
from sitebook.analysis.season.ends import season_spans
from sitebook.analysis.season.looks import middle_of
from sitebook.analysis.season.prior import season_prior
from sitebook.analysis.season.spot_looks import SpotLooks, gather
from sitebook.analysis.season.spots import Fitted
from sitebook.ground.projection import LocalMetres
from sitebook.intake.cells import CellError
from sitebook.intake.table.dates import Interval, read_interval
from sitebook.records.find import Determination, Find
from sitebook.records.outing import Visit
from sitebook.records.results.fruiting import SEASON_MODEL
from sitebook.records.taxon import Taxon
from tests.analysis.season.test_spots import dry

YEAR_DAYS = 365.25
CORTINARIUS = 5
NOON = datetime.datetime(2025, 1, 1, 12, tzinfo=datetime.UTC)


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
    own = [span for name, span in specimens if name == "Cortinarius" and span is not None]
    whole = [span.first for span in own if span.first == span.last]
    gathered = _gathered(own, sorted(set(_whole(specimens))))
    looks, finds = gathered.looks[CORTINARIUS], gathered.finds[CORTINARIUS]
    assert all(look.effort_assumed and look.site_id is None for look in looks)
    assert sorted(look.local_date for look in looks if look.found and look.local_date) == sorted(whole)
    assert len(looks) > 2 * len(whole) > 400
    assert len(finds) == len(own)
    assert sum(find.middle is None for find in finds) == len(own) - len(whole) == 5
    prior = season_prior([])
    made = spots.made_looks(looks, {}, prior, dry)
    fit = model.fit(made, prior)
    fitted = Fitted(CORTINARIUS, "Cortinarius", False, False, prior, looks, made, fit, SEASON_MODEL, "")  # noqa: FBT003
    latest = max(season_spans(fitted, []), key=lambda span: span.peak.day)
    angles = circular.day_angle([date.timetuple().tm_yday for date in whole], YEAR_DAYS)
    mean_day = float(circular.mean_direction(angles)) * YEAR_DAYS / (2.0 * math.pi)
    assert latest.peak.day == pytest.approx(mean_day, abs=35.0)


def _gathered(own: list[Interval], outings: list[datetime.date]) -> SpotLooks:
    """Sort specimens of one genus into looks; each day on which anything was gathered is a visit."""
    visit_of = {date: number for number, date in enumerate(outings, start=1)}
    stamp: dict[str, Any] = {"created_at": NOON, "changed_at": NOON}
    visits = [
        Visit(id=key, uuid=f"v{key}", local_date=date, reason="seen first", looked_for_all=False, **stamp)
        for date, key in visit_of.items()
    ]
    finds = [
        Find(
            id=key, uuid=f"f{key}", collector_id=1, found_on=span.first, found_on_end=span.last,
            visit_id=visit_of[span.first] if span.first == span.last else None, **stamp,
        )
        for key, span in enumerate(own, start=1)
    ]  # fmt: skip
    names = [
        Determination(
            id=f.id, uuid=f"d{f.id}", find_id=f.id or 0, verbatim_name="Cortinarius", taxon_id=CORTINARIUS,
            determined_by=1, **stamp,
        )
        for f in finds
    ]  # fmt: skip
    taxon = Taxon(id=CORTINARIUS, uuid="t", scientific_name="Cortinarius", **stamp)
    return gather(visits, [], finds=finds, hosts=[], standing_names=names, taxa=[taxon])


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
