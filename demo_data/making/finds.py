"""Her finds as she wrote them down: numbers, places, counts, names."""

from __future__ import annotations

import datetime
import math
import random

from demo_data.making.fungi import POISONOUS
from demo_data.making.lines import METRES_PER_DEGREE_LAT, METRES_PER_DEGREE_LON, Point, lon_lat
from demo_data.making.outings import Catch, Visit
from demo_data.making.places import Place, Tree, place, within

HEADER = (
    "site", "found_on", "found_at", "collector", "collection_number", "lon", "lat", "uncertainty_m",
    "position_source", "substrate", "individual_count", "count_of", "taken_count", "remaining_count",
    "fresh_mass_g", "growth_stage", "note", "name", "qualifier", "determined_by", "determined_on",
    "verification_level", "source_used", "host_tree", "host_role", "host_distance_m", "host_bearing_deg",
    "host_how_known",
)  # fmt: skip
BOOKS = ("club key, third printing", "field key of the club", "notes of the Tuesday table")
DRAFT_NOTES = ("brown cap, pale gills, not keyed yet", "two old caps, print failed", "slimy, grew in a ring",
               "small and grey, in the box with the moss", "white, smelled of flour")  # fmt: skip
QUALIFIED = {"Armillaria mellea": "group", "Russula ochroleuca": "cf.", "Clitocybe rivulosa": "cf.",
             "Agaricus campestris": "aff.", "Hygrocybe conica": "group"}  # fmt: skip


def find_rows(visits: list[Visit]) -> list[dict[str, str]]:
    """Write a row for each meeting of each visit, with numbers running for each collector."""
    rng = random.Random("finds")
    numbers = {"AC": 117, "MD": 11}
    rows = []
    for visit in visits:
        for catch in visit.catches:
            collector = "MD" if visit.companions == "MD" and rng.random() < 0.4 else "AC"
            row = _where_and_what(rng, visit, catch) | {"collector": collector}
            if rng.random() < 0.05 and catch.fungus.name not in POISONOUS:
                row["note"] = DRAFT_NOTES[int(rng.random() * len(DRAFT_NOTES))]
            else:
                numbers[collector] += 1 if rng.random() < 0.8 else 2 + int(rng.random() * 3)
                row["collection_number"] = str(numbers[collector])
                row |= _name(rng, visit, catch, collector)
            rows.append({column: row.get(column, "") for column in HEADER})
    return rows


def _where_and_what(rng: random.Random, visit: Visit, catch: Catch) -> dict[str, str]:
    row = {"site": visit.site, "found_on": visit.date.isoformat(), "substrate": _substrate(catch)}
    if visit.started_at is not None and rng.random() < 0.7:
        at = visit.started_at + datetime.timedelta(minutes=int(rng.random() * visit.spent))
        row["found_at"] = f"{at:%Y-%m-%dT%H:%MZ}"
    if catch.tree is None and rng.random() < 0.1:
        row["position_source"] = "site"
    else:
        row |= _position(rng, place(visit.site), catch.tree)
    return row | _amounts(rng, catch)


def _substrate(catch: Catch) -> str:
    if catch.tree is not None and catch.fungus.substrate == "dead wood" and catch.tree.condition == "decayed":
        return "living wood"
    return catch.fungus.substrate


def _position(rng: random.Random, here: Place, tree: Tree | None) -> dict[str, str]:
    source = "gpx" if rng.random() < 0.62 else "map" if rng.random() < 0.75 else "typed"
    error = {"gpx": 3 + int(rng.random() * 6), "map": 8, "typed": 5}[source]
    spot = lon_lat(_near(rng, here, tree))
    row = {
        "lon": f"{spot[0]:.6f}",
        "lat": f"{spot[1]:.6f}",
        "uncertainty_m": str(error),
        "position_source": source,
    }
    return row | (_host(rng, tree, spot) if tree is not None else {})


def _near(rng: random.Random, here: Place, tree: Tree | None) -> Point:
    """Draw a spot within the site, close to the tree where there is one."""
    while True:
        if tree is not None:
            turn, away = 2 * math.pi * rng.random(), 0.6 + 5.4 * rng.random()
            spot = tree.at[0] + away * math.cos(turn), tree.at[1] + away * math.sin(turn)
        else:
            xs = [p[0] for p in here.ring] or [here.centre[0] - 40, here.centre[0] + 40]
            ys = [p[1] for p in here.ring] or [here.centre[1] - 40, here.centre[1] + 40]
            spot = min(xs) + rng.random() * (max(xs) - min(xs)), min(ys) + rng.random() * (max(ys) - min(ys))
        if within(spot, here):
            return spot


def _host(rng: random.Random, tree: Tree, spot: Point) -> dict[str, str]:
    trunk = lon_lat(tree.at)
    east = (spot[0] - trunk[0]) * METRES_PER_DEGREE_LON
    north = (spot[1] - trunk[1]) * METRES_PER_DEGREE_LAT
    bearing = round(math.degrees(math.atan2(east, north)) % 360) % 360
    role = "nearest" if rng.random() < 0.3 else "under"
    known = {"host_how_known": "seen by her" if rng.random() < 0.85 else "inferred", "host_role": role}
    if rng.random() < 0.9:
        known |= {"host_distance_m": f"{math.hypot(east, north):.1f}", "host_bearing_deg": str(bearing)}
    return {"host_tree": tree.tag, **known}


def _amounts(rng: random.Random, catch: Catch) -> dict[str, str]:
    fungus = catch.fungus
    number = 1 + int(rng.random() ** 2.2 * fungus.most)
    stage = ("young", "mature", "mature", "mixed", "old")[int(rng.random() ** 0.9 * 5)]
    row = {"individual_count": str(number), "count_of": fungus.count_of, "growth_stage": stage}
    if rng.random() < 0.1:
        row["individual_count"] = ""
        row["count_of"] = "patch" if fungus.most > 12 else fungus.count_of
        return row
    edible = fungus.body_g > 0 and fungus.name not in POISONOUS and stage != "old"
    taken = round(number * (0.3 + 0.5 * rng.random())) if edible else int(rng.random() < 0.15)
    if rng.random() < 0.85:
        row |= {"taken_count": str(taken), "remaining_count": str(number - taken)}
        if taken and edible and rng.random() < 0.8:
            row["fresh_mass_g"] = f"{taken * fungus.body_g * (0.6 + 0.8 * rng.random()):.0f}"
    return row


def _name(rng: random.Random, visit: Visit, catch: Catch, collector: str) -> dict[str, str]:
    """Name the find, mostly on the day; some names are qualified, a few stop at the genus."""
    name, qualifier = catch.fungus.name, ""
    if rng.random() < 0.3:
        qualifier = QUALIFIED.get(name, "")
    if name.startswith("Russula") and rng.random() < 0.3:
        name, qualifier = "Russula", "sp."
    elif not qualifier and rng.random() < 0.02:
        qualifier = "?"
    by = "TH" if rng.random() < 0.12 else collector
    later = visit.date + datetime.timedelta(
        days=int(rng.random() * 9) if by == "TH" else int(rng.random() * 1.6)
    )
    level = "2" if by == "TH" else "1" if rng.random() < 0.35 else "0"
    book = BOOKS[int(rng.random() * len(BOOKS))] if rng.random() < 0.4 else ""
    return {"name": name, "qualifier": qualifier, "determined_by": by, "determined_on": later.isoformat(),
            "verification_level": level, "source_used": book}  # fmt: skip
