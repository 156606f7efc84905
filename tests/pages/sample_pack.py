"""An invented day out with two stops, and the sheet that goes with it, for tests."""

from __future__ import annotations

import datetime

from sitebook.records.results.day_plan import (
    Daylight,
    DayPlace,
    DayPlan,
    ExpectedTaxon,
    LookAlikeLine,
    TakenLine,
    TreeToLookAt,
)
from sitebook.records.results.entry_sheet import EntrySheet
from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.route import Bound, Leg, LegPart, Route, RoutePlan, RouteStop, RunnerUp
from tests.pages.sample_sheet import BAD, LAWN, WOOD, sample_sheet
from tests.pages.sample_town import at

ON = datetime.date(2025, 10, 4)
HIDDEN = "Ridge of the others"
"""A site the day leaves out: its name must not be on the page."""


def sample_plan() -> DayPlan:
    """Give the day."""
    wood = _place(WOOD.uuid, WOOD.name, (1200, 540), "gather", (_expected("Boletus edulis", 0.42),))
    lawn = _place(LAWN.uuid, LAWN.name, (400, 300), "look only", ())
    left = _place("dddddddd-dddd-4ddd-8ddd-dddddddddddd", HIDDEN, (-1650, 600), "gather", ())
    stops = (
        RouteStop(WOOD.uuid, 22.0, 562.0, 562.0, 602.0, 0.4),
        RouteStop(LAWN.uuid, 14.0, 616.0, 620.0, 640.0, 0.1),
    )
    route = Route(stops, 0.5, 540.0, 655.0, 51.0, 60.0, 4.0)
    runners = (RunnerUp(left.key, 0.05, 40.0, 0.0),)
    spots = [(0, 0), (800, 60), (1200, 540), (840, 320), (400, 300), (0, 0)]
    return DayPlan(
        foray_uuid="eeeeeeee-eeee-4eee-8eee-eeeeeeeeeeee",
        on=ON,
        start=at(0, 0),
        end=at(0, 0),
        mode="foot",
        starts_min=540.0,
        latest_end_min=960.0,
        searchers=2,
        places={place.key: place for place in (wood, lawn, left)},
        plan=_route_plan(route, runners),
        legs=(_leg(22.0, spots[:3]), _leg(14.0, spots[2:5]), _leg(15.0, spots[4:], unmapped=True)),
        excluded=(),
        daylight=Daylight("07:31", "18:58", "The sun sets at 18:58, three hours after the end."),
        stations={},
        weather_said="31 mm of rain fell in the last ten days.",
        limits=(TakenLine("2 kg a day in the town's woods; 0.4 kg taken, 1.6 kg left.", 1.6),),
        travel_said=("Ways of the extract on foot at 4.5 km an hour.",),
        scouting_share=0.2,
        seed=1,
    )


def _route_plan(route: Route, runners: tuple[RunnerUp, ...]) -> RoutePlan:
    return RoutePlan(
        route=route,
        proved=True,
        bound=Bound(route.score, "proved"),
        method="every choice weighed",
        alternatives=(),
        runners_up=runners,
        unreachable=(),
    )


def sample_day_sheet() -> EntrySheet:
    """Give the sheet of the day."""
    return sample_sheet()


def _place(
    key: str, name: str, east_north: tuple[float, float], purpose: str, expected: tuple[ExpectedTaxon, ...]
) -> DayPlace:
    lon, lat = at(*east_north)
    looks = purpose == "look only"
    trees = [("E1", "Quercus robur", (20, 10)), ("E2", "", (-35, 30))] if name == WOOD.name else []
    return DayPlace(
        key=key,
        spot=Spot(1, None, name),
        lon=lon,
        lat=lat,
        purpose=purpose,
        purpose_said="Only to look: class 3, and you gather at class 2 or less." if looks else "",
        stay_min=20.0 if looks else 40.0,
        scouting=0.1,
        expected=expected,
        trees=tuple(_tree(name, tag, kind, east_north, away) for tag, kind, away in trees),
        class_said="class 3, could be 4" if looks else "class 1",
        permission=() if looks else ("Town gardens office: owner's consent until 2027-03-31, 2 kg a day",),
        cautions=(f"The gate {BAD} shuts at 17:00.",) if looks else (),
    )


def _tree(
    site: str, tag: str, kind: str, east_north: tuple[float, float], away: tuple[int, int]
) -> TreeToLookAt:
    lon, lat = at(east_north[0] + away[0], east_north[1] + away[1])
    words = "Boletus edulis, 3 of 10 looks; last found here on 2024-10-02."
    return TreeToLookAt(Spot(1, 1, site, tag, None, kind), lon, lat, words, ())


def _expected(name: str, chance: float) -> ExpectedTaxon:
    alikes = (
        LookAlikeLine("Tylopilus felleus", "unpleasant", "Dark net on the stem, pores turn pink.", "memory"),
        LookAlikeLine("Rubroboletus satanas", "poisonous", "", "memory"),
    )
    return ExpectedTaxon(
        taxon_id=1,
        taxon_name=name,
        chance=Chance(chance, chance / 2, min(1.0, chance * 1.5), mostly_from_books=False),
        worthwhile=chance / 2,
        at="E1",
        weight=3.0,
        looks=12,
        looks_with_find=5,
        crop=None,
        look_only="",
        poisoning="",
        look_alikes=alikes,
    )


def _leg(minutes: float, spots: list[tuple[int, int]], *, unmapped: bool = False) -> Leg:
    line = tuple(at(*spot) for spot in spots)
    return Leg(minutes, minutes * 70.0, (LegPart("foot", minutes, minutes * 70.0, line, unmapped),))
