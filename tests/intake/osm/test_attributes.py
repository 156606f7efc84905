"""Tests how widths, lanes, access and tree names are read out of tags."""

from __future__ import annotations

import pytest

from sitebook.intake.osm.attributes import WIDEST_WAY_M, length_m, raw_tags, tree_values, way_values


@pytest.mark.parametrize(
    ("text", "expected_m"),
    [
        ("7", 7.0), ("7.5", 7.5), ("7,5", 7.5), ("7 m", 7.0), ("350 cm", 3.5), ("20'", 6.096),
        ("20 ft", 6.096), ("5'6\"", 1.6764), ("", None), (None, None), ("wide", None), ("2-3", None),
        ("~3", None), ("0", None), ("-4", None), ("7000", None), ("7 miles", None), ("1e400", None),
    ],
)  # fmt: skip
def test_widths_as_mappers_write_them(text: str | None, expected_m: float | None) -> None:
    assert length_m(text, WIDEST_WAY_M) == (None if expected_m is None else pytest.approx(expected_m))


@pytest.mark.parametrize(
    ("tags", "oneway"),
    [({"oneway": "yes"}, True), ({"oneway": "-1"}, True), ({"oneway": "no"}, False), ({}, False),
     ({"junction": "roundabout"}, True)],
)  # fmt: skip
def test_one_way_roads(tags: dict[str, str], oneway: bool) -> None:
    assert way_values(tags, "residential")["oneway"] is oneway


def test_motorway_runs_one_way_unless_it_says_otherwise() -> None:
    assert way_values({}, "motorway")["oneway"] is True
    assert way_values({"oneway": "no"}, "motorway")["oneway"] is False


def test_columns_of_a_road() -> None:
    tags = {"lanes": "2", "tunnel": "yes", "bridge": "viaduct", "layer": "-1", "access": "private",
            "bicycle": "yes", "ref": "A 1", "surface": "asphalt"}  # fmt: skip
    assert way_values(tags, "trunk_link") == {
        "road_class": "trunk_link", "name": "A 1", "width_m": None, "lanes": 2.0, "oneway": False,
        "tunnel": True, "bridge": True, "layer": -1, "link": True, "foot_access": "private",
        "bicycle_access": "yes", "motor_access": "private", "surface": "asphalt",
    }  # fmt: skip


@pytest.mark.parametrize("text", ["2;3", "many", "nan", "inf", "0", "-2", "99"])
def test_lanes_that_are_no_number_are_not_known(text: str) -> None:
    assert way_values({"lanes": text}, "primary")["lanes"] is None


def test_house_passage_is_no_tunnel() -> None:
    assert way_values({"tunnel": "building_passage"}, "service")["tunnel"] is False


@pytest.mark.parametrize(
    ("tags", "name"),
    [
        ({"genus": "Quercus"}, "Quercus"),
        ({"genus": "Betula", "species": "Betula pendula"}, "Betula pendula"),
        ({"genus": "Betula", "species": "Pendula"}, "species=Pendula; genus=Betula"),
        ({"species:en": "silver birch"}, "silver birch"),
        ({}, None),
    ],
)
def test_tree_names_stay_as_tagged(tags: dict[str, str], name: str | None) -> None:
    assert tree_values(tags)["verbatim_name"] == name


def test_girth_in_metres_becomes_centimetres() -> None:
    assert tree_values({"circumference": "1.4"})["girth_cm"] == 140.0
    assert tree_values({"circumference": "140"})["girth_cm"] is None


def test_raw_tags_are_one_line_each() -> None:
    assert raw_tags({"name": "two\nlines", "highway": "path"}) == "highway=path\nname=two lines"
