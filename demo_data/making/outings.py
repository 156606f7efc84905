"""Her visits of five seasons, the looks within them and what she met."""

from __future__ import annotations

import datetime
import math
import random
from dataclasses import dataclass, field

from demo_data.making.fungi import FUNGI, Fungus, strength
from demo_data.making.places import PLACES, TREES, Tree
from demo_data.making.weather import FIRST, Day

SEED = "outings5"
FAVOURITES = {
    "Birch row": 3.0, "Park lawn": 2.4, "Beech hanger": 2.0, "Oak wood": 2.0, "Pine plantation": 1.7,
    "School lawn": 1.6, "Old orchard": 1.2, "Dune grassland": 1.3, "Skarrow Road verge": 1.4,
    "Spruce wood": 1.5,
    "Riverside poplars": 1.3, "Willow pond": 1.2, "Churchyard": 1.1, "Station green": 0.9,
    "Railway bank": 0.8,
    "Allotment edge": 0.8, "Golf edge": 0.7, "Quarry birches": 0.9,
}  # fmt: skip
LEFT_ALONE = {"Spruce wood": datetime.date(2024, 11, 1)}
WALK_DAY = datetime.date(2025, 10, 11)
"""The Saturday that the recorded walk tells of; her tables hold nothing of it."""

FORAY_DAY = datetime.date(2024, 10, 5)
EMPTY_REMARKS = ("dry underfoot", "grass just mown", "slugs only", "wind and rain",
                 "leaves down, hard to see",
                 "nothing but old stumps", "picked over already", "too early",
                 "frost in the morning")  # fmt: skip


@dataclass
class Look:
    """One tree, or the rest of a site."""

    tree: str | None
    minutes: int | None
    outcome: str
    remarks: str = ""


@dataclass
class Catch:
    """One taxon met at one spot."""

    fungus: Fungus
    tree: Tree | None


@dataclass
class Visit:
    """One stay at a site; `spent` is how long it truly was."""

    site: str
    date: datetime.date
    started_at: datetime.datetime | None
    spent: int
    minutes: int | None
    searchers: int
    reason: str
    remarks: str = ""
    companions: str = ""
    looked_for_all: bool = True
    looks: list[Look] = field(default_factory=list)
    catches: list[Catch] = field(default_factory=list)


def all_visits(days: list[Day]) -> list[Visit]:
    """Simulate every visit, in the order of their dates."""
    visits: dict[tuple[str, datetime.date], Visit] = {}
    for monday in range(3, len(days) - 7, 7):
        rng = random.Random(f"{SEED} {days[monday].date}")
        for _ in range(_outings_of_week(rng, days[monday].date)):
            date = days[monday + int(rng.random() ** 0.6 * 7)].date
            for visit in _outing(rng, date, days):
                visits.setdefault((visit.site, date), visit)
    for visit in [*_seen_first(days), *_told(days), *_foray()]:
        visits.setdefault((visit.site, visit.date), visit)
    kept = [v for v in visits.values() if _may_be(v)]
    return sorted(kept, key=lambda v: (v.date, v.started_at is None, str(v.started_at), v.site))


def _may_be(visit: Visit) -> bool:
    return visit.date != WALK_DAY and not visit.date > LEFT_ALONE.get(visit.site, visit.date)


def _outings_of_week(rng: random.Random, date: datetime.date) -> int:
    mean = 1.55 if 8 <= date.month <= 11 else 0.72 if 4 <= date.month <= 7 else 0.4
    number, chance = 0, math.exp(-mean)
    roll, part = rng.random(), chance
    while roll > part and number < 5:
        number += 1
        chance *= mean / number
        part += chance
    return number


def _outing(rng: random.Random, date: datetime.date, days: list[Day]) -> list[Visit]:
    names = list(FAVOURITES)
    chosen = [
        _weighted(rng, names, list(FAVOURITES.values())) for _ in range(1 if rng.random() < 0.62 else 2)
    ]
    clock = 9 * 60 + int(rng.random() * 6.5 * 60)
    visits = []
    for site in dict.fromkeys(chosen):
        passing = rng.random() < 0.3
        spent = 5 + int(rng.random() * 10) if passing else 15 + int(rng.random() * 40)
        two = not passing and rng.random() < 0.22
        started = _instant(date, clock) if rng.random() < 0.6 else None
        noted = (5 * round(spent / 5) if rng.random() < 0.5 else spent) if rng.random() < 0.82 else None
        visit = Visit(site, date, started, spent, noted, 2 if two else 1, "passing" if passing else "planned",
                      companions=("MD" if rng.random() < 0.6 else "TH") if two else "")  # fmt: skip
        _search(visit, days)
        if not visit.catches and rng.random() < 0.22:
            visit.remarks = EMPTY_REMARKS[int(rng.random() * len(EMPTY_REMARKS))]
        visits.append(visit)
        clock += spent + 15 + int(rng.random() * 30)
    return visits


def _instant(date: datetime.date, minute_of_day: int) -> datetime.datetime:
    """Give the UTC instant of a local minute; the island keeps UTC less one hour."""
    midnight = datetime.datetime.combine(date, datetime.time(), datetime.UTC)
    return midnight + datetime.timedelta(minutes=minute_of_day + 60)


def _search(visit: Visit, days: list[Day]) -> None:
    """Look at trees and ground, and keep what is met."""
    rng = random.Random(f"{SEED} {visit.site} {visit.date}")
    trees = [t for t in TREES if t.site == visit.site]
    looked_at = [t for t in trees if rng.random() < (0.45 if visit.reason == "passing" else 0.85)]
    noted = bool(trees) and rng.random() < (0.25 if visit.reason == "passing" else 0.7)
    per_tree = max(1, int(visit.spent * 0.75 / max(1, len(looked_at)))) if looked_at else 0
    for tree in looked_at:
        met = [f for f in FUNGI if _meets(rng, f, visit, days, per_tree, tree=tree)]
        visit.catches += [Catch(f, tree) for f in met]
        if noted:
            visit.looks.append(_look(rng, tree.tag, per_tree, found=bool(met)))
    rest = visit.spent - per_tree * len(looked_at)
    met = [f for f in FUNGI if _meets(rng, f, visit, days, rest, tree=None)]
    visit.catches += [Catch(f, None) for f in met]
    if noted and (met or rng.random() < 0.7):
        visit.looks.append(_look(rng, None, rest, found=bool(met)))


def _look(rng: random.Random, tag: str | None, minutes: int, *, found: bool) -> Look:
    noted = minutes if rng.random() < 0.85 else None
    outcome = "found" if found else "only remains" if rng.random() < 0.06 else "not seen"
    return Look(tag, noted, outcome, "one black stump of a cap" if outcome == "only remains" else "")


def _meets(
    rng: random.Random, fungus: Fungus, visit: Visit, days: list[Day], minutes: int, *, tree: Tree | None
) -> bool:
    rate = strength(fungus, visit.site, visit.date, days) * minutes / 30 * math.sqrt(visit.searchers)
    if tree is not None:
        rate *= 2.0 * tree.yield_factor if tree.taxon.split()[0] in fungus.hosts else 0.0
    else:
        rate *= 0.25 if fungus.hosts else 2.6
    return rng.random() < 1 - math.exp(-PLENTY * rate)


PLENTY = 0.18
"""Scales all yields, so that about one look in five in season finds something."""


def _weighted(rng: random.Random, names: list[str], weights: list[float]) -> str:
    roll = rng.random() * sum(weights)
    for name, weight in zip(names, weights, strict=True):
        roll -= weight
        if roll < 0:
            return name
    return names[-1]


def _chance_meetings(
    rng: random.Random, days: list[Day], how_many: int
) -> list[tuple[Fungus, str, datetime.date]]:
    """Draw meetings with a fungus where it truly stands, by how much of it there is."""
    drawn: list[tuple[Fungus, str, datetime.date]] = []
    while len(drawn) < how_many:
        fungus = FUNGI[int(rng.random() * len(FUNGI))]
        site = PLACES[int(rng.random() * len(PLACES))].name
        date = days[int(rng.random() * len(days))].date
        if rng.random() * 3 < strength(fungus, site, date, days) and (date - FIRST).days > 60:
            drawn.append((fungus, site, date))
    return drawn


def _seen_first(days: list[Day]) -> list[Visit]:
    """Make the stops for a fungus she saw from the road or the path."""
    rng = random.Random("seen first")
    visits = []
    for fungus, site, date in _chance_meetings(rng, days, 26):
        spent = 3 + int(rng.random() * 9)
        started = _instant(date, 8 * 60 + int(rng.random() * 600)) if rng.random() < 0.5 else None
        visit = Visit(site, date, started, spent, spent if rng.random() < 0.4 else None, 1, "seen first",
                      looked_for_all=False)  # fmt: skip
        trees = [
            t for t in TREES if t.site == site and t.taxon.split()[0] in fungus.hosts and t.yield_factor > 0.3
        ]
        visit.catches.append(Catch(fungus, trees[int(rng.random() * len(trees))] if trees else None))
        visits.append(visit)
    return visits


def _told(days: list[Day]) -> list[Visit]:
    """Make the visits somebody sent her on; some came too late."""
    rng = random.Random("told")
    visits = []
    for fungus, site, date in _chance_meetings(rng, days, 8):
        late = rng.random() < 0.35
        visit = Visit(site, date, None, 20, 20 if rng.random() < 0.7 else None, 1, "told",
                      looked_for_all=False,
                      remarks="gone by then" if late else "Mirelle told of it")  # fmt: skip
        trees = [t for t in TREES if t.site == site and t.taxon.split()[0] in fungus.hosts]
        if not late:
            visit.catches.append(Catch(fungus, trees[0] if trees else None))
        visits.append(visit)
    return visits


def _foray() -> list[Visit]:
    """Make the two stops of the club's foray; its finds stand in the club's own list."""
    return [
        Visit(
            "Oak wood", FORAY_DAY, _instant(FORAY_DAY, 10 * 60), 110, 110, 9, "planned", "club foray", "MD TH"
        ),
        Visit(
            "Beech hanger",
            FORAY_DAY,
            _instant(FORAY_DAY, 14 * 60),
            75,
            75,
            9,
            "planned",
            "club foray",
            "MD TH",
        ),
    ]
