"""Checks GPX files that other programs wrote: every one reads, or is refused in words."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from pyproj import Geod
from shapely import LineString

from sitebook.errors import SitebookError
from sitebook.intake.gpx import read_gpx
from sitebook.intake.gpx_elements import read_elements
from sitebook.intake.recognise import recognise
from sitebook.records.incoming import Reading

EQUATOR_RADIUS_M = 6_378_137.0
Shared = Callable[[str], Path]


def _ways(reading: Reading) -> list[LineString]:
    ways = [draft.values["geom"] for draft in reading.drafts if draft.kind == "track"]
    return [way for way in ways if isinstance(way, LineString)]


def _length_m(ways: list[LineString]) -> float:
    """Length on a ball of the equator's radius, as the counted figures have it [m]."""
    total = 0.0
    for way in ways:
        for (lon1, lat1), (lon2, lat2) in zip(way.coords[:-1], way.coords[1:], strict=True):
            north, east = math.radians(lat2 - lat1), math.radians(lon2 - lon1)
            total += EQUATOR_RADIUS_M * math.hypot(north, east * math.cos(math.radians(lat1)))
    return total


@pytest.mark.source(
    item="",
    what="waypoints, tracks, points and length of cerknicko-jezero.gpx",
    value="7, 8, 296, 4580.1 m",
    source="sample of gpxpy 1.6.2, counted once with a general-purpose reader",
    mark="computed",
)
@pytest.mark.source(
    item="",
    what="points and length of korita-zbevnica.gpx",
    value="871, 14913.7 m",
    source="sample of gpxpy 1.6.2, counted once with a general-purpose reader",
    mark="computed",
)
@pytest.mark.source(
    item="",
    what="points of Mojstrovka.gpx",
    value="184",
    source="sample of gpxpy 1.6.2, counted once with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "counted", "length_m"),
    [
        ("gpxpy/cerknicko-jezero.gpx", (7, 8, 296), 4580.1),
        ("gpxpy/korita-zbevnica.gpx", (2, 4, 871), 14913.7),
        ("gpxpy/Mojstrovka.gpx", (0, 1, 184), None),
    ],
)
def test_counts_and_lengths(
    shared_file: Shared, name: str, counted: tuple[int, int, int], length_m: float | None
) -> None:
    path = shared_file(f"gpx/{name}")
    reading, elements = read_gpx(path), read_elements(path)
    ways = _ways(reading)
    finds = sum(draft.kind == "find" for draft in reading.drafts)
    points = sum(len(way.coords) for way in ways)
    assert (finds, len(elements.track_names), points) == counted
    if length_m is not None:
        assert _length_m(ways) == pytest.approx(length_m, abs=0.15)
        on_ellipsoid_m = sum(Geod(ellps="WGS84").geometry_length(way) for way in ways)
        assert on_ellipsoid_m == pytest.approx(length_m, rel=0.002)


@pytest.mark.source(
    item="",
    what="waypoints of expertgps.gpx",
    value="86",
    source="GPSBabel's reference file, counted once with a general-purpose reader",
    mark="computed",
)
@pytest.mark.source(
    item="",
    what="waypoints of umsonstdraussen.gpx",
    value="78",
    source="GPSBabel's reference file, counted once with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(("name", "count", "twice"), [("expertgps", 86, 0), ("umsonstdraussen", 78, 2)])
def test_counts_of_waypoints(shared_file: Shared, name: str, count: int, twice: int) -> None:
    path = shared_file(f"gpx/gpsbabel/{name}.gpx")
    reading = read_gpx(path)
    assert len(read_elements(path).waypoints) == count
    assert sum(draft.kind == "find" for draft in reading.drafts) == count - twice
    assert reading.refused == ()


def test_a_clock_of_1901_costs_no_point(shared_file: Shared) -> None:
    reading = read_gpx(shared_file("gpx/gpxpy/Mojstrovka.gpx"))
    assert reading.drafts[0].values["started_at"] is None
    assert [(line.sorting, line.how_many) for line in reading.sorted_lines] == [("left out", 184)]


def test_every_sample_reads_or_is_refused_in_words(shared_data: Path) -> None:
    samples = sorted((shared_data / "gpx").rglob("*.gpx"))
    assert len(samples) == 44
    for path in samples:
        assert recognise(path) == "gpx"
        for waypoints in ("finds", "sites"):
            try:
                reading = read_gpx(path, zone="Europe/Ljubljana", waypoints=waypoints)
            except SitebookError as refused:
                pytest.fail(f"{path.name}: {refused}")
            assert reading.drafts or reading.sorted_lines
            assert reading.refused == ()
