"""Tests that the graph of a book's ways is kept until they change, and that travel is told with its gaps."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import networkx
import numpy as np
import pytest

from sitebook import errors
from sitebook.analysis.foray import pace
from sitebook.analysis.foray.pace import MODES
from sitebook.analysis.foray.ways_graph import WaysGraph
from sitebook.analysis.foray.ways_travel import travel
from sitebook.records.derived import Derived
from sitebook.records.map_data import Way
from sitebook.records.site import Site
from sitebook.store import derived, map_data, rows
from sitebook.store.book import writing
from sitebook.work import opened, ways
from tests.analysis.foray.networks import their_graph
from tests.intake.osm import extracts
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

if TYPE_CHECKING:
    from tests.conftest import Island

MILL = (-19.4, 48.602)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _graph(
    path: Path, *, near: tuple[float, float] | None = None, now: datetime.datetime | None = books.NOW
) -> WaysGraph | None:
    with opened(path) as found:
        return ways.ways_of(found, near=near, now=now)


def _kept(path: Path) -> list[Derived]:
    with opened(path) as found:
        return list(derived.kept(found, ways.KIND).values())


def _same(one: WaysGraph | None, other: WaysGraph | None) -> bool:
    assert one is not None
    assert other is not None
    return np.array_equal(one.junctions_m, other.junctions_m) and all(
        np.array_equal(one.networks[mode].minutes, other.networks[mode].minutes) for mode in MODES
    )


def test_a_graph_is_kept_and_not_made_again(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    unkept = _graph(book, now=None)
    assert not _kept(book)
    made = _graph(book)
    (kept,) = _kept(book)
    assert kept.made_at == books.NOW
    monkeypatch.setattr(ways, "build", None)
    assert _same(made, unkept)
    assert _same(made, _graph(book, now=books.LATER))
    assert _kept(book) == [kept]


def test_a_newer_map_makes_it_anew_and_its_undoing_gives_the_old_one(tmp_path: Path) -> None:
    book = books.fresh(tmp_path)
    town.bring(book, town.old_map(tmp_path))
    old = _graph(book)
    town.bring(book, town.new_map(tmp_path), now=books.LATER)
    new = _graph(book)
    assert new is not None
    assert old is not None
    assert len(new.first) == len(old.first) == 3
    assert not _same(old, new)
    doing.undo(book)
    assert _same(old, _graph(book))
    doing.undo(book, last=1, back=True)
    assert _same(new, _graph(book))
    assert len(_kept(book)) == 1


def test_a_changed_tag_alone_makes_it_anew(book: Path) -> None:
    before = _graph(book)
    with opened(book) as found, writing(found):
        (street,) = (way for way in rows.records(found, Way) if way.name == "Mill Street")
        rows.update(found, Way, street.id or 0, {"foot_access": "private"})
    assert not _same(before, _graph(book))


def test_a_track_with_heights_makes_it_anew(book: Path, tmp_path: Path) -> None:
    before = _graph(book)
    points = "".join(
        f'<trkpt lat="48.600" lon="{-19.41 + 0.0002 * k:.4f}"><ele>{2 * k}</ele></trkpt>' for k in range(101)
    )
    path = tmp_path / "walk.gpx"
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>",
        "utf-8",
    )
    town.bring(book, path, now=books.LATER)
    after = _graph(book)
    assert after is not None
    assert not _same(before, after)
    assert 1200.0 < after.length_m[after.with_heights].sum() < 1600.0
    told = ways.travel_said(after, "foot", [])
    assert any("known from tracks on 1.5 of 2.8 km" in sentence for sentence in told), told


def test_damaged_bytes_are_made_anew(book: Path) -> None:
    made = _graph(book)
    (kept,) = _kept(book)
    for payload in (b"", b"no graph", kept.payload[:-200]):
        with opened(book) as found:
            fresh = {kept.derived_key: (kept.input_hash, payload)}
            derived.put_in_place(found, ways.KIND, fresh, now=books.NOW)
        assert _same(made, _graph(book))


def test_a_book_that_cannot_be_written_still_answers(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise errors.BookNotWritable("it is write-protected", remedy="Take that away.")

    monkeypatch.setattr(derived, "put_in_place", refuse)
    assert _graph(book) is not None


def test_without_a_map_or_far_from_it_there_is_none(book: Path, tmp_path: Path) -> None:
    assert _graph(books.fresh(tmp_path, "empty.gpkg")) is None
    assert _graph(book, near=(-19.1, 48.6)) is not None
    assert _graph(book, near=(-10.0, 40.0)) is None


def test_maps_far_apart_have_graphs_of_their_own_until_one_joins_them(book: Path, tmp_path: Path) -> None:
    def bring(name: str, west: float, east: float) -> None:
        bounds = f'<bounds minlat="48.59" minlon="{west}" maxlat="48.62" maxlon="{east}"/>'
        ends = extracts.node(101, west + 0.01, 48.6), extracts.node(102, east - 0.01, 48.6)
        number = 200 + int(west)
        line = extracts.way(number, [101, 102], highway="track")
        town.bring(book, extracts.write(tmp_path / name, *ends, line, bounds=bounds), far=True)

    bring("far.osm", -12.0, -11.9)
    here, there = _graph(book, near=MILL), _graph(book, near=(-11.95, 48.6))
    assert here is not None
    assert there is not None
    assert (len(here.first), len(there.first)) == (3, 1)
    assert _same(here, _graph(book))
    assert len(_kept(book)) == 2
    bring("between.osm", -19.3, -12.1)
    together = _graph(book, near=MILL)
    assert together is not None
    assert len(together.first) == 5
    assert len(_kept(book)) == 1


@pytest.mark.parametrize("mode", MODES)
def test_without_a_map_the_stated_detour_is_taken_and_said(mode: pace.Mode) -> None:
    start, stop = MILL, (-19.4, 48.62)
    found = ways.travel_of(None, mode, start, [stop], start)
    straight_m = 0.018 * 111_206.0
    expected = float(pace.unmapped_minutes(straight_m, mode))
    expected += pace.value("park_change") if mode == "car" else 0.0
    assert found.minutes.shape == (3, 3)
    assert found.minutes[0, 1] == pytest.approx(expected, rel=2e-3)
    assert found.minutes[0, 2] == 0.0
    legs = [found.leg(0, 1), found.leg(1, 2)]
    assert all(part.unmapped for leg in legs for part in leg.parts)
    told = ways.travel_said(None, mode, legs)
    assert f"times {pace.value(f'detour_{mode}'):g}" in told[0]
    assert any("as level" in sentence for sentence in told)
    assert any("look at the signs" in sentence for sentence in told) == (mode == "car")


def test_legs_without_a_way_are_counted(book: Path) -> None:
    graph = _graph(book)
    start, off = (-19.41, 48.6), (-19.3, 48.7)
    found = ways.travel_of(graph, "foot", start, [(-19.40, 48.6), off], start)
    told = ways.travel_said(graph, "foot", [found.leg(k, k + 1) for k in range(3)])
    assert any(sentence.startswith("On 2 of 3 legs no way is mapped") for sentence in told), told
    one = ways.travel_said(graph, "foot", [found.leg(0, 1)])
    assert not any("no way is mapped" in sentence for sentence in one)


def test_every_site_of_the_island_is_reached_on_its_ways(island: Island) -> None:
    with opened(island.book) as found:
        graph = ways.ways_of(found)
        sites = [(s.geom.centroid.x, s.geom.centroid.y) for s in rows.records(found, Site)]
    assert graph is not None
    for mode in MODES:
        ours = ways.travel_of(graph, mode, sites[0], sites[1:], sites[0])
        assert np.isfinite(ours.minutes).all()
        legs = [ours.leg(k, k + 1) for k in range(len(sites))]
        assert sum(any(part.unmapped for part in leg.parts) for leg in legs) <= len(legs) // 10


@pytest.mark.source(
    item="",
    what="time of the quickest way between 100 pairs of places of a book with Helsinki, each mode",
    value="the same to a millionth",
    source="networkx on a graph of its own making",
    mark="computed",
)
def test_ways_of_a_city_agree_with_networkx_after_import_and_keeping(
    shared_file: Callable[[str], Path], tmp_path: Path
) -> None:
    book = books.fresh(tmp_path)
    town.bring(book, shared_file("osm/Helsinki.osm.pbf"))
    made, again = _graph(book), _graph(book)
    assert _same(made, again)
    assert again is not None
    with opened(book) as found:
        held = map_data.standing(found, Way)
    random = np.random.default_rng(11)
    for mode in MODES:
        theirs = their_graph(held, mode, again.metres)
        inner = max(networkx.strongly_connected_components(theirs), key=len)
        nodes = sorted(inner)
        places = [nodes[k] for k in random.choice(len(nodes), 12, replace=False)]
        ours = travel(again, mode, places).minutes
        for start in range(0, 12, 3):
            lengths = networkx.single_source_dijkstra_path_length(theirs, places[start])
            assert ours[start] == pytest.approx([lengths[place] for place in places], rel=1e-6, abs=1e-6)
        if mode != "car":
            travelled = ways.travel_of(again, mode, places[0], places[1:-1], places[-1])
            assert np.array_equal(travelled.minutes, ours)
