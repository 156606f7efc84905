"""Tests of the ground of a spraying, wherever on the globe and however it was drawn."""

from __future__ import annotations

import datetime
import math

import pytest
import shapely
from shapely import Point, Polygon, affinity, box
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.spraying_ground import covers
from sitebook.analysis.contamination.sprayings import RainSeen, Told, needs, spray_terms_at
from sitebook.ground.projection import LocalMetres
from sitebook.records.results.spray_term import SprayTerm
from tests.analysis.contamination.spraying_made import LAT, LON, NOW, TODAY, one, spraying

UNDER = box(-20, -20, 20, 20)


def degrees(shape_m: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape_m, LocalMetres(LON, LAT).to_degrees)


def at(lon: float, lat: float, geom: BaseGeometry) -> SprayTerm:
    sprayed = Told(spraying(UNDER, geom=geom))
    ((term,),) = spray_terms_at([[lon, lat]], [sprayed], today=TODAY, rain=RainSeen())
    return term


def test_an_outline_that_crosses_itself_is_mended_and_said() -> None:
    bow = Polygon([(-20, -20), (20, 20), (20, -20), (-20, 20)])
    term = one(spraying(affinity.translate(bow, xoff=10)))
    assert (term.floor_class, term.inside) == (4, True)
    said = "Church lawn: an outline crosses itself and was taken as the ground it encloses"
    assert said in term.unknown


def test_a_star_drawn_in_one_line_holds_its_middle() -> None:
    angles = [math.pi * (0.5 + 0.8 * n) for n in range(5)]
    star = Polygon([(30 * math.cos(a), 30 * math.sin(a)) for a in angles])
    assert not star.is_valid
    assert one(spraying(star)).inside


def test_a_hole_in_the_ground_was_not_sprayed() -> None:
    ring = box(-50, -50, 50, 50).difference(box(-5, -5, 5, 5))
    term = one(spraying(ring))
    assert (term.inside, term.floor_class) == (False, 2)
    assert term.distance_m == pytest.approx(5, abs=1e-3)


@pytest.mark.parametrize("lon", [180.0, -180.0, 179.9999, -179.9999])
def test_ground_across_the_seam_of_longitudes(lon: float) -> None:
    frame = LocalMetres(lon, LAT)
    whole = shapely.transform(UNDER, frame.to_degrees)
    assert at(lon, LAT, whole).floor_class == 4
    east, west = box(180 - 1e-3, LAT - 1e-3, 180, LAT + 1e-3), box(-180, LAT - 1e-3, -180 + 1e-3, LAT + 1e-3)
    assert at(lon, LAT, shapely.union_all([east, west])).floor_class == 4
    assert len(needs([[lon, LAT]])) == 2


def test_distances_hold_at_seventy_degrees_north() -> None:
    frame = LocalMetres(25.0, 70.0)
    term = at(25.0, 70.0, shapely.transform(box(12, -20, 60, 20), frame.to_degrees))
    assert term.distance_m == pytest.approx(12.0, abs=0.01)
    assert term.direction == "east"


def test_words_of_spraying_cover_the_ground_they_were_drawn_on() -> None:
    lawn = degrees(UNDER)
    assert covers([spraying(UNDER)], lawn)
    assert covers([spraying(UNDER, state="never")], lawn)
    assert covers([spraying(box(-20, -20, 0, 20)), spraying(box(0, -20, 20, 20), state="never")], lawn)
    assert covers([spraying(box(-18.5, -20, 20, 20))], lawn)


@pytest.mark.parametrize(
    "change",
    [
        {"state": "planned"},
        {"state": "not known"},
        {"withdrawn_at": NOW},
        {"state": "never", "closed_on": datetime.date(2026, 5, 20)},
    ],
)
def test_other_words_cover_nothing(change: dict[str, object]) -> None:
    assert not covers([spraying(UNDER, **change)], degrees(UNDER))


def test_half_a_lawn_is_not_covered() -> None:
    assert not covers([spraying(box(-20, -20, 15, 20))], degrees(UNDER))
    assert not covers([], degrees(UNDER))
    assert covers([spraying(Point(0, 0))], degrees(Point(0, 0)))
