"""Writes the files of a small invented town, and brings files into a book."""

from __future__ import annotations

import datetime
import functools
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from sitebook.records.incoming import SortedLine
from sitebook.records.results.bring_in import BringInReport
from sitebook.work import opened
from sitebook.work.bring_in import Wish, bring_in
from tests.intake.osm import extracts
from tests.work import books

OLD_DAY, NEW_DAY = datetime.date(2023, 5, 1), datetime.date(2024, 6, 2)


def bring(
    book: Path,
    *files: Path,
    now: datetime.datetime = books.NOW,
    **wish: Any,  # noqa: ANN401 - fields of Wish
) -> BringInReport:
    """Bring files into the book at a path, as one command."""
    with opened(book) as found:
        return bring_in(found, files, now=now, wish=Wish(**wish)).result


def lines_of(report: BringInReport) -> list[SortedLine]:
    """Give all lines that stayed out."""
    return [line for file in report.files for line in file.sorted_lines]


def added(report: BringInReport) -> dict[str, int]:
    """Count the rows added by table, over all files."""
    found: dict[str, int] = {}
    for file in report.files:
        for kind, n in file.added.items():
            found[kind] = found.get(kind, 0) + n
    return found


def _stamped(day: datetime.date) -> str:
    return f'version="1" timestamp="{day.isoformat()}T10:00:00Z"'


NODES = {
    1: (-19.410, 48.600),
    2: (-19.400, 48.600),
    3: (-19.390, 48.600),
    4: (-19.400, 48.610),
    5: (-19.405, 48.605),
    6: (-19.404, 48.605),
    7: (-19.404, 48.606),
    8: (-19.405, 48.606),
}


def old_map(folder: Path, name: str = "town_2023.osm") -> Path:
    """Write the older extract: a lane, a coast road, a footpath, a golf course, a tree."""
    return _write(
        folder / name,
        OLD_DAY,
        [
            (10, [1, 2], {"highway": "residential", "name": "Mill Lane"}),
            (11, [2, 3], {"highway": "primary", "name": "Coast Road"}),
            (12, [2, 4], {"highway": "footway"}),
            (20, [5, 6, 7, 8, 5], {"leisure": "golf_course", "name": "Links"}),
        ],
        trees=(30, 31),
    )


def new_map(folder: Path, name: str = "town_2024.osm") -> Path:
    """Write the newer extract: the lane has grown, path, course and one tree are gone, a way is new."""
    return _write(
        folder / name,
        NEW_DAY,
        [
            (10, [1, 2], {"highway": "tertiary", "name": "Mill Street"}),
            (11, [2, 3], {"highway": "primary", "name": "Coast Road"}),
            (13, [3, 4], {"highway": "service"}),
        ],
        trees=(30,),
    )


def _write(
    path: Path,
    day: datetime.date,
    ways: Sequence[tuple[int, list[int], dict[str, str]]],
    trees: Sequence[int],
) -> Path:
    stamp = _stamped(day)
    nodes = [extracts.node(n, lon, lat, stamp) for n, (lon, lat) in NODES.items()]
    wood = [extracts.node(n, -19.41 + n / 10_000, 48.595, stamp, natural="tree") for n in trees]
    lines = [extracts.way(n, points, stamp, **tags) for n, points, tags in ways]
    return extracts.write(path, *nodes, *wood, *lines)


def tables(folder: Path) -> list[Path]:
    """Write tables of sites, trees, people, visits, looks, finds, counts, hazards and weather."""
    return [sites(folder), *_her_tables(folder), *_tables_of_the_place(folder)]


def _her_tables(folder: Path) -> list[Path]:
    return [
        books.table(
            folder,
            "host_tree",
            "site,tag,taxon,lon,lat",
            "Mill Park,B1,Betula pendula,-19.40005,48.60205",
            "Quay Wood,B1,Fagus sylvatica,-19.39205,48.60805",
            "Quay Wood,O2,Quercus robur,-19.39225,48.60815",
        ),
        books.table(folder, "person", "name,initials", "Torva Hesk,TH", "Mira Dask,MD"),
        books.table(
            folder,
            "visit",
            "site,local_date,search_minutes,reason,companions",
            "Mill Park,2025-09-01,25,planned,TH MD",
            "Mill Park,2025-09-08,,planned,",
            "Quay Wood,2025-09-08,40,passing,TH",
        ),
        books.table(
            folder,
            "look",
            "site,local_date,host_tree,taxon,minutes,outcome",
            "Mill Park,2025-09-01,Mill Park|B1,Leccinum scabrum,10,found",
            "Quay Wood,2025-09-08,Quay Wood|B1,,15,not seen",
        ),
        books.table(
            folder,
            "find",
            "site,found_on,collector,collection_number,lon,lat,name,qualifier,host_tree,host_role",
            "Mill Park,2025-09-01,OV,1,-19.4001,48.6021,Leccinum scabrum,,B1,under",
            "Quay Wood,2025-09-08,TH,1,-19.3921,48.6081,Boletus edulis,cf.,O2,under",
            "Quay Wood,2025-09-20,OV,2,,,Cortinarius vennarae,,,",
        ),
    ]


def _tables_of_the_place(folder: Path) -> list[Path]:
    return [
        books.table(
            folder,
            "traffic_count",
            "lon,lat,vehicles_per_day,counted_on,source",
            "-19.395,48.6000,5200,2025-06-17,own count",
        ),
        books.table(
            folder,
            "hazard",
            "kind,name,origin,source,lon,lat",
            "fire place,Old bonfire,seen,OV,-19.4002,48.6022",
        ),
        books.table(
            folder,
            "weather",
            "station,local_date,temp_min_degc,temp_max_degc,rain_mm",
            "kitchen window,2025-09-01,9.5,17.0,4.2",
            "kitchen window,2025-09-02,10.1,16.4,0.0",
        ),
    ]


@functools.cache
def _built() -> bytes:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = books.fresh(folder)
        bring(path, *tables(folder), old_map(folder), new_map(folder))
        return path.read_bytes()


def built(folder: Path, name: str = "sitebook.gpkg") -> Path:
    """Give a book of the whole town, made once for the run."""
    path = folder / name
    path.write_bytes(_built())
    return path


def sites(folder: Path, name: str = "site") -> Path:
    """Write a table of two sites, about a kilometre apart."""
    return books.table(
        folder,
        "site",
        "name,lon,lat,radius_m",
        "Mill Park,-19.4000,48.6020,60",
        "Quay Wood,-19.3920,48.6080,60",
        name=name,
    )


def walk(
    path: Path,
    stretches: Sequence[tuple[float, float, float]],
    *,
    begun: str = "2025-09-01T09:00:00",
    waypoints: Sequence[tuple[str, float, float, str]] = (),
) -> Path:
    """Write a GPX track of stretches (lon, lat, minutes), wandering ten metres to and fro every 30 s.

    Between two stretches one minute passes, which at these distances is no walking pace.
    """
    at = datetime.datetime.fromisoformat(begun).replace(tzinfo=datetime.UTC)
    points = []
    for lon, lat, minutes in stretches:
        for step in range(int(minutes * 2) + 1):
            east = 0.00007 if step % 2 else -0.00007
            points.append(
                f'<trkpt lat="{lat}" lon="{lon + east:.6f}"><time>{at:%Y-%m-%dT%H:%M:%SZ}</time></trkpt>'
            )
            at += datetime.timedelta(seconds=30)
        at += datetime.timedelta(seconds=30)
    marks = [
        f'<wpt lat="{lat}" lon="{lon}"><time>{when}</time><name>{name}</name></wpt>'
        for name, lon, lat, when in waypoints
    ]
    track = f"<trk><name>walk</name><trkseg>{''.join(points)}</trkseg></trk>" if points else ""
    path.write_text(
        f'<?xml version="1.0"?><gpx version="1.1" creator="test" '
        f'xmlns="http://www.topografix.com/GPX/1/1">{"".join(marks)}{track}</gpx>',
        "utf-8",
    )
    return path
