"""Tests what becomes of the elements of small extracts, and how broken files are told."""

from __future__ import annotations

import bz2
import datetime
import gzip
from pathlib import Path

import pytest
import shapely

from sitebook.errors import FileMissing, FileTooLarge, FileUnreadable
from sitebook.intake.osm import packing, read_osm, tally
from sitebook.records.columns import column_types
from sitebook.records.kinds import KINDS
from tests.intake.osm.extracts import (
    node,
    of_kind,
    only,
    outline,
    rewrite,
    square,
    told,
    way,
    write,
)

STANDING = {"id", "uuid", "extract_id", "created_at", "changed_at", "entered_by", "batch_id", "withdrawn_at"}
STREET = [node(1, -19.41, 48.60), node(2, -19.40, 48.60), node(3, -19.39, 48.61)]


def small(path: Path, **root: str) -> Path:
    """Write an extract with an element of every table."""
    elements = [
        *STREET,
        node(4, -19.405, 48.603, natural="tree", genus="Betula", circumference="1.4"),
        node(5, -19.404, 48.602, amenity="toilets"),
        *square(10, -19.409, 48.605, 0.004),
        *square(20, -19.408, 48.606, 0.001),
        way(30, [1, 2, 3], highway="residential", name="Quay Lane", width="7 m"),
        way(31, [10, 11, 12, 13, 10]),
        way(32, [20, 21, 22, 23, 20]),
        way(33, [20, 21, 22, 23, 20], landuse="landfill"),
        outline(40, [(31, "outer"), (32, "inner")], natural="wood", name="Ness Wood"),
    ]
    return write(path, *elements, root=" ".join(f'{k}="{v}"' for k, v in root.items()))


def test_every_table_gets_its_row(tmp_path: Path) -> None:
    reading = read_osm(small(tmp_path / "a.osm"))
    kinds = [draft.kind for draft in reading.drafts]
    assert kinds[0] == "extract"
    assert sorted(kinds[1:]) == ["hazard", "land_cover", "land_cover", "map_point", "mapped_tree", "way"]
    assert not reading.refused


TOLD_ALONE = {"vehicles_per_day"}
"""Columns that no map fills, only she."""


def test_drafts_fill_exactly_the_columns_of_their_records(tmp_path: Path) -> None:
    for draft in read_osm(small(tmp_path / "a.osm")).drafts:
        types = column_types(KINDS[draft.kind])
        assert set(draft.values) == set(types) - STANDING - TOLD_ALONE
        for name, value in draft.values.items():
            if value is None:
                assert types[name].nullable, name
            else:
                assert isinstance(value, types[name].python), name


def test_identities_and_references(tmp_path: Path) -> None:
    reading = read_osm(small(tmp_path / "a.osm"))
    extract = reading.drafts[0]
    assert extract.identity == f"extract:{extract.values['sha256']}"
    identities = {draft.identity for draft in reading.drafts[1:]}
    assert identities == {
        "osm:way/30", "osm:node/4", "osm:node/5", "osm:way/33", "osm:way/33:landfill", "osm:relation/40",
    }  # fmt: skip
    assert all(draft.refers == {"extract_id": extract.identity} for draft in reading.drafts[1:])


def test_outline_keeps_its_hole(tmp_path: Path) -> None:
    reading = read_osm(small(tmp_path / "a.osm"))
    (wood,) = [d.values["geom"] for d in of_kind(reading, "land_cover") if d.values["kind"] == "wood"]
    assert isinstance(wood, shapely.MultiPolygon)
    outer = shapely.box(-19.409, 48.605, -19.405, 48.609)
    hole = shapely.box(-19.408, 48.606, -19.407, 48.607)
    assert wood.equals(outer.difference(hole))


def test_island_in_a_hole_and_holes_side_by_side(tmp_path: Path) -> None:
    rings = {10: (0.0, 0.0, 0.008), 20: (0.001, 0.001, 0.003), 30: (0.004, 0.001, 0.003),
             40: (0.002, 0.002, 0.001)}  # fmt: skip
    corners = [line for first, (x, y, s) in rings.items() for line in square(first, -19.41 + x, 48.6 + y, s)]
    ways = [way(first, [first, first + 1, first + 2, first + 3, first]) for first in rings]
    whole = outline(1, [(10, "outer"), (20, "inner"), (30, "inner"), (40, "outer")], natural="water")
    lake = only(read_osm(write(tmp_path / "a.osm", *corners, *ways, whole)), "land_cover")["geom"]
    assert isinstance(lake, shapely.MultiPolygon)
    assert lake.is_valid
    assert lake.area == pytest.approx(64e-6 - 9e-6 - 9e-6 + 1e-6, rel=1e-6)


@pytest.mark.parametrize("name", ["b.osm.pbf", "b.osm", "b.osm.gz", "b.osm.bz2"])
def test_every_form_of_one_extract_gives_the_same_rows(name: str, tmp_path: Path) -> None:
    first = read_osm(small(tmp_path / "a.osm"))
    second = read_osm(rewrite(tmp_path / "a.osm", tmp_path / name))
    assert {d.identity: (d.kind, dict(d.values)) for d in first.drafts[1:]} == {
        d.identity: (d.kind, dict(d.values)) for d in second.drafts[1:]
    }
    assert first.drafts[0].values["geom"] == second.drafts[0].values["geom"]
    assert told(first) == told(second)


def test_order_of_elements_does_not_matter(tmp_path: Path) -> None:
    lines = small(tmp_path / "a.osm").read_text("utf-8").splitlines()
    turned = [*lines[:3], *reversed(lines[3:-1]), lines[-1]]
    (tmp_path / "b.osm").write_text("\n".join(turned), "utf-8")
    first, second = read_osm(tmp_path / "a.osm"), read_osm(tmp_path / "b.osm")
    assert {d.identity: dict(d.values) for d in first.drafts[1:]} == {
        d.identity: dict(d.values) for d in second.drafts[1:]
    }


def test_points_drawn_by_hand_have_ids_below_zero(tmp_path: Path) -> None:
    path = write(
        tmp_path / "a.osm", node(-1, -19.41, 48.6), node(-2, -19.4, 48.6), way(-3, [-1, -2], highway="path")
    )
    values = only(read_osm(path), "way")
    assert (values["osm_ref"], values["geom"]) == (
        "way/-3",
        shapely.LineString([(-19.41, 48.6), (-19.4, 48.6)]),
    )


def test_day_and_attribution_come_from_the_root(tmp_path: Path) -> None:
    path = small(tmp_path / "a.osm", timestamp="2025-06-30T23:30:00Z", attribution="invented for the demo")
    here, east = read_osm(path).drafts[0].values, read_osm(path, zone="Asia/Tokyo").drafts[0].values
    assert here["data_date"] == datetime.date(2025, 6, 30)
    assert east["data_date"] == datetime.date(2025, 7, 1)
    assert here["attribution"] == "invented for the demo"
    way_row = only(read_osm(path), "way")
    assert way_row["valid_from"] == datetime.date(2025, 6, 30)


def test_without_a_date_the_day_is_not_known(tmp_path: Path) -> None:
    values = (
        read_osm(small(tmp_path / "a.osm", attribution="http://www.openstreetmap.org/copyright"))
        .drafts[0]
        .values
    )
    assert values["data_date"] is None
    assert values["attribution"] == "© OpenStreetMap contributors, ODbL 1.0"


def test_newest_element_stands_in_for_the_day(tmp_path: Path) -> None:
    old, new = (f'timestamp="{year}-05-01T12:00:00Z"' for year in (2019, 2021))
    path = write(tmp_path / "a.osm", node(1, -19.4, 48.6, old), node(2, -19.4, 48.601, new))
    assert read_osm(path).drafts[0].values["data_date"] == datetime.date(2021, 5, 1)


def test_box_round_the_points_stands_in_for_bounds(tmp_path: Path) -> None:
    ground = read_osm(write(tmp_path / "a.osm", *STREET, bounds="")).drafts[0].values["geom"]
    assert isinstance(ground, shapely.Polygon)
    assert ground.bounds == (-19.41, 48.60, -19.39, 48.61)


def test_road_beyond_the_edge_keeps_the_part_inside(tmp_path: Path) -> None:
    reading = read_osm(write(tmp_path / "a.osm", *STREET, way(5, [98, 1, 2, 2, 3, 99], highway="primary")))
    assert only(reading, "way")["geom"] == shapely.LineString(
        [(-19.41, 48.60), (-19.40, 48.60), (-19.39, 48.61)]
    )
    assert told(reading)[tally.CUT_OFF] == 1


def test_hazard_beyond_the_edge_is_kept_as_a_line(tmp_path: Path) -> None:
    ring = way(5, [98, 1, 2, 3, 98], landuse="industrial")
    reading = read_osm(write(tmp_path / "a.osm", *STREET, ring))
    assert isinstance(only(reading, "hazard")["geom"], shapely.LineString)
    assert not of_kind(reading, "land_cover")
    assert told(reading)[tally.CUT_OUTLINE] == 1


def test_cut_off_outline_of_several_ways_never_becomes_a_road(tmp_path: Path) -> None:
    members = [way(6, [1, 2]), way(7, [3, 98])]
    path = outline(5, [(6, "outer"), (7, "outer")], highway="footway", landuse="landfill")
    reading = read_osm(write(tmp_path / "a.osm", *STREET, *members, path))
    assert isinstance(only(reading, "hazard")["geom"], shapely.MultiLineString)
    assert len(reading.drafts) == 2


@pytest.mark.parametrize(
    ("element", "reason"),
    [
        (way(5, [1, 98], highway="path"), tally.TOO_SHORT),
        (way(5, [1, 1], highway="path"), tally.TOO_SHORT),
        (way(5, [1, 2, 3], landuse="grass"), tally.OPEN_OUTLINE),
        (way(5, [1, 2, 3, 1], highway="pedestrian", area="yes"), tally.SQUARE),
        (way(5, [1, 2], highway="proposed"), tally.NOT_READ),
        (way(5, [1, 2], 'visible="false"', highway="path"), tally.DELETED),
        (node(5, -19.4, 48.6, natural="wood"), tally.OTHER_SHAPE),
        (outline(5, [(98, "outer")], natural="wood"), tally.OPEN_OUTLINE),
        (outline(5, [(98, "outer")], highway="footway"), tally.OTHER_SHAPE),
        (outline(5, [], route="bus", type="route"), tally.RELATION_KIND),
    ],
)
def test_left_out_with_its_reason(element: str, reason: str, tmp_path: Path) -> None:
    reading = read_osm(write(tmp_path / "a.osm", *STREET, element))
    assert told(reading) == {tally.NO_TAGS: 3, reason: 1}
    assert not reading.refused
    assert len(reading.drafts) == 1


@pytest.mark.parametrize(("lon", "lat"), [(-19.4, 95.0), (-190.0, 48.6)])
def test_impossible_position_is_refused(lon: float, lat: float, tmp_path: Path) -> None:
    reading = read_osm(write(tmp_path / "a.osm", *STREET, node(7, lon, lat, natural="tree")))
    (line,) = reading.refused
    assert (line.reason, line.line_text) == (tally.IMPOSSIBLE_POSITION, "node/7")


def test_newest_version_of_an_element_counts(tmp_path: Path) -> None:
    old = node(7, -19.4, 48.6, 'version="1"', natural="tree", genus="Betula")
    new = node(7, -19.4, 48.6, 'version="2"', natural="tree", genus="Quercus")
    for first, second in ((old, new), (new, old)):
        reading = read_osm(write(tmp_path / "a.osm", first, second))
        assert only(reading, "mapped_tree")["verbatim_name"] == "Quercus"
        assert told(reading) == {tally.REPEATED: 1}


ENTITY = (
    '<!DOCTYPE r [<!ENTITY a "x">]><osm version="0.6"><node id="1" lat="1" lon="2">'
    '<tag k="name" v="&a;"/></node></osm>'
)


@pytest.mark.parametrize(
    "content",
    [
        b"hello",
        b"<gpx version='1.1'/>",
        b"<osm version='0.6'/>",
        b"<osm version='0.6'><node id='1' lat='abc' lon='2'/></osm>",
        b"<osm version='0.6'><node id='1x' lat='1' lon='2'/></osm>",
        b"<osm version='0.6'><node id='1' lat='1' lon='2'/><way id='2'>",
        b"<osmChange version='0.6'><create><node id='1' lat='1' lon='2'/></create></osmChange>",
        b"\x00\x00\x00\x0d\x0a\x09OSMHeader\x18\x05broken",
        gzip.compress(b"<osm version='0.6'><node id='1' lat='1' lon='2'/></osm>", mtime=0)[:-12],
        gzip.compress(b"not a map", mtime=0),
        bz2.compress(b"<osm version='0.6'><node id='1' lat='1' lon='2'/></osm>")[:-5],
        ENTITY.encode(),
    ],
)  # fmt: skip
def test_broken_files_are_told_in_one_line(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.osm"
    path.write_bytes(content)
    with pytest.raises(FileUnreadable) as told_error:
        read_osm(path)
    assert str(path) in str(told_error.value)
    assert "\n" not in str(told_error.value)


def test_extract_cut_off_in_the_middle(tmp_path: Path) -> None:
    whole = rewrite(small(tmp_path / "a.osm"), tmp_path / "a.osm.pbf").read_bytes()
    (tmp_path / "b.osm.pbf").write_bytes(whole[: len(whole) - 40])
    with pytest.raises(FileUnreadable, match="cut off"):
        read_osm(tmp_path / "b.osm.pbf")


@pytest.mark.parametrize("pack", [gzip.compress, bz2.compress])
def test_bomb_is_not_unpacked(pack: type[bytes], tmp_path: Path) -> None:
    path = tmp_path / "a.osm.gz"
    path.write_bytes(pack(b"<osm version='0.6'>" + b" " * (32 << 20) + b"</osm>"))
    with pytest.raises(FileTooLarge, match="unpacks to more than 100 times"):
        read_osm(path)


def test_size_is_looked_at_first(tmp_path: Path) -> None:
    path = tmp_path / "a.osm.pbf"
    with path.open("wb") as file:
        file.write(b"\x00\x00\x00\x0d\x0a\x09OSMHeader")
        file.truncate(int(packing.MOST_PBF_MIB.value * 1024 * 1024) + 1)
    with pytest.raises(FileTooLarge, match="at most"):
        read_osm(path)


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(FileMissing):
        read_osm(tmp_path / "none.osm")
