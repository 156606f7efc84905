"""Tests the graph of ways and the quickest ways over it, against another program and on small maps."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import networkx
import numpy as np
import pytest

from sitebook.analysis.foray import pace, ways_kept
from sitebook.analysis.foray.pace import MODES, Mode
from sitebook.analysis.foray.ways_graph import WaysGraph, build
from sitebook.analysis.foray.ways_travel import search_from, travel
from sitebook.records.map_data import Way
from tests.analysis.foray.networks import their_graph
from tests.analysis.foray.ways import TOWN, at, made_way, ways_of

PAIRS = 300


@pytest.fixture(scope="module")
def helsinki(shared_file: Callable[[str], Path]) -> list[Way]:
    return ways_of(shared_file("osm/Helsinki.osm.pbf"))


@pytest.fixture(scope="module")
def graph(helsinki: list[Way]) -> WaysGraph:
    return build(helsinki)


@pytest.mark.source(
    item="",
    what="time of the quickest way between 300 random pairs of vertices of Helsinki, each mode",
    value="the same to a millionth",
    source="networkx on a graph of its own making",
    mark="computed",
)
@pytest.mark.parametrize("mode", MODES)
def test_quickest_ways_agree_with_networkx(mode: Mode, helsinki: list[Way], graph: WaysGraph) -> None:
    theirs = their_graph(helsinki, mode, graph.metres)
    random = np.random.default_rng(7)
    nodes = list(theirs.nodes)
    chosen = [nodes[k] for k in random.choice(len(nodes), 2 * 20, replace=False)]
    snapped_travel = travel(graph, mode, chosen)
    junctions = len(graph.junctions_m)
    reached = 0
    for start in range(20):
        lengths = networkx.single_source_dijkstra_path_length(theirs, chosen[start])
        for end in random.choice(40, PAIRS // 20, replace=False):
            if graph.networks[mode].large[snapped_travel.snapped.piece[[start, end]]].all() and (
                snapped_travel.snapped.distance_m[[start, end]].max() < 0.01
            ):
                found = snapped_travel.search.minutes[start, junctions + end]
                assert found == pytest.approx(lengths.get(chosen[end], np.inf), rel=1e-6, abs=1e-6)
                reached += 1
    assert reached > PAIRS // 2


@pytest.mark.parametrize("mode", MODES)
def test_lines_run_from_place_to_place_and_take_the_time_told(mode: Mode, graph: WaysGraph) -> None:
    random = np.random.default_rng(3)
    picked = random.choice(len(graph.junctions_m), 8, replace=False)
    places = graph.metres.to_degrees(graph.junctions_m[picked] + random.normal(0.0, 15.0, (8, 2)))
    found = travel(graph, mode, places)
    speeds = [speed.value for speed in pace.speeds(mode).values()]
    for start in range(8):
        for end in range(8):
            if start == end:
                assert found.minutes[start, end] == 0.0
                continue
            leg = found.leg(start, end)
            line = leg.parts[0].lonlat
            assert line[0] == pytest.approx(tuple(places[start]), abs=1e-7)
            assert line[-1] == pytest.approx(tuple(places[end]), abs=1e-7)
            straight = float(np.hypot(*(found.snapped.places_m[start] - found.snapped.places_m[end])))
            assert leg.metres >= straight - 0.01
            slowest = min(*speeds, float(pace.hiking_speed_kmh(0.0)) * pace.value("off_way_share"))
            assert leg.metres / max(*speeds, 5.1) * 0.06 - 1e-6 <= leg.minutes
            assert leg.minutes <= leg.metres / slowest * 0.06 + 1e-6


def test_a_walker_goes_against_a_one_way_street_and_a_car_round_the_block() -> None:
    block = [
        made_way((0, 0), (300, 0), road_class="residential", oneway=True),
        made_way((300, 0), (300, 300), (0, 300), (0, 0), road_class="residential"),
    ]
    graph = build(block)
    places = [at(300, 0), at(0, 0)]
    on_foot, by_car = (travel(graph, mode, places).leg(0, 1).metres for mode in ("foot", "car"))
    assert on_foot == pytest.approx(300.0, abs=0.1)
    assert by_car == pytest.approx(900.0, abs=0.1)
    assert travel(graph, "car", places).leg(1, 0).metres == pytest.approx(300.0, abs=0.1)


def test_a_bridge_is_not_joined_to_what_it_crosses() -> None:
    graph = build(
        [
            made_way((-100, 0), (100, 0), road_class="residential"),
            made_way((0, -100), (0, 100), bridge=True, layer=1),
            made_way((100, 0), (100, 100), (0, 100)),
        ]
    )
    leg = travel(graph, "foot", [at(-100, 0), at(0, -100)]).leg(0, 1)
    assert leg.metres == pytest.approx(200.0 + 100.0 + 100.0 + 200.0, abs=0.1)


def test_places_on_one_piece_go_straight_along_it() -> None:
    graph = build([made_way((0, 0), (1000, 0), road_class="residential", oneway=True)])
    places = [at(200, 0), at(700, 0)]
    found = travel(graph, "foot", places)
    assert found.leg(0, 1).metres == pytest.approx(500.0, abs=0.1)
    assert found.minutes[0, 1] == pytest.approx(found.minutes[1, 0])
    assert found.minutes[0, 1] == pytest.approx(float(pace.walking_minutes(500.0)), rel=1e-3)
    car = search_from(graph, "car", found.snapped).minutes[:, len(graph.junctions_m) :]
    assert np.isfinite(car[0, 1])
    assert np.isinf(car[1, 0])


def test_the_quicker_of_two_ways_between_the_same_vertices_is_taken() -> None:
    twice = [made_way((0, 0), (500, 0), road_class="steps"), made_way((0, 0), (500, 0))]
    minutes = travel(build(twice), "foot", [at(0, 0), at(500, 0)]).minutes
    assert minutes[0, 1] == pytest.approx(float(pace.walking_minutes(500.0)), rel=1e-3)


def test_a_place_beside_a_way_is_walked_to_across_country() -> None:
    graph = build([made_way((0, 0), (1000, 0))])
    leg = travel(graph, "foot", [at(0, 60), at(500, 0)]).leg(0, 1)
    expected = float(pace.off_way_minutes(60.0) + pace.walking_minutes(500.0))
    assert leg.minutes == pytest.approx(expected, rel=1e-3)
    assert leg.metres == pytest.approx(560.0, abs=0.1)


def test_a_stub_that_leads_nowhere_is_passed_over_for_the_network() -> None:
    corners = [(float(x), float(x % 20)) for x in range(0, 1000, 10)]
    graph = build([made_way(*corners), made_way((0, 40), (1, 40))])
    found = travel(graph, "foot", [at(0, 41), at(900, 0)])
    assert not found.unmapped.any()
    assert found.snapped.distance_m[0] > 30.0


def test_where_there_is_no_map_the_stated_detour_is_taken() -> None:
    graph = build([made_way((0, 0), (1000, 0))])
    found = travel(graph, "foot", [at(0, 5000), at(500, 0)])
    straight = float(np.hypot(500.0, 5000.0))
    assert found.unmapped[0, 1]
    assert found.minutes[0, 1] == pytest.approx(float(pace.unmapped_minutes(straight, "foot")), rel=1e-3)
    leg = found.leg(0, 1)
    assert leg.parts[0].unmapped
    assert leg.metres == pytest.approx(straight * pace.value("detour_foot"), rel=1e-3)
    nothing = travel(build([], around=at(0, 0)), "car", [at(0, 0), at(1000, 0)])
    assert nothing.unmapped[0, 1]
    assert nothing.leg(0, 1).metres == pytest.approx(1000.0 * pace.value("detour_car"), rel=1e-3)


def test_a_kept_graph_is_the_graph(graph: WaysGraph) -> None:
    again = ways_kept.unpack(ways_kept.pack(graph))
    places = graph.metres.to_degrees(graph.junctions_m[::700])
    for mode in MODES:
        one, other = travel(graph, mode, places), travel(again, mode, places)
        assert np.array_equal(one.minutes, other.minutes)
        assert one.leg(0, 3) == other.leg(0, 3)
    assert np.array_equal(graph.parking, again.parking)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.98])
def test_a_torn_graph_is_told(share: float) -> None:
    kept = ways_kept.pack(build([made_way((0, 0), (1000, 0))]))
    with pytest.raises(ValueError, match="cannot be read"):
        ways_kept.unpack(kept[: int(len(kept) * share)])


def test_the_sheet_of_metres_touches_the_globe_amid_the_ways() -> None:
    graph = build([made_way((-500, -500), (500, 500))])
    assert (graph.lon, graph.lat) == pytest.approx((TOWN.lon, TOWN.lat), abs=1e-4)


def test_places_nearer_to_each_other_than_to_the_way_are_joined_across_country() -> None:
    graph = build([made_way((0, 0), (1000, 0), road_class="residential")])
    places = [at(300, 80), at(360, 80), at(300, 80), at(600, 80)]
    found = travel(graph, "foot", places)
    assert found.minutes[0, 2] == 0.0
    assert found.minutes[0, 1] == pytest.approx(float(pace.off_way_minutes(60.0)), rel=1e-3)
    leg = found.leg(0, 1)
    assert leg.metres == pytest.approx(60.0, abs=0.1)
    assert not leg.parts[0].unmapped
    assert found.leg(0, 3).metres == pytest.approx(460.0, abs=0.2)
    assert travel(graph, "car", places).minutes[0, 1] > found.minutes[0, 1]
