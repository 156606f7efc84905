"""An invented day out on the island, planned by hand, for tests of its page and its files."""

from __future__ import annotations

import datetime
from itertools import pairwise

from sitebook.records.results.day_plan import (
    Daylight,
    DayPlace,
    DayPlan,
    Excluded,
    ExpectedTaxon,
    LookAlikeLine,
    TakenLine,
    TreeToLookAt,
)
from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.outlook import StandingCrop, StationUsed
from sitebook.records.results.route import (
    Alternative,
    Bound,
    Leg,
    LegPart,
    Route,
    RoutePlan,
    RouteStop,
    RunnerUp,
)
from tests.pages.sample_town import at

SATURDAY = datetime.date(2025, 10, 4)
MARKET, RIDGE, CHARCOAL, PARK, LINKS = (0, 0), (-1400, 610), (-700, 1150), (1250, 560), (1100, 150)

DEADLY = LookAlikeLine(
    "Galerina marginata", "deadly", "print white in Flammulina, rusty brown in Galerina", "memory"
)
TWINS = tuple(
    LookAlikeLine(name, "poisonous", "blunt forked ridges in Cantharellus", "memory")
    for name in ("Omphalotus olearius", "Omphalotus illudens")
)
PICKED = StandingCrop(datetime.date(2025, 9, 28), 0.4, 10.0, "Mean life 10 days (our choice).")

PIXEL = (
    "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5E"
    "rkJggg=="
)


def expected(
    number: int, name: str, chance: float, *alike: LookAlikeLine, poisoning: str = ""
) -> ExpectedTaxon:
    """Make up what a stop may yield."""
    return ExpectedTaxon(
        taxon_id=number,
        taxon_name=name,
        chance=Chance(chance, chance / 3.0, min(2.0 * chance, 1.0), mostly_from_books=number == 2),
        worthwhile=chance / 2.0 if number == 1 else chance,
        at="RW1" if number == 1 else "",
        weight=0.0 if poisoning else 1.0,
        looks=12 if number == 1 else 0,
        looks_with_find=4 if number == 1 else 0,
        crop=PICKED if number == 1 else None,
        look_only="protected by law" if number == 3 else "",
        poisoning=poisoning,
        look_alikes=alike,
    )


CHANTERELLE = expected(1, "Cantharellus cibarius", 0.4, *TWINS)
FLAMMULINA = expected(2, "Flammulina velutipes", 0.2, DEADLY)
CAP = expected(
    3, "Amanita phalloides", 0.004, poisoning="poisoning class noted for this name: deadly (memory)"
)


def tree(tag: str, east: float, north: float, *photos: str) -> TreeToLookAt:
    """Make up a tree to look at."""
    spot = Spot(1, int(tag[-1]), "Ridge Wood", tag, 9, "Fagus sylvatica")
    return TreeToLookAt(spot, *at(east, north), f"Cantharellus cibarius: chance 40 % at {tag}.", photos)


TREES = (
    tree("RW1", -1420, 640, "a" * 64, "b" * 64),
    tree("RW2", -1340, 560),
    tree("RW3", -1480, 570, "c" * 64),
)


def place(number: int, name: str, spot: tuple[float, float], **more: object) -> DayPlace:
    """Make up a site of the day."""
    lon, lat = at(*spot)
    values: dict[str, object] = {
        "purpose": "gather",
        "purpose_said": "",
        "expected": (),
        "trees": (),
        "class_said": "class 1, some things not known (U)",
        "permission": (),
        "cautions": ("Nobody was asked yet whether gathering is allowed here.",),
        **more,
    }
    return DayPlace(
        key=f"key-{number}",
        spot=Spot(number, None, name),
        lon=lon,
        lat=lat,
        stay_min=40.0,
        scouting=0.1,
        **values,  # type: ignore[arg-type]
    )


PLACES = (
    place(
        1,
        "Ridge Wood",
        RIDGE,
        expected=(CHANTERELLE, CAP),
        trees=TREES,
        permission=("Island forestry: public right; at most 2 kg a day; last asked 2025-08-01",),
        cautions=("Ticks: look yourself over in the evening.",),
    ),
    place(2, "Charcoal <Wood>", CHARCOAL, expected=(FLAMMULINA, CHANTERELLE)),
    place(3, "Bell Park", PARK, purpose="look only", purpose_said="Class 3: the ground beside the road."),
    place(4, "Links", LINKS, expected=(FLAMMULINA,)),
    place(5, "Mill Wood", (1950, -600)),
)


def part(mode: str, minutes: float, *spots: tuple[float, float], unmapped: bool = False) -> LegPart:
    """Make up a piece of a way; its length is that of the line."""
    line = tuple(at(*spot) for spot in spots)
    metres = sum(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in pairwise(spots))
    return LegPart(mode, minutes, metres, line, unmapped)


def leg(*parts: LegPart) -> Leg:
    """Join pieces to a way."""
    return Leg(sum(one.minutes for one in parts), sum(one.metres for one in parts), parts)


LEGS = (
    leg(
        part("car", 6, MARKET, (-700, -120), (-640, 300)),
        part("foot", 14, (-640, 300), (-950, 700), (-1150, 540), RIDGE),
    ),
    leg(part("foot", 20, RIDGE, (-1300, 1100), (-900, 1230), CHARCOAL)),
    leg(
        part("foot", 12, CHARCOAL, (-80, 1250), (20, 800)), part("bicycle", 18, (20, 800), (1000, 420), PARK)
    ),
    leg(part("foot", 25, PARK, MARKET, unmapped=True)),
)

STOPS = (
    RouteStop("key-1", 20.0, 560.2, 560.2, 600.2, 0.5),
    RouteStop("key-2", 20.0, 620.2, 630.0, 670.0, 0.4),
    RouteStop("key-3", 30.0, 700.0, 700.0, 740.0, 0.1),
)
ROUTE = Route(STOPS, 1.0, 540.0, 765.0, 95.0, 120.0, 10.0)
OTHER = Route(
    (STOPS[0], RouteStop("key-4", 40.0, 640.0, 640.0, 680.0, 0.3)), 0.8, 540.0, 720.0, 100.0, 80.0, 0.0
)

PLAN = RoutePlan(
    route=ROUTE,
    proved=True,
    bound=Bound(1.0, "all sets of stops searched"),
    method="all sets of stops searched",
    alternatives=(Alternative(OTHER, 0.6),),
    runners_up=(RunnerUp("key-4", 0.2, 34.0, 12.0), RunnerUp("key-5", 0.1, None, None)),
    unreachable=(),
)


def sample_day() -> DayPlan:
    """Give the day."""
    return DayPlan(
        foray_uuid="5f1d7c1e-8a63-4a51-9b1f-0c54a6f0d111",
        on=SATURDAY,
        start=at(*MARKET),
        end=at(*MARKET),
        mode="car",
        starts_min=540.0,
        latest_end_min=780.0,
        searchers=2,
        places={one.key: one for one in PLACES},
        plan=PLAN,
        legs=LEGS,
        excluded=(
            Excluded(Spot(7, None, "Old Yard"), "permission", "Parish: closed to gathering."),
            Excluded(Spot(8, None, "Spruce wood"), "rest", "Resting until 2027-08-31."),
        ),
        daylight=Daylight("07:22", "18:51", "The sun rises at 07:22 and sets at 18:51."),
        stations={
            1: StationUsed("VEN", "Vennarhaven", 906.0, -2.0, SATURDAY, "Weather of Vennarhaven, 906 m away.")
        },
        weather_said="Rain of the last 10 days 4 mm (usual 20).",
        limits=(TakenLine("Island forestry: at most 2 kg a day; 0.5 kg noted as taken; 1.5 kg left.", 1.5),),
        travel_said=("Ways are those of the map.", "No heights are known."),
        scouting_share=0.2,
        seed=1,
    )
