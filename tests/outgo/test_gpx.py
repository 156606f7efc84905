"""Tests that GPX is in the order of its schema, and that our reader and GDAL's find in it what was put in."""

from __future__ import annotations

from pathlib import Path
from xml.etree.ElementTree import Element

import pyogrio
import pytest
import shapely
from defusedxml import ElementTree

from sitebook.intake.gpx import read_gpx
from sitebook.outgo.gpx import NAMESPACE, gpx
from sitebook.records.results.going_out import Feature
from tests.outgo import sample_features as sample

POINT_ORDER = [
    *(
        "ele",
        "time",
        "magvar",
        "geoidheight",
        "name",
        "cmt",
        "desc",
        "src",
        "link",
        "sym",
        "type",
        "fix",
        "sat",
    ),
    *("hdop", "vdop", "pdop", "ageofdgpsdata", "dgpsid", "extensions"),
]
TRACK_ORDER = ["name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"]
ROOT_ORDER = ["metadata", "wpt", "rte", "trk", "extensions"]
TRACKS = (sample.track(), sample.track(piece=2, start=-19.3), sample.track("other", piece=3, start=-19.2))


def _root(*, with_keys: bool = False) -> Element:
    root: Element = ElementTree.fromstring(gpx(sample.FEATURES, TRACKS, with_keys=with_keys))
    return root


def _names(parent: Element) -> list[str]:
    return [child.tag.removeprefix(f"{{{NAMESPACE}}}") for child in parent]


def _in_order(names: list[str], order: list[str]) -> bool:
    return [order.index(name) for name in names] == sorted(order.index(name) for name in names)


@pytest.mark.source(
    item="",
    what="order of the children of gpx, wpt, trkpt and trk",
    value="ele time magvar geoidheight name cmt desc src link sym type fix sat hdop ...",
    source="GPX 1.1 schema, http://www.topografix.com/GPX/1/1/gpx.xsd",
    mark="memory",
)
def test_elements_stand_in_the_order_of_the_schema() -> None:
    root = _root(with_keys=True)
    assert root.tag == f"{{{NAMESPACE}}}gpx"
    assert (root.get("version"), bool(root.get("creator"))) == ("1.1", True)
    assert _in_order(_names(root), ROOT_ORDER)
    for element in root.iter():
        name = element.tag.removeprefix(f"{{{NAMESPACE}}}")
        if name in {"wpt", "trkpt"}:
            assert _in_order(_names(element), POINT_ORDER)
            assert -90 <= float(element.attrib["lat"]) <= 90
        elif name == "trk":
            assert _in_order(_names(element), TRACK_ORDER)


def test_our_reader_reads_waypoints_and_tracks_back(tmp_path: Path) -> None:
    path = tmp_path / "places.gpx"
    path.write_bytes(gpx(sample.FEATURES, TRACKS))
    reading = read_gpx(path)
    finds = [d.values for d in reading.drafts if d.kind == "find"]
    assert len(finds) == sum(f.geometry is not None for f in sample.FEATURES)
    assert finds[3]["found_at"] == sample.NOON
    assert finds[3]["elevation_m"] == 12.5
    assert finds[3]["geom"] == sample.FIND.geometry
    inside = finds[0]["geom"]
    assert isinstance(inside, shapely.Point)
    assert sample.CLOCKWISE.contains(inside)
    tracks = [d.values for d in reading.drafts if d.kind == "track"]
    assert [(t["name"], t["piece"]) for t in tracks] == [("walk", 1), ("walk", 2), ("other", 1)]
    assert {str(t["point_seconds"]) for t in tracks} == {"0,,90.5"}
    assert {str(t["point_elevations_m"]) for t in tracks} == {"3,,-1.25"}


def test_beside_tables_tracks_keep_key_and_piece(tmp_path: Path) -> None:
    path = tmp_path / "track.gpx"
    path.write_bytes(gpx([], TRACKS, with_keys=True))
    drafts = read_gpx(path).drafts
    assert [(d.values["uuid"], d.values["piece"]) for d in drafts] == [(t.uuid, t.piece) for t in TRACKS]


def test_gdal_counts_the_same(tmp_path: Path) -> None:
    path = tmp_path / "places.gpx"
    path.write_bytes(gpx(sample.FEATURES, TRACKS))
    counts = {
        layer: len(pyogrio.raw.read(path, layer=layer)[2])
        for layer in ("waypoints", "tracks", "track_points")
    }
    assert counts == {"waypoints": 4, "tracks": 2, "track_points": 9}


def test_a_script_stays_text_and_what_xml_cannot_hold_becomes_a_blank() -> None:
    odd = Feature("find", sample.key(7), "<b>&\x08\ufffe", shapely.Point(-1e-05, 5e-324), {})
    (waypoint,) = ElementTree.fromstring(gpx([odd], []))
    assert waypoint.findtext(f"{{{NAMESPACE}}}name") == "<b>&  "
    assert float(waypoint.attrib["lon"]) == -1e-05
    assert "e" not in waypoint.attrib["lon"] + waypoint.attrib["lat"]
