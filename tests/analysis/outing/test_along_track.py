"""Tests of finding a place on a track by the instant, against a hand-reckoned and an outside track."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest
from shapely import LineString

from sitebook.analysis.outing.along_track import LONGEST_GAP_S, RECEIVER_ERROR_M, spot_at
from sitebook.intake.gpx import read_gpx
from sitebook.records.outing import Track

START = datetime.datetime(2025, 10, 4, 12, 0, tzinfo=datetime.UTC)


def track(seconds: str, lats: list[float], uuid: str = "a") -> Track:
    """Make a track that runs north."""
    last_s = max(float(s) for s in seconds.split(",") if s)
    return Track(
        uuid=uuid,
        created_at=START,
        changed_at=START,
        piece=1,
        started_at=START,
        ended_at=START + datetime.timedelta(seconds=last_s),
        point_seconds=seconds,
        geom=LineString([(-19.4, lat) for lat in lats]),
    )


def at(seconds: float) -> datetime.datetime:
    return START + datetime.timedelta(seconds=seconds)


def test_between_two_points_the_way_is_straight() -> None:
    spot = spot_at([track("0,100", [48.6, 48.601])], at(25))
    assert spot is not None
    assert (spot.lon, spot.lat) == pytest.approx((-19.4, 48.60025), abs=1e-7)
    assert spot.uncertainty_m == pytest.approx(RECEIVER_ERROR_M.value + 111.2 / 2, abs=0.1)


def test_on_a_point_only_the_receiver_errs() -> None:
    for seconds, lat in ((0, 48.6), (100, 48.601)):
        spot = spot_at([track("0,100", [48.6, 48.601])], at(seconds))
        assert spot is not None
        assert (spot.lat, spot.uncertainty_m) == (lat, RECEIVER_ERROR_M.value)


def test_before_after_and_in_a_long_gap_nothing_is_known() -> None:
    gap = LONGEST_GAP_S.value
    long = track(f"0,{gap},{2 * gap + 1}", [48.6, 48.601, 48.602])
    assert spot_at([long], at(-1)) is None
    assert spot_at([long], at(2 * gap + 2)) is None
    assert spot_at([long], at(gap - 1)) is not None
    assert spot_at([long], at(gap + 1)) is None
    assert spot_at([], at(0)) is None


def test_points_without_a_time_are_passed_over() -> None:
    spot = spot_at([track("0,,100", [48.6, 10.0, 48.601])], at(50))
    assert spot is not None
    assert spot.lat == pytest.approx(48.6005, abs=1e-7)


def test_of_two_tracks_the_closer_points_are_taken() -> None:
    coarse, fine = track("0,200", [48.6, 48.602]), track("0,10,200", [48.7, 48.7, 48.7], "b")
    for tracks in ([coarse, fine], [fine, coarse]):
        spot = spot_at(tracks, at(5))
        assert spot is not None
        assert spot.lat == 48.7


@pytest.mark.source(
    item="",
    what="place on exiftool/Geotag.gpx at 17:09:25 UTC of 2003-05-24",
    value="halfway between the points of 17:09:22 and 17:09:28",
    source="test track of exiftool, recorded backwards in time",
    mark="computed",
)
def test_a_track_that_runs_backwards_in_time(shared_file: Callable[[str], Path]) -> None:
    reading = read_gpx(shared_file("photos/exiftool/Geotag.gpx"), zone="UTC")
    drafts = [draft.values for draft in reading.drafts if draft.kind == "track"]
    tracks = [Track(uuid="x", created_at=START, changed_at=START, **values) for values in drafts]  # type: ignore[arg-type]
    spot = spot_at(tracks, datetime.datetime(2003, 5, 24, 17, 9, 25, tzinfo=datetime.UTC))
    assert spot is not None
    assert spot.lat == pytest.approx((43.641922 + 43.642030) / 2, abs=1e-6)
    assert spot.lon == pytest.approx((-116.062338 - 116.061995) / 2, abs=1e-6)
