"""The drawings of the contamination pages: map, profile, bars, overview, and the numbers on them."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
import shapely
from defusedxml import ElementTree
from hypothesis import given
from hypothesis import strategies as st

from sitebook.pages import contamination_numbers as numbers
from sitebook.pages import contamination_overview as overview
from sitebook.pages import contamination_profile as drawn_profile
from sitebook.pages.contamination_effects import drawn_effects
from sitebook.pages.contamination_map import SIDE, small_map
from sitebook.pages.contamination_overview import NumberedSite, sites_map
from sitebook.pages.label_room import Box, Room
from sitebook.pages.scale_bar import round_length_m
from sitebook.pages.svg_shapes import path_data
from sitebook.records.results.contamination import Band
from sitebook.records.results.review import DrawnGround, Surroundings
from sitebook.records.results.road_index import ParameterEffect
from tests.pages import sample_review as sample

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


def drawing(svg: str) -> Element:
    return ElementTree.fromstring(svg)


def of_class(svg: Element, name: str) -> list[Element]:
    return [part for part in svg.iter() if name in part.get("class", "").split()]


def test_roads_are_as_wide_as_they_are() -> None:
    svg = drawing(small_map("x", sample.surroundings()).svg)
    widths = sorted(float(road.attrib["stroke-width"]) for road in of_class(svg, "road"))
    assert widths == pytest.approx([5.0 * SIDE / 160.0, 7.0 * SIDE / 160.0], abs=0.06)
    assert len(of_class(svg, "tunnel")) == 1


def test_ground_is_lettered_in_the_order_of_the_key_and_trees_bear_their_tags() -> None:
    drawn = small_map("x", sample.surroundings())
    assert [(ground.letter, ground.kind) for ground in drawn.grounds] == [
        ("A", "source"),
        ("B", "spraying"),
        ("C", "spraying"),
    ]
    texts = [text.text for text in drawing(drawn.svg).iter("text")]
    assert {"A", "B", "C", "V01", "V02", "V03", "N", "20 m", "Through Road"} <= set(texts)


def test_north_is_up_and_east_is_right() -> None:
    around = Surroundings(
        half_side_m=50.0,
        outline_m=shapely.Point(0, 0).buffer(10),
        worst_m=(0.0, 0.0),
        trees=(("NE", 25.0, 25.0),),
        roads=(),
        grounds=(),
    )
    (tree,) = of_class(drawing(small_map("x", around).svg), "tree")
    x, y = re.findall(r"M(\S+) (\S+?)l", tree.attrib["d"])[0]
    assert (float(x), float(y) + 6.0) == pytest.approx((0.75 * SIDE, 0.25 * SIDE))


def test_what_no_map_covers_is_shown_only_where_it_is_known() -> None:
    bare = replace(sample.surroundings(), grounds=())
    assert not small_map("x", bare).has_uncovered
    assert small_map("x", sample.surroundings()).has_uncovered
    whole = DrawnGround("map data", "covered", shapely.box(-900, -900, 900, 900))
    assert not small_map("x", replace(bare, grounds=(whole,))).has_uncovered


def test_lines_points_and_twisted_outlines_are_drawn() -> None:
    bow = shapely.Polygon([(-30, -30), (30, 30), (30, -30), (-30, 30)])
    grounds = (
        DrawnGround("a wall", "source", shapely.LineString([(-20, 0), (20, 5)])),
        DrawnGround("a burnt car", "source", shapely.Point(10, 40)),
        DrawnGround("a bow", "spraying", bow),
        DrawnGround("far off", "source", shapely.Point(4000, 0).buffer(5)),
    )
    drawn = small_map("x", replace(sample.surroundings(), grounds=grounds))
    assert [ground.title for ground in drawn.grounds] == ["a wall", "a burnt car", "a bow"]
    assert len(of_class(drawing(drawn.svg), "ground")) == 3


def test_a_hole_stays_a_hole() -> None:
    ring = shapely.box(0, 0, 90, 90).difference(shapely.box(30, 30, 60, 60))
    assert path_data(ring).count("z") == 2


def test_more_than_26_grounds_go_on_with_two_letters() -> None:
    dots = tuple(
        DrawnGround(f"dot {i}", "source", shapely.Point(-70 + 5 * i, 0).buffer(1)) for i in range(28)
    )
    drawn = small_map("x", replace(sample.surroundings(), grounds=dots))
    assert [ground.letter for ground in drawn.grounds][-3:] == ["Z", "AA", "AB"]


def test_the_profile_stands_on_powers_of_ten_with_all_steps() -> None:
    profile = sample.profile()
    svg = drawing(drawn_profile.profile_svg(profile))
    texts = [text.text for text in svg.iter("text")]
    for label in ("0.005", "0.05", "0.3", "1", "class 1", "class 4", "this place", "index"):
        assert label in texts
    assert "metres from the centre line" in texts
    axes = drawn_profile._Axes(profile)
    assert axes.y(0.05) - axes.y(0.5) == pytest.approx(axes.y(0.005) - axes.y(0.05))
    assert axes.y(0.0) == pytest.approx(drawn_profile.BOTTOM)
    (dot,) = of_class(svg, "here-dot")
    assert float(dot.attrib["cx"]) == pytest.approx(axes.x(18.5), abs=0.06)


def test_the_kerb_is_as_wide_as_the_road() -> None:
    (kerb,) = of_class(drawing(drawn_profile.profile_svg(sample.profile())), "kerb")
    per_metre = (drawn_profile.RIGHT - drawn_profile.LEFT) / 120.0
    assert float(kerb.attrib["width"]) == pytest.approx(7.0 * per_metre, abs=0.11)


def test_a_place_beyond_the_line_and_an_index_of_nothing_stay_on_the_drawing() -> None:
    nothing = (0.0,) * len(sample.profile().distance_m)
    profile = replace(sample.profile(), central=nothing, low=nothing, high=nothing, place_m=400.0)
    svg = drawn_profile.profile_svg(profile)
    places = [float(x) for x in re.findall(r'c?x="(-?[\d.]+)"', svg)]
    assert max(places) <= drawn_profile.WIDTH
    assert "under 0.0005" in svg


def test_bars_share_one_scale_and_the_longest_comes_first() -> None:
    effects = (ParameterEffect("a", "first", 0.05, 0.5), ParameterEffect("b", "second", 0.1, 0.2))
    first, second = (drawing(effect.bar) for effect in drawn_effects(effects, 0.15))
    wide = [float(of_class(svg, "reach")[0].attrib["width"]) for svg in (first, second)]
    assert wide[0] == pytest.approx(192.0)
    assert wide[1] / wide[0] == pytest.approx(0.301, abs=0.002)
    assert first.find("path[@class='middle']").attrib == second.find("path[@class='middle']").attrib  # type: ignore[union-attr]
    assert [effect.times for effect in drawn_effects(effects, 0.15)] == ["10 times", "2.0 times"]
    assert drawn_effects((ParameterEffect("a", "nothing", 0.0, 0.0),), 0.0)[0].times == ""


def test_a_number_too_small_to_be_resolved_is_not_printed() -> None:
    assert numbers.index_band(Band(1e-7, 0.0, 3e-6)) == "under 0.0005"
    assert numbers.index_band(Band(0.002, 1e-5, 0.01)) == "0.0020 (under 0.0005 to 0.010)"
    assert numbers.soil_band(Band(1e-9, 0.0, 1e-6)) == "under 0.001 mg/kg dry soil"
    assert numbers.percent_band(Band(100.0, 100.0, 100.0)) == "100 %"


@pytest.mark.parametrize(("most", "long"), [(48.0, 20.0), (50.0, 50.0), (999.0, 500.0), (1.2, 1.0)])
def test_scale_bars_are_round(most: float, long: float) -> None:
    assert round_length_m(most) == pytest.approx(long)


@given(
    st.lists(
        st.tuples(
            st.floats(179.9, 180.0) | st.floats(-180.0, -179.9) | st.floats(-179.9, 179.9),
            st.floats(-80.0, 80.0),
        ),
        min_size=1,
        max_size=30,
    )
)
def test_every_site_lies_on_the_overview(places: list[tuple[float, float]]) -> None:
    sites = [
        NumberedSite(at + 1, "", replace(sample.bare_review(), lon=lon, lat=lat))
        for at, (lon, lat) in enumerate(places)
    ]
    svg = drawing(sites_map(sites))
    high = float(svg.attrib["viewBox"].split()[3])
    assert overview.LEAST_HEIGHT <= high <= overview.MOST_HEIGHT + 0.1
    marks = of_class(svg, "site-mark")
    assert len(marks) == len(places)
    for mark in marks:
        x, y = (float(number) for number in re.findall(r"[-\d.]+", mark.attrib["transform"]))
        assert 0.0 <= x <= overview.WIDTH - overview.MARK
        assert 0.0 <= y <= high - overview.MARK


@pytest.mark.source(
    item="",
    what="a site one minute of latitude north of another lies a nautical mile off on the overview",
    value="1852 m",
    source="definition of the international nautical mile",
    mark="confirmed",
)
def test_the_scale_of_the_overview_holds() -> None:
    metres = overview._positions_m([(179.999, 48.6), (-179.999, 48.6 + 1.0 / 60.0)])
    assert metres[1][1] == pytest.approx(1852.0, rel=0.002)
    assert metres[1][0] == pytest.approx(147.3, rel=0.01)


def test_labels_never_lie_on_one_another() -> None:
    room = Room(100.0, 100.0)
    kept = [room.first_free([Box(x, y, 30.0, 10.0)]) for x in range(5, 100, 9) for y in range(5, 100, 4)]
    boxes = [box for box in kept if box is not None]
    assert len(boxes) > 5
    assert not any(a.meets(b) for at, a in enumerate(boxes) for b in boxes[at + 1 :])
    assert all(15.0 <= box.x <= 85.0 for box in boxes)
