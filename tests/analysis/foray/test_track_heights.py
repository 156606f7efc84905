"""Tests that ways take their slope from tracks walked along them, and from nothing else."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import numpy as np
import pytest
from shapely import LineString

from sitebook.analysis.foray import pace, ways_kept
from sitebook.analysis.foray.ways_graph import build
from sitebook.analysis.foray.ways_travel import travel
from sitebook.records.outing import Track
from tests.analysis.foray.ways import TOWN, at, made_way

NOW = datetime.datetime(2025, 10, 1, tzinfo=datetime.UTC)


def made_track(points_m: Sequence[tuple[float, float]], heights_m: Sequence[float | None] | None) -> Track:
    """Record a track through points given in metres round the middle of the island."""
    told = None if heights_m is None else ",".join("" if h is None else f"{h:.1f}" for h in heights_m)
    return Track(
        uuid=f"{points_m[0]} {told}",
        created_at=NOW,
        changed_at=NOW,
        entered_by=None,
        batch_id=None,
        withdrawn_at=None,
        name=None,
        piece=1,
        started_at=None,
        ended_at=None,
        point_seconds=None,
        point_elevations_m=told,
        geom=LineString(TOWN.to_degrees(points_m)),
    )


def slope_track(slope: float, y_m: float = 0.0, datum_m: float = 100.0) -> Track:
    """Record a track that rises steadily along the x axis."""
    xs = np.arange(-100.0, 1101.0, 20.0)
    return made_track([(float(x), y_m) for x in xs], [datum_m + slope * float(x) for x in xs])


def _minutes(*tracks: Track, road_class: str = "footway") -> tuple[float, float]:
    way = made_way((0, 0), (400, 0), (700, 0), (1000, 0), road_class=road_class)
    found = travel(build([way], tracks=tracks), "foot", [at(0, 0), at(1000, 0)]).minutes
    return float(found[0, 1]), float(found[1, 0])


@pytest.mark.source(
    item="",
    what="minutes for a kilometre rising and falling by a tenth, over ways with a track on them",
    value="60 / (6 exp(-3.5 |slope + 0.05|))",
    source="Tobler 1993, hiking function, worked out by hand",
    mark="secondary",
)
def test_a_kilometre_of_way_takes_what_the_hiking_function_says() -> None:
    up, down = _minutes(slope_track(0.1))
    assert up == pytest.approx(60.0 / (6.0 * np.exp(-3.5 * 0.15)), rel=2e-3)
    assert down == pytest.approx(60.0 / (6.0 * np.exp(-3.5 * 0.05)), rel=2e-3)


def test_without_heights_or_beside_the_way_it_is_level() -> None:
    level = _minutes()
    assert level[0] == pytest.approx(60.0 / 5.0367, rel=2e-3)
    bare = made_track([(0, 0), (1000, 0)], None)
    torn = made_track([(0, 0), (500, 0), (1000, 0)], [None, 3.0, None])
    assert _minutes(bare, torn, slope_track(0.2, y_m=60.0)) == pytest.approx(level)


def test_stairs_and_riders_keep_their_speed() -> None:
    assert _minutes(slope_track(0.2), road_class="steps") == pytest.approx(_minutes(road_class="steps"))
    way = made_way((0, 0), (1000, 0), road_class="residential")
    flat, hilly = (build([way], tracks=tracks) for tracks in ((), (slope_track(0.2),)))
    for mode in ("bicycle", "car"):
        assert np.array_equal(flat.networks[mode].minutes, hilly.networks[mode].minutes)


def test_two_receivers_that_differ_by_a_hill_make_no_hill() -> None:
    halves = [
        made_track([(float(x), 0.0) for x in xs], [datum] * len(xs))
        for xs, datum in ((range(-100, 560, 20), 20.0), (range(440, 1110, 20), 60.0))
    ]
    assert _minutes(*halves) == pytest.approx(_minutes(), rel=1e-6)


def test_a_wavering_receiver_is_smoothed_and_a_leap_is_cut() -> None:
    xs = np.arange(-100.0, 1101.0, 10.0)
    waver = made_track([(float(x), 0.0) for x in xs], [100.0 + 4.0 * (k % 2) for k in range(len(xs))])
    assert _minutes(waver) == pytest.approx(_minutes(), rel=0.03)
    leap = made_track([(float(x), 0.0) for x in xs], [0.0 if x < 500 else 4000.0 for x in xs])
    slowest = float(pace.hiking_speed_kmh(pace.value("track_steepest")))
    assert _minutes(leap)[0] <= 60.0 / slowest + 1.0


def test_the_graph_keeps_where_heights_are_known() -> None:
    ways = [made_way((0, 0), (1000, 0)), made_way((0, 0), (0, 900))]
    graph = ways_kept.unpack(ways_kept.pack(build(ways, tracks=[slope_track(0.1)])))
    assert graph.length_m[graph.with_heights].sum() == pytest.approx(1000.0, abs=0.5)
    assert travel(graph, "foot", [at(0, 0), at(1000, 0)]).minutes[0, 1] == pytest.approx(
        _minutes(slope_track(0.1))[0], rel=1e-6
    )
