"""What the island's fungi truly do: where, with which trees and when in the year.

This is the hidden truth behind the finds. Nothing of it is written into the files; a calendar drawn
from the files can be held against it. Seasons are those of a cool temperate coast (mark: memory).
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass

from demo_data.making.weather import FIRST, Day


@dataclass(frozen=True)
class Fungus:
    """One taxon: flushes as (day of year, spread in days, strength), yield by site, habits."""

    name: str
    authorship: str
    flushes: tuple[tuple[float, float, float], ...]
    hosts: tuple[str, ...]
    sites: dict[str, float]
    substrate: str
    count_of: str = "bodies"
    body_g: float = 0.0
    most: int = 6
    thirst: float = 0.8
    frost_hardy: bool = False


BIRCH, BEECH, OAK, PINE, SPRUCE = "Betula", "Fagus", "Quercus", "Pinus", "Picea"

FUNGI: tuple[Fungus, ...] = (
    Fungus("Leccinum scabrum", "(Bull.) Gray", ((264, 27, 1.0),), (BIRCH,),
           {"Birch row": 6.5, "Quarry birches": 3.0, "Station green": 2.0}, "soil", body_g=85, most=5),
    Fungus("Boletus edulis", "Bull.", ((268, 23, 1.0),), (SPRUCE, BEECH, PINE, OAK),
           {"Spruce wood": 3.0, "Beech hanger": 1.6, "Oak wood": 1.0, "Pine plantation": 0.8}, "soil",
           body_g=160, most=4),
    Fungus("Cantharellus cibarius", "Fr.", ((226, 32, 1.0),), (OAK, BEECH, SPRUCE),
           {"Oak wood": 2.9, "Beech hanger": 1.5, "Spruce wood": 1.4}, "moss", body_g=9, most=40),
    Fungus("Lactarius deliciosus", "(L.) Gray", ((284, 20, 1.0),), (PINE,), {"Pine plantation": 5.6},
           "litter", body_g=42, most=9),
    Fungus("Suillus luteus", "(L.) Roussel", ((272, 24, 1.0),), (PINE,), {"Pine plantation": 2.6}, "litter",
           body_g=60, most=8),
    Fungus("Marasmius oreades", "(Bolton) Fr.", ((160, 22, 0.55), (262, 30, 1.0)), (),
           {"School lawn": 2.2, "Park lawn": 2.0, "Churchyard": 1.3, "Dune grassland": 0.7, "Golf edge": 0.5},
           "lawn", body_g=1.6, most=60),
    Fungus("Clitocybe rivulosa", "(Pers.) P. Kumm.", ((276, 22, 1.0),), (),
           {"School lawn": 0.6, "Park lawn": 0.5, "Dune grassland": 0.5}, "lawn", most=20),
    Fungus("Agaricus campestris", "L.", ((252, 24, 1.0),), (),
           {"Dune grassland": 0.9, "Park lawn": 0.7, "Golf edge": 0.7, "Railway bank": 0.3}, "grassland",
           body_g=38, most=14),
    Fungus("Coprinus comatus", "(O.F. Müll.) Pers.", ((140, 15, 0.25), (288, 22, 1.0)), (),
           {"Skarrow Road verge": 2.8, "Allotment edge": 0.7, "Railway bank": 0.8, "Station green": 0.4},
           "soil",
           body_g=34, most=18),
    Fungus("Macrolepiota procera", "(Scop.) Singer", ((258, 20, 1.0),), (),
           {"Dune grassland": 1.0, "Railway bank": 0.5, "Golf edge": 0.4}, "grassland", body_g=95, most=5),
    Fungus("Pleurotus ostreatus", "(Jacq.) P. Kumm.", ((330, 30, 1.0), (8, 20, 0.6)), ("Populus", BEECH,
                                                                                       "Salix"),
           {"Riverside poplars": 5.2, "Beech hanger": 1.2, "Willow pond": 1.2}, "dead wood", "clusters",
           body_g=240, most=5, thirst=0.4, frost_hardy=True),
    Fungus("Laetiporus sulphureus", "(Bull.) Murrill", ((168, 26, 1.0),), (OAK, "Salix"),
           {"Oak wood": 2.2, "Willow pond": 3.4}, "living wood", "brackets", body_g=420, most=4, thirst=0.2),
    Fungus("Flammulina velutipes", "(Curtis) Singer", ((345, 26, 1.0), (18, 24, 0.8)), ("Salix", "Populus"),
           {"Willow pond": 2.2, "Riverside poplars": 1.1}, "dead wood", "clusters", body_g=35, most=4,
           thirst=0.3,
           frost_hardy=True),
    Fungus("Armillaria mellea", "(Vahl) P. Kumm.", ((284, 14, 1.0),), ("Malus", OAK, BEECH),
           {"Old orchard": 3.6, "Oak wood": 0.8, "Beech hanger": 0.8}, "buried wood", "clusters",
           body_g=150, most=6),
    Fungus("Calocybe gambosa", "(Fr.) Donk", ((124, 11, 1.0),), (),
           {"Churchyard": 1.5, "Old orchard": 0.9, "Park lawn": 0.5}, "lawn", body_g=22, most=15),
    Fungus("Lepista nuda", "(Bull.) Cooke", ((306, 17, 1.0),), (),
           {"Old orchard": 1.1, "Allotment edge": 0.9, "Beech hanger": 0.5}, "litter", body_g=40, most=9,
           frost_hardy=True),
    Fungus("Laccaria amethystina", "Cooke", ((282, 24, 1.0),), (BEECH, OAK), {"Beech hanger": 1.3,
                                                                              "Oak wood": 0.6},
           "litter", body_g=2.4, most=30),
    Fungus("Russula ochroleuca", "Fr.", ((272, 28, 1.0),), (BEECH, OAK, SPRUCE),
           {"Beech hanger": 1.0, "Oak wood": 0.8, "Spruce wood": 0.9}, "soil", most=7),
    Fungus("Amanita phalloides", "(Vaill. ex Fr.) Link", ((264, 21, 1.0),), (OAK, BEECH),
           {"Oak wood": 1.8, "Beech hanger": 0.7}, "soil", most=4),
    Fungus("Amanita muscaria", "(L.) Lam.", ((278, 20, 1.0),), (BIRCH, PINE),
           {"Birch row": 1.0, "Quarry birches": 1.4, "Pine plantation": 0.8}, "soil", most=6),
    Fungus("Paxillus involutus", "(Batsch) Fr.", ((262, 30, 1.0),), (BIRCH,),
           {"Birch row": 2.0, "Quarry birches": 1.6}, "soil", most=9),
    Fungus("Hypholoma fasciculare", "(Huds.) P. Kumm.", ((286, 36, 1.0), (125, 20, 0.2)), (SPRUCE, BEECH),
           {"Spruce wood": 1.8, "Beech hanger": 1.2}, "dead wood", "clusters", most=6, frost_hardy=True),
    Fungus("Hygrocybe conica", "(Schaeff.) P. Kumm.", ((274, 24, 1.0),), (), {"Churchyard": 0.9,
                                                                              "Dune grassland": 0.6},
           "grassland", most=12),
    Fungus("Trametes versicolor", "(L.) Lloyd", ((330, 70, 0.5),), (BEECH, "Malus"),
           {"Beech hanger": 0.7, "Old orchard": 0.7}, "dead wood", "brackets", most=20, thirst=0.1,
           frost_hardy=True),
)  # fmt: skip

POISONOUS = frozenset({
    "Clitocybe rivulosa", "Amanita phalloides", "Amanita muscaria", "Paxillus involutus",
    "Hypholoma fasciculare",
})  # fmt: skip
"""Met and noted, never taken for the kitchen."""

MEAN_RAIN_MM = 58.0


def strength(fungus: Fungus, site: str, date: datetime.date, days: list[Day]) -> float:
    """Give the mean number of finds in 30 minutes at a site, before any tree's own yield."""
    place_yield = fungus.sites.get(site, 0.0)
    if not place_yield:
        return 0.0
    return place_yield * season(fungus, date) * weather_effect(fungus, date, days)


def season(fungus: Fungus, date: datetime.date) -> float:
    """Give the seasonal curve, at most about 1."""
    day = date.timetuple().tm_yday
    total = 0.0
    for peak, spread, height in fungus.flushes:
        off = (day - peak + 182.6) % 365.25 - 182.6
        total += height * math.exp(-0.5 * (off / spread) ** 2)
    return total


def weather_effect(fungus: Fungus, date: datetime.date, days: list[Day]) -> float:
    """Give what rain of the last weeks and frost of the last days do to a flush."""
    i = (date - FIRST).days
    rain = sum(d.rain_mm for d in days[max(0, i - 26) : max(1, i - 4)])
    wet = min(1.9, max(0.12, (rain + 4) / MEAN_RAIN_MM)) ** fungus.thirst
    cold = min((d.low_degc for d in days[max(0, i - 3) : i + 1]), default=5.0)
    return float(wet) * (0.35 if cold < 1.0 and not fungus.frost_hardy else 1.0)
