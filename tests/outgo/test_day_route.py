"""The route of a planned day as GPX: valid, in order, and never mistaken for what was walked or found."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pyogrio
import pytest
import shapely
from defusedxml import ElementTree

from sitebook.intake.gpx import PLANNED, ROUTES, read_gpx
from sitebook.outgo.day_route import day_gpx
from sitebook.outgo.gpx import NAMESPACE
from tests.pages.sample_day import sample_day

SPACE = f"{{{NAMESPACE}}}"


def test_stops_are_waypoints_and_the_way_is_one_route() -> None:
    root = ElementTree.fromstring(day_gpx(sample_day()))
    assert [child.tag.removeprefix(SPACE) for child in root] == ["metadata", *["wpt"] * 4, "rte"]
    names = [element.findtext(f"{SPACE}name") for element in root.iter(f"{SPACE}wpt")]
    assert names == ["Start and end", "1 Ridge Wood", "2 Charcoal <Wood>", "3 Bell Park"]
    said = [element.findtext(f"{SPACE}desc") for element in root.iter(f"{SPACE}wpt")]
    assert said[2] == "arrive 10:21, begin 10:30, leave 11:10; gather"
    assert said[3] == "arrive 11:40, leave 12:20; look only; Class 3: the ground beside the road."
    points = [p.findtext(f"{SPACE}name") for p in root.iter(f"{SPACE}rtept")]
    assert [name for name in points if name] == ["Start", *names[1:], "End"]
    assert points.count(None) >= 8


def test_another_end_is_a_waypoint_of_its_own() -> None:
    root = ElementTree.fromstring(day_gpx(replace(sample_day(), end=(-19.39, 48.61)), name="Saturday"))
    assert root.findtext(f"{SPACE}rte/{SPACE}name") == "Saturday"
    names = [element.findtext(f"{SPACE}name") for element in root.iter(f"{SPACE}wpt")]
    assert (names[0], names[-1]) == ("Start", "End")


@pytest.mark.source(
    item="",
    what="stops and way of a planned day as GDAL reads them from GPX",
    value="4 waypoints and 1 route whose length is that of the legs within 1 %",
    source="GPX driver of GDAL",
    mark="computed",
)
def test_gdal_reads_the_route(tmp_path: Path) -> None:
    path = tmp_path / "day.gpx"
    path.write_bytes(day_gpx(sample_day()))
    _, _, shapes, _ = pyogrio.raw.read(path, layer="waypoints", columns=["name"])
    assert len(shapes) == 4
    _, _, routes, _ = pyogrio.raw.read(path, layer="routes", columns=["name"])
    (route,) = shapely.from_wkb(routes)
    legs = [part.lonlat for leg in sample_day().legs for part in leg.parts]
    planned_deg = sum(shapely.LineString(lonlat).length for lonlat in legs)
    assert route.length == pytest.approx(planned_deg, rel=0.01)


def test_our_reader_keeps_nothing_of_a_plan_that_comes_back(tmp_path: Path) -> None:
    path = tmp_path / "day.gpx"
    path.write_bytes(day_gpx(sample_day()))
    reading = read_gpx(path)
    assert reading.drafts == ()
    assert {line.reason: line.how_many for line in reading.sorted_lines} == {ROUTES: 1, PLANNED: 4}
