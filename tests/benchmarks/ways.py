"""Times the graph of a book's ways, made, kept and read again, against networkx on the same ways."""

from __future__ import annotations

import argparse
import datetime
import pickle
import tempfile
from pathlib import Path

import networkx
import numpy as np

from sitebook.analysis.foray.ways_graph import WaysGraph
from sitebook.records.map_data import Way
from sitebook.store import derived, map_data
from sitebook.work import opened
from sitebook.work.beginning import new_book
from sitebook.work.bring_in import bring_in
from sitebook.work.ways import KIND, travel_of, ways_of
from tests.analysis.foray.networks import their_graph
from tests.benchmarks.extract import repeat
from tests.benchmarks.route import wall

NOW = datetime.datetime(2025, 10, 1, 12, 0, tzinfo=datetime.UTC)
PLACES = 42
THEIR_SEARCHES = 4
"""A search by networkx is timed from so many places, and told for all."""


def book_of(extract: Path, folder: Path) -> Path:
    """Make a book that holds an extract."""
    path = folder / f"{extract.name.partition('.')[0]}.gpkg"
    new_book(path, title="Town", owner="Orla Vennar", initials="OV", zone="Europe/Helsinki", now=NOW)
    with opened(path) as book:
        bring_in(book, [extract], now=NOW)
    return path


def asked(path: Path) -> tuple[WaysGraph, float]:
    """Open a book and ask for its graph, kept where it can be."""

    def ask() -> WaysGraph | None:
        with opened(path) as book:
            return ways_of(book, now=NOW)

    found, seconds = wall(ask)
    if found is None:
        raise ValueError(f"{path} holds no way")
    return found, seconds


def ours(said: str, path: Path) -> WaysGraph:
    """Time a book's graph, and travel between places on foot and by car."""
    _, first_s = asked(path)
    graph, again_s = asked(path)
    with opened(path) as book:
        (kept,) = derived.kept(book, KIND).values()
    random = np.random.default_rng(1)
    spots = graph.junctions_m[random.choice(len(graph.junctions_m), PLACES, replace=False)]
    places = [(float(lon), float(lat)) for lon, lat in graph.metres.to_degrees(spots)]
    kept_mb = len(kept.payload) / 1e6
    print(
        f"{said}: {len(graph.first):,} pieces; made and kept {first_s:.2f} s, {kept_mb:.1f} MB; asked again"
        f" {again_s:.2f} s"
    )
    for mode in ("foot", "car"):
        _, seconds = wall(lambda mode=mode: travel_of(graph, mode, places[0], places[1:-1], places[-1]))  # type: ignore[misc]
        print(f"{said}: {PLACES} places by {mode}: {seconds:.2f} s")
    return graph


def theirs(said: str, path: Path, graph: WaysGraph) -> None:
    """Time a graph of networkx, on foot alone: made of the same ways, pickled and read, and searched."""
    with opened(path) as book:
        ways, load_s = wall(lambda: map_data.standing(book, Way))
    made, build_s = wall(lambda: their_graph(ways, "foot", graph.metres))
    kept, dump_s = wall(lambda: pickle.dumps(made))
    _, read_s = wall(lambda: pickle.loads(kept))  # noqa: S301 - written a line before
    nodes = list(made.nodes)[:: len(made.nodes) // THEIR_SEARCHES][:THEIR_SEARCHES]
    _, search_s = wall(lambda: [networkx.single_source_dijkstra_path_length(made, n) for n in nodes])
    print(
        f"{said}, networkx on foot alone: ways loaded {load_s:.2f} s, graph {build_s:.2f} s, pickled"
        f" {dump_s:.2f} s ({len(kept) / 1e6:.1f} MB), read {read_s:.2f} s, {PLACES} searches"
        f" {search_s * PLACES / len(nodes):.1f} s"
    )


def main() -> None:
    """Print seconds for a city and for twenty of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("shared", type=Path, help="the folder of open data")
    city = parser.parse_args().shared / "osm" / "Helsinki.osm.pbf"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        large = folder / "large.osm.pbf"
        repeat(city, large)
        for said, extract in (("Helsinki", city), ("Helsinki x 20", large)):
            path = book_of(extract, folder)
            graph = ours(said, path)
            theirs(said, path, graph)


if __name__ == "__main__":
    main()
