"""Tests of joining mapped ways into stretches."""

from __future__ import annotations

import uuid
from typing import Any

import pytest
from shapely.geometry import LineString

from sitebook.analysis.contamination import parameters
from sitebook.analysis.contamination.stretches import Stretch, at, cut, half_width_m, joined, stretches_of
from sitebook.ground.projection import LocalMetres
from sitebook.records.map_data import Way

FRAME = LocalMetres(-19.4, 48.6)
Metres = list[tuple[float, float]]


def _way(line: Metres, road_class: str = "residential", **given: Any) -> Way:  # noqa: ANN401 - any column
    shape = LineString(FRAME.to_degrees(line))
    return Way(uuid=str(uuid.uuid4()), road_class=road_class, geom=shape, **given)


def _said(stretches: tuple[Stretch, ...]) -> list[tuple[str, list[tuple[float, float]]]]:
    return [(s.like.name, [(round(x, 3), round(y, 3)) for x, y in s.line_m.tolist()]) for s in stretches]


def test_ways_that_agree_are_joined_in_any_order_and_direction() -> None:
    parts = [[(0.0, 0.0), (50.0, 0.0)], [(90.0, 40.0), (50.0, 0.0)], [(90.0, 40.0), (150.0, 40.0)]]
    ways = [_way(part, name="Long Quay") for part in parts]
    (one,) = stretches_of(ways, FRAME)
    assert one.length_m == pytest.approx(50.0 + 40.0 * 2**0.5 + 60.0, abs=1e-4)
    assert _said(stretches_of(ways[::-1], FRAME)) == _said((one,))


def test_what_differs_is_not_joined() -> None:
    ways = [_way([(0, 0), (50, 0)], name="Long Quay"), _way([(50, 0), (90, 0)], name="Kiln Lane")]
    ways += [_way([(90, 0), (120, 0)], name="Kiln Lane", width_m=11.0)]
    ways += [_way([(120, 0), (150, 0)], name="Kiln Lane", width_m=11.0, tunnel=True)]
    assert len(stretches_of(ways, FRAME)) == 4


def test_three_that_meet_are_cut_there_though_one_way_runs_through() -> None:
    through = [_way([(0, 0), (50, 0), (90, 0)]), _way([(50, 0), (50, 60)])]
    parted = [_way([(50, 0), (0, 0)]), _way([(50, 0), (90, 0)]), _way([(50, 60), (50, 0)])]
    assert len(stretches_of(through, FRAME)) == 3
    assert _said(stretches_of(through, FRAME)) == _said(stretches_of(parted, FRAME))


def test_one_way_roads_keep_their_direction_and_part_where_they_meet_head_on() -> None:
    onward = [_way([(50, 0), (90, 0)], oneway=True), _way([(0, 0), (50, 0)], oneway=True)]
    (one,) = stretches_of(onward, FRAME)
    assert one.line_m[0, 0] < one.line_m[-1, 0]
    assert len(stretches_of([onward[0], _way([(50, 0), (0, 0)], oneway=True)], FRAME)) == 2
    against = [_way([(0, 0), (50, 0)], oneway=True), _way([(90, 0), (50, 0)], oneway=True)]
    assert len(stretches_of(against, FRAME)) == 2


def test_a_closed_line_is_one_stretch_and_turns() -> None:
    ring = [_way([(0, 0), (20, 0), (20, 20)], oneway=True), _way([(20, 20), (0, 20), (0, 0)], oneway=True)]
    (one,) = stretches_of(ring, FRAME)
    assert one.turns
    assert one.length_m == pytest.approx(80.0, abs=1e-4)
    tagged = _way([(0, 0), (20, 0)], oneway=True, raw_tags="highway=primary\njunction=roundabout")
    (part,) = stretches_of([tagged], FRAME)
    assert part.turns


def test_ways_join_across_the_seam_of_longitudes() -> None:
    frame = LocalMetres(180.0, 70.0)
    west = Way(uuid="a", road_class="primary", geom=LineString([(179.99, 70.0), (180.0, 70.0)]))
    east = Way(uuid="b", road_class="primary", geom=LineString([(-180.0, 70.0), (-179.99, 70.0)]))
    (one,) = stretches_of([west, east], frame)
    assert one.length_m == pytest.approx(0.02 * 111_320.0 * 0.342, rel=5e-3)


def test_parts_of_a_stretch() -> None:
    (one,) = stretches_of([_way([(0, 0), (30, 0), (30, 40)])], FRAME)
    assert at(one, 50.0).tolist() == pytest.approx([30.0, 20.0], abs=1e-4)
    part = cut(one, (10.0, 50.0))
    assert part.tolist() == [pytest.approx(p, abs=1e-4) for p in ([10.0, 0.0], [30.0, 0.0], [30.0, 20.0])]
    assert joined([(5.0, 9.0), (0.0, 2.0), (1.0, 5.0)]) == [(0.0, 9.0)]
    assert stretches_of([], FRAME) == ()


@pytest.mark.source(
    item="",
    what="full widths of primary road, residential street and service road; width of a lane",
    value="9, 5, 4 m; 3.25 m",
    source="our own choice for roads without a mapped width, as docs/contamination.md says",
    mark="our choice",
)
def test_width_goes_by_tag_then_lanes_then_class() -> None:
    line: Metres = [(0, 0), (9, 0)]
    assert half_width_m(_way(line, "primary", width_m=12.0, lanes=2.0)) == 6.0
    assert half_width_m(_way(line, "primary", lanes=4.0)) == pytest.approx(2 * 3.25)
    assert [half_width_m(_way(line, word)) for word in ("primary", "residential", "service")] == [
        4.5,
        2.5,
        2.0,
    ]
    assert half_width_m(_way(line, "primary", width_m=900.0)) == 4.5
    assert half_width_m(_way(line, "primary", width_m=0.0, lanes=0.0)) == 4.5
    assert parameters.value("widest_road") < 900.0


@pytest.mark.parametrize("oneway", [False, True])
def test_a_way_that_two_windows_bring_counts_once(oneway: bool) -> None:
    way = _way([(0, 0), (50, 0), (90, 0)], oneway=oneway)
    (one,) = stretches_of([way, way], FRAME)
    assert one.length_m == pytest.approx(90.0, abs=1e-4)
