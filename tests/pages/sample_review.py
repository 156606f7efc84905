"""Invented reviews of places, for tests of the contamination pages."""

from __future__ import annotations

import datetime
import math
from dataclasses import replace

import shapely

from sitebook.records.results.contamination import Band
from sitebook.records.results.review import (
    ClassReason,
    DrawnGround,
    DrawnLine,
    PlaceReview,
    Question,
    Spread,
    Surroundings,
    TreeValue,
)
from sitebook.records.results.road_index import ParameterEffect, Profile
from sitebook.records.results.species import SpeciesLine, SpeciesReview
from tests.pages.sample_readings import mushroom_test, soil_test
from tests.pages.sample_sources import ROADS, SPRAYINGS, TERMS

TODAY = datetime.date(2026, 10, 1)

SPECIES = (
    SpeciesReview(
        taxon_name="Agaricus campestris",
        lines=(
            SpeciesLine(
                "lead",
                "mean",
                "3.0 below the cap, 2.2 rest",
                "mg/kg dry",
                "a province in Spain",
                of_genus=False,
                source="García and others 2009 (garcia2009)",
                mark="confirmed",
                site_kind="region",
            ),
            SpeciesLine(
                "cadmium",
                "maximum",
                "101",
                "mg/kg dry",
                "beside a smelter",
                of_genus=True,
                source="a review of smelter sites (smelters2000)",
                mark="secondary",
                site_kind="smelter",
                typical=False,
                of_whom="genus Agaricus",
            ),
            SpeciesLine(
                "arsenic",
                "no data",
                "no data for this taxon",
                "words",
                "",
                of_genus=False,
                source="the table of this book",
                mark="our choice",
            ),
        ),
        words="Published of lead: 2.2 to 3 mg/kg dry (a province in Spain). Of arsenic: no data for this "
        "taxon. What is published comes from other ground; what this fruit body holds, a laboratory alone "
        "can tell.",
    ),
)

EVIDENCE = (
    "Fifteen species of city green and of forest: no significant exposure was shown. [ivanic2021; confirmed]",
    "Some genera gather much cadmium and mercury far from any mapped source. [kalac_svoboda2000; confirmed]",
)

EFFECTS = (
    ParameterEffect("fine_scale", "how far fine dust carries (20 to 125 m)", 0.11, 0.42),
    ParameterEffect("position", "position of the place (12 m either way)", 0.12, 0.35),
    ParameterEffect("traffic", "vehicles a day", 0.13, 0.29),
    ParameterEffect("coarse_share", "share of coarse dust at the kerb", 0.15, 0.24),
    ParameterEffect("traffic_power", "whether twice the traffic is twice the metal", 0.198, 0.21),
)

TREES = (
    TreeValue("V01", "Quercus robur", 3, 4, Band(0.31, 0.12, 0.74), "Through Road, 11 m to its edge"),
    TreeValue("V02", "", 2, 3, Band(0.17, 0.06, 0.41), "Through Road, 19 m to its edge", ("sprayed?",)),
    TreeValue("V03", "Tilia cordata", None, None, None, ""),
)


def profile() -> Profile:
    """Make up the index across the road."""
    distances = tuple(float(d) for d in (*range(-60, -4, 4), -3.5, 0.0, 3.5, *range(8, 62, 4)))
    central = tuple(_index_at(abs(d)) for d in distances)
    return Profile(
        road="Through Road",
        distance_m=distances,
        central=central,
        low=tuple(0.4 * value for value in central),
        high=tuple(2.6 * value for value in central),
        half_width_m=3.5,
        place_m=18.5,
    )


def _index_at(from_middle_m: float) -> float:
    edge_m = max(from_middle_m - 3.5, 0.0)
    return 0.89 * (0.8 * math.exp(-edge_m / 5.0) + 0.2 * math.exp(-edge_m / 50.0))


def surroundings() -> Surroundings:
    """Make up what lies round the place."""
    links = shapely.Polygon([(-100, -60), (-26, -52), (-30, 8), (-100, 20)])
    garth = shapely.Polygon([(-12, -34), (34, -30), (38, 16), (-8, 14)])
    return Surroundings(
        half_side_m=80.0,
        outline_m=shapely.Polygon([(-18, -20), (20, -22), (26, 8), (4, 14), (-16, 6)]),
        worst_m=(4.0, 14.0),
        trees=(("V01", 6.0, 9.0), ("V02", -9.0, -4.0), ("V03", 12.0, -14.0)),
        roads=(
            DrawnLine(
                "Through Road",
                7.0,
                underground=False,
                shape_m=shapely.LineString([(-90, 26), (0, 32), (90, 48)]),
            ),
            DrawnLine(
                "residential street",
                5.0,
                underground=False,
                shape_m=shapely.LineString([(52, -90), (44, 0), (50, 42)]),
            ),
            DrawnLine(
                "Harbour Tunnel",
                9.0,
                underground=True,
                shape_m=shapely.LineString([(-90, 74), (20, 60), (90, 70)]),
            ),
        ),
        grounds=(
            DrawnGround("Old orchard (Rector's Garth)", "source", garth),
            DrawnGround("Links, seventh fairway", "spraying", links),
            DrawnGround("Churchyard lawn", "spraying", shapely.Point(33, -58).buffer(11)),
            DrawnGround("map data", "covered", shapely.box(-200, -66, 200, 200)),
        ),
    )


def full_review() -> PlaceReview:
    """Give a review in which nothing is empty."""
    return PlaceReview(
        name="Rector's Garth <lower & upper>",
        lon=-19.39987,
        lat=48.60124,
        place_class=3,
        could_be=4,
        unknown=(
            "Old orchard (Rector's Garth): was it sprayed before 1950?",
            "the map ends 66 m to the south",
        ),
        traffic_index=Band(0.2, 0.071, 0.61),
        sources=ROADS,
        words="A strong mapped source. Our advice: have the soil tested, or leave what grows here. A "
        "laboratory test of the mushroom is the only measurement.",
        reach_m=1000.0,
        data_date=datetime.date(2026, 3, 1),
        points_looked_at=23,
        because=(
            ClassReason(3, "Ground of an old orchard, suspected only: area index 0.62.", "our choice"),
            ClassReason(2, "Through Road, 15 m to its edge, adds 0.20 to the traffic index.", "our choice"),
        ),
        could_because=(
            ClassReason(4, "If the orchard was sprayed before 1950, its ground is left.", "our choice"),
        ),
        questions=(
            Question("Old orchard (Rector's Garth): was it sprayed before 1950?", "the parish archive"),
            Question("Links, seventh fairway: how much copper was brought out?", "Mara Quill"),
        ),
        effects=EFFECTS,
        area_term=Band(0.62, 0.44, 0.81),
        terms=TERMS,
        sprayings=SPRAYINGS,
        spread=Spread(0.041, 0.088, 0.2, 23),
        trees=TREES,
        tests=(mushroom_test(), soil_test()),
        species=SPECIES,
        evidence=EVIDENCE,
        profile=profile(),
        surroundings=surroundings(),
        looked_for=(
            "Looked for: motor roads within 1,000 m; 31 other kinds of source within 300 m.",
            "The whole map shows none of these, so its makers may have left them out: landfill, scrapyard.",
        ),
        uncertainty_m=12.0,
        site_id=7,
    )


def bare_review() -> PlaceReview:
    """Give a review of a place with nothing near it."""
    return PlaceReview(
        name="Ridge birches",
        lon=-19.422,
        lat=48.6054,
        place_class=0,
        could_be=0,
        unknown=(),
        traffic_index=Band(0.00002, 0.0, 0.0003),
        sources=(),
        words="No mapped source within 1,000 m. This does not tell whether the ground is polluted. A "
        "laboratory test of the mushroom is the only measurement.",
        reach_m=1000.0,
        data_date=None,
        points_looked_at=1,
        site_id=1,
    )


def unknown_review() -> PlaceReview:
    """Give a review of a place that no map covers."""
    return replace(
        bare_review(),
        name="Far point",
        lon=-19.37,
        lat=48.609,
        place_class=None,
        could_be=None,
        unknown=("no map data covers this place", "sprayings of the lawn: nobody asked"),
        traffic_index=None,
        words="Nothing is known of the roads round this place. This does not tell whether the ground is "
        "polluted.",
        site_id=12,
    )


def island_reviews() -> tuple[PlaceReview, ...]:
    """Give the reviews of a whole book, in the order of the alphabet."""
    full = full_review()
    made = [full, bare_review(), unknown_review()]
    for i, (name, place_class, could_be) in enumerate(
        (("Bell Park, oaks", 1, 2), ("Market limes", 4, 4), ("School lawn", 2, 2), ("Station bank", 2, 3))
    ):
        made.append(
            replace(
                full,
                name=name,
                lon=-19.41 + 0.006 * i,
                lat=48.6 + 0.0015 * (i % 3),
                place_class=place_class,
                could_be=could_be,
                traffic_index=Band(*(v * (0.01, 0.04, 0.4, 1.0, 5.0)[place_class] for v in (1.0, 0.4, 2.5))),
                tests=(),
                site_id=20 + i,
                unknown=full.unknown[:1] if i % 2 else (),
                questions=(),
            )
        )
    return tuple(sorted(made, key=lambda review: review.name.casefold()))
