"""An invented book as a map view, for tests."""

from __future__ import annotations

import datetime
import math
from dataclasses import replace

import shapely

from sitebook.records.results.contamination import Band, NearSource
from sitebook.records.results.fruiting import Chance, FruitingCalendar, Spot
from sitebook.records.results.map_view import FindMark, MapView, SiteMark, TreeMark
from sitebook.records.results.outlook import DayChance, NotProposed, Outlook, OutlookRow, StationUsed
from sitebook.records.results.review import ClassReason, PlaceReview
from tests.pages import sample_fruiting
from tests.pages.sample_town import at, blob, town

TODAY = datetime.date(2026, 10, 1)

SITES = (
    ("Ridge birches", -1650, 600, None, 0, 1, ()),
    ("Ridge hollow", -1250, 520, 60, 0, 0, ()),
    ("Charcoal Wood, east", -520, 1170, None, 1, 1, ()),
    ("Bell Park, oaks", 1200, 540, None, 1, 2, ()),
    ("Bell Park, pines", 1390, 620, 50, 1, 1, ()),
    ("School lawn", 400, 300, 45, 2, 2, ("sprayings of the lawn: nobody asked",)),
    ("Old Yard", 625, 490, 60, 1, 2, ()),
    ("Links, seventh green", 1560, -90, 40, 1, 1, ("sprayings of the lawn: nobody asked",)),
    ("Through Road verge", 700, 78, 20, 3, 4, ()),
    ("Station bank", -180, -150, 40, 2, 3, ("the map ends 120 m to the south",)),
    ("Market limes", 15, 25, 25, 4, 4, ()),
    ("Far point", 2250, 1000, 80, None, None, ("no road data covers this place",)),
)

TAXA = (
    ("Leccinum scabrum", 38, 0.9),
    ("Boletus edulis", 40, 0.5),
    ("Cantharellus cibarius", 33, 0.75),
    ("Marasmius oreades", 27, 0.65),
)

HOSTS = ("Betula pendula", "Fagus sylvatica", "Quercus robur", "Pinus sylvestris", "Picea abies")

CLASS_MEANINGS = (
    ("0", "no road within 1,000 m adds to the index; this does not tell whether the ground is polluted"),
    ("1", "a road adds a little"),
    ("2", "roads add clearly, or a motor road runs within 5 m"),
    ("3", "roads add much"),
    ("4", "as at the kerb of a road with 10,000 vehicles a day, or more"),
    ("U", "not known: no road data, or the map ends too near"),
)

FLAG_WORDS = (
    "The class looks at what is mapped or told, roads among it. "
    "It does not measure what is in the ground or in a mushroom."
)


def sample_map(site_name: str = "Ridge birches") -> MapView:
    """Build the view of the sample book.

    Parameters
    ----------
    site_name
        Name of the first site, for tests of odd names.
    """
    names = (site_name, *(site[0] for site in SITES[1:]))
    return MapView(
        title="Vennarhaven",
        sites=tuple(_site(i, name) for i, name in enumerate(names)),
        trees=tuple(_tree(i) for i in range(24)),
        finds=tuple(_find(i) for i in range(64)),
        ground=town(),
        class_meanings=CLASS_MEANINGS,
        flag_words=FLAG_WORDS,
        today=TODAY,
        zone="Etc/GMT+1",
        fruiting=_fruiting(names),
        outlook=_outlook(names),
    )


def _site(i: int, name: str) -> SiteMark:
    _, east, north, radius_m, *_ = SITES[i]
    geom = blob(east, north, 95, 60) if radius_m is None else shapely.Point(at(east, north))
    review = _review(name, i)
    allowed = ("Town gardens office: owner's consent until 2027-03-31, 1 kg a day",) if i % 3 else ()
    return SiteMark(
        i + 1, name, geom, radius_m, review, allowed, "Damp hollow, slow to dry." if i == 1 else ""
    )


def _review(name: str, place: int) -> PlaceReview:
    _, east, north, _, place_class, could_be, unknown = SITES[place]
    index = None if place_class is None else (0.001, 0.012, 0.08, 0.42, 1.3)[place_class]
    known = (
        []
        if index is None
        else [_road(0, abs(north) / 3 + 8, index), _road(1, abs(east) / 2 + 60, index / 9)]
    )
    words = "No road data covers this place" if place_class is None else CLASS_MEANINGS[place_class][1]
    return PlaceReview(
        name=name,
        lon=at(east, north)[0],
        lat=at(east, north)[1],
        place_class=place_class,
        could_be=could_be,
        unknown=unknown,
        traffic_index=None if index is None else Band(index, index / 3.2, index * 2.9),
        sources=tuple(known),
        words=f"{words[0].upper()}{words[1:]}. It speaks of what is mapped.",
        reach_m=1000.0,
        data_date=None,
        points_looked_at=9,
        because=tuple(
            ClassReason(place_class or 0, f"Roads: most comes from {road.name}.", "secondary")
            for road in known
        ),
    )


def _road(i: int, distance_m: float, value: float) -> NearSource:
    name, vehicles = (("Through Road", 8905.0), ("North Road", 2000.0))[i]
    return NearSource(
        kind="road",
        name=name,
        distance_m=distance_m,
        value=value,
        low=value / 3,
        high=value * 2.5,
        vehicles_per_day=vehicles,
        reason="traffic by class of road",
        source="class of road",
        mark="secondary",
    )


def _tree(i: int) -> TreeMark:
    site = i % 7
    east, north = SITES[site][1], SITES[site][2]
    lon, lat = at(east + 34 * math.cos(2.4 * i), north + 26 * math.sin(2.4 * i))
    looked = datetime.date(2026, 9, 1 + i) if i % 4 else None
    kind = HOSTS[i % 5] if i % 6 else ""
    return TreeMark(
        i + 1, f"V{i + 1:02d}", kind, site + 1, lon, lat, i % 5, 0 if looked is None else 3 + i, looked
    )


def _find(i: int) -> FindMark:
    site = i % 11
    east, north = SITES[site][1], SITES[site][2]
    lon, lat = at(
        east + (12 + i % 5 * 9) * math.cos(2.3 * (i // 11) + i),
        north + (8 + i % 5 * 7) * math.sin(2.3 * (i // 11) + i),
    )
    day = datetime.date(2022 + i % 5, 7 + i % 4, 1 + i % 28)
    taxon = TAXA[i % 4][0] if i % 9 else ""
    named = (
        f"{taxon}{' cf.' if i % 13 == 1 else ''}, named by Ada Venn on {day}" if taxon else "not named yet"
    )
    placed = i != 63
    return FindMark(
        find_id=i + 1,
        label=f"AV {i + 1}",
        taxon_name=taxon,
        name_words=named,
        date_words=day.isoformat(),
        found_on=day,
        site_id=site + 1 if placed else None,
        lon=lon if placed else None,
        lat=lat if placed else None,
        uncertainty_m=6.0 if i % 3 else None,
        count_words=f"{1 + i % 6} bodies, {i % 3} taken",
        hosts=(f"nearest: tree V{1 + i % 24:02d}",) if i % 2 else (),
        note="Caps slimy after rain." if i % 10 == 3 else "",
    )


def _spots(names: tuple[str, ...], taxon: int) -> list[Spot]:
    """Give every other site, and the trees in it, of one taxon."""
    sites = [Spot(i + 1, None, name) for i, name in enumerate(names[:11]) if (i + taxon) % 2 == 0]
    trees = [_tree(i) for i in range(24)]
    return sites + [
        Spot(tree.site_id, tree.tree_id, names[(tree.site_id or 1) - 1], tree.tag, 9, tree.taxon_name)
        for tree in trees
        if any(tree.site_id == site.site_id for site in sites)
    ]


def _fruiting(names: tuple[str, ...]) -> FruitingCalendar:
    """Make up the usual year of each taxon at its spots, and a bracket that stands for years."""
    taxa = []
    for taxon, (name, best, most) in enumerate(TAXA):
        rows = [
            sample_fruiting.row(
                spot,
                ((best + (spot.site_id or 0) % 3, 4.5, most),),
                share=1 - 0.06 * (spot.site_id or 0),
                looks=3 * ((number + 3) % 9),
            )
            for number, spot in enumerate(_spots(names, taxon))
        ]
        taxa.append(
            replace(
                sample_fruiting.season(1, "Leccinum scabrum"),
                taxon_id=taxon + 1,
                taxon_name=name,
                sites=tuple(row for row in rows if row.spot.tree_id is None),
                trees=tuple(row for row in rows if row.spot.tree_id is not None),
            )
        )
    taxa.append(replace(sample_fruiting.lasting(), taxon_id=9))
    return FruitingCalendar(tuple(sorted(taxa, key=lambda one: one.taxon_name)), TODAY)


def _outlook(names: tuple[str, ...]) -> Outlook:
    """Make up ten days at the spots of two taxa; one site is closed and one tree felled."""
    days = [TODAY + datetime.timedelta(days=at) for at in range(10)]
    rows = [
        OutlookRow(taxon + 1, TAXA[taxon][0], spot, _days(days, spot), 8, 3, "", "season model")
        for taxon in (0, 1)
        for spot in _spots(names, taxon)
        if (spot.site_id, spot.tree_id) != (3, None)
    ]
    closed = (
        NotProposed(Spot(3, None, names[2]), "Resting until 2027-03-01."),
        NotProposed(Spot(1, 1, names[0], "V01"), "Felled on 2026-08-14."),
    )
    said = "Weather of Vennarhaven Harbour, 1.2 km away and 14 m lower, known to 30 Sep."
    used = StationUsed("V1", "Vennarhaven Harbour", 1200.0, -14.0, TODAY, said)
    return Outlook(days[0], days[-1], tuple(rows), {i + 1: used for i in range(11)}, closed)


def _days(days: list[datetime.date], spot: Spot) -> tuple[DayChance, ...]:
    shares = [0.1 + 0.05 * ((at + (spot.site_id or 0) + 2 * (spot.tree_id or 0)) % 12) for at in range(10)]
    return tuple(
        DayChance(day, Chance(share, share * 0.6, share * 1.5, mostly_from_books=spot.tree_id == 4), at)
        for at, (day, share) in enumerate(zip(days, shares, strict=True))
    )
