"""Tests that the table of map tags and the table of hazard kinds fit each other and are read as written."""

from __future__ import annotations

import pytest

from sitebook.reference import map_tags
from sitebook.reference.map_tags import hazard_kinds, kinds_of, rows_that_fit, tag_rows
from tests.house import map_tags_page

SECTION_ROADS = {
    "motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living_street",
    "service", "track", "path", "footway", "cycleway", "bridleway", "steps", "pedestrian", "road",
}  # fmt: skip


def landing(**tags: str) -> set[tuple[str, str]]:
    return {(row.lands_in, row.kind) for row in rows_that_fit(tags)}


def test_every_hazard_of_the_map_has_its_kind() -> None:
    assert set(kinds_of("hazard")) <= set(hazard_kinds())


def test_only_kinds_that_she_tells_of_have_no_tag() -> None:
    told = {
        "smelter", "made ground", "ash", "sewage sludge", "injected tree", "burnt car", "lead paint",
        "old main road",
    }  # fmt: skip
    assert set(hazard_kinds()) - set(kinds_of("hazard")) == told


def test_no_tag_stands_twice_for_the_same_thing() -> None:
    seen = [(row.lands_in, row.kind, row.key, row.value, row.also) for row in tag_rows()]
    assert len(seen) == len(set(seen))


def test_roads_for_motors_and_for_feet_are_read() -> None:
    links = {"motorway_link", "trunk_link", "primary_link", "secondary_link", "tertiary_link"}
    assert SECTION_ROADS | links <= set(kinds_of("way"))
    assert all(row.kind == row.value for row in tag_rows() if row.lands_in == "way")


@pytest.mark.source(
    item="",
    what="tags of pollution sources that a map can show",
    value="each of the presets named becomes a hazard",
    source="id-tagging-schema 6.19.2",
    mark="confirmed",
)
@pytest.mark.parametrize(
    ("kind", "tags"),
    {
        "railway": "railway=rail railway=yard railway=disused railway=abandoned railway=tram landuse=railway",
        "treated timber": "power=pole man_made=utility_pole",
        "orchard": "landuse=orchard",
        "vineyard": "landuse=vineyard",
        "industry": "landuse=industrial industrial=scrap_yard man_made=works man_made=chimney "
        "man_made=storage_tank power=plant",
        "brownfield": "landuse=brownfield",
        "substation": "power=substation",
        "mine or quarry": "landuse=quarry man_made=mineshaft man_made=adit",
        "landfill": "landuse=landfill",
        "waste yard": "amenity=waste_transfer_station amenity=recycling",
        "fuel station": "amenity=fuel",
        "car repair": "shop=car_repair",
        "dry cleaning": "shop=dry_cleaning",
        "parking": "amenity=parking",
        "shooting range": "sport=shooting military=range",
        "airfield": "aeroway=aerodrome aeroway=runway aeroway=helipad",
        "golf course": "leisure=golf_course golf=green golf=fairway",
        "managed turf": "leisure=pitch leisure=park leisure=garden landuse=grass",
        "burial ground": "landuse=cemetery amenity=grave_yard",
        "plant nursery": "landuse=plant_nursery landuse=greenhouse_horticulture",
        "farmland": "landuse=farmland",
        "allotments": "landuse=allotments",
        "dog place": "leisure=dog_park",
        "sewage works": "man_made=wastewater_plant",
        "river": "waterway=river",
        "wetland": "natural=wetland",
        "crematorium": "amenity=crematorium",
        "fire place": "leisure=firepit amenity=bbq",
    }.items(),
)
def test_tags_of_pollution_sources(kind: str, tags: str) -> None:
    for tag in tags.split():
        key, _, value = tag.partition("=")
        assert ("hazard", kind) in landing(**{key: value}), tag


@pytest.mark.parametrize(
    ("tags", "kind", "fits"),
    [
        ({"building": "yes", "start_date": "1936"}, "old house", True),
        ({"building": "house", "start_date": "C19"}, "old house", True),
        ({"building": "yes", "start_date": "1978"}, "old house", False),
        ({"building": "no", "start_date": "1936"}, "old house", False),
        ({"building": "yes"}, "old house", False),
        ({"landuse": "orchard", "start_date": "before 1940"}, "old orchard", True),
        ({"landuse": "orchard"}, "old orchard", False),
        ({"power": "pole", "material": "steel"}, "treated timber", False),
        ({"sport": "soccer;shooting"}, "shooting range", True),
        ({"amenity": "recycling", "recycling_type": "container"}, "waste yard", False),
        ({"amenity": "recycling", "recycling_type": "container"}, "waste containers", True),
    ],
)
def test_conditions(tags: dict[str, str], kind: str, *, fits: bool) -> None:
    assert (("hazard", kind) in landing(**tags)) is fits


def test_one_element_may_land_in_several_tables() -> None:
    assert landing(amenity="parking") == {
        ("land_cover", "parking"), ("map_point", "parking"), ("hazard", "parking"),
    }  # fmt: skip


@pytest.mark.source(
    item="",
    what="published distances of railway, smelter, airfield and a road of the years of leaded petrol",
    value="25 m, 6 km, 500 m seen to 1,000 m, 18 m",
    source="Sichuan railway study 2009; Kalac 1996; Miranda et al. 2011; Va J Sci 26(2)",
    mark="confirmed",
)
def test_published_distances() -> None:
    kinds = hazard_kinds()
    given = {name: kind.distance_m for name, kind in kinds.items() if kind.distance_m}
    published = {name: distance.value for name, distance in given.items() if distance.mark == "confirmed"}
    assert published == {"railway": 25.0, "smelter": 6000.0, "airfield": 500.0, "old main road": 18.0}
    assert kinds["airfield"].reach_m.value == 1000.0


def test_distance_never_passes_the_reach() -> None:
    kinds = hazard_kinds().values()
    assert all(kind.distance_m is None or kind.distance_m.value <= kind.reach_m.value for kind in kinds)


@pytest.mark.parametrize(
    ("text", "year"), [("1936", 1936), ("~1950", 1950), ("1936-05-01", 1936), ("C19", 1900), ("old", None)]
)
def test_years_as_mappers_write_them(text: str, year: int | None) -> None:
    assert map_tags.first_year(text) == year


def test_page_of_map_extracts_is_current() -> None:
    assert map_tags_page.PAGE.read_text("utf-8") == map_tags_page.drawn()
