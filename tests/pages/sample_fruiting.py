"""Invented answers of the season model, for tests of its pages: two seasons, a winter one, a lasting one."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from sitebook.analysis.season import parameters
from sitebook.records.results.fruiting import (
    SEASON_MODEL,
    Chance,
    DayOfYear,
    FruitingCalendar,
    FruitingRow,
    FruitingWeek,
    LastingRow,
    LookDay,
    LooksTold,
    SeasonSpan,
    Spot,
    TaxonSeason,
    TreePage,
    TreeTaxon,
    TreeYear,
)
from sitebook.records.results.season import Choice

TODAY = datetime.date(2026, 10, 1)
MODEL_SAID = "The season model is used: of 4 held-out years, no simpler way told enough of them better."
SITES = ("Ridge birches", "Ridge hollow", "Charcoal Wood, east", "Bell Park, oaks", "Bell Park, pines")
HUMPS = {
    "Flammulina velutipes": ((1, 6.0, 0.75),),
    "Laetiporus sulphureus": ((25, 5.0, 0.6),),
    "Leccinum scabrum": ((38, 5.0, 0.9),),
    "Marasmius oreades": ((20, 3.0, 0.5), (39, 4.0, 0.7)),
}


def spot(site: int, tree: int | None = None) -> Spot:
    """Give a site, or a tree of it, by their numbers."""
    if tree is None:
        return Spot(site, None, SITES[site - 1])
    return Spot(site, tree, SITES[site - 1], f"V{tree:02d}", 100, "Betula pendula", irrigated=False)


def row(
    where: Spot,
    humps: Sequence[tuple[int, float, float]],
    *,
    share: float = 1.0,
    looks: int = 24,
    at: str = "",
) -> FruitingRow:
    """Make up a row whose chance rises to one or two humps; few looks leave it to books."""
    weeks = tuple(_week(week, humps, share, looks) for week in range(1, 54))
    made, found = sum(week.looks for week in weeks), sum(week.looks_with_find for week in weeks)
    last = datetime.date(2026, 9, 20) if made else None
    return FruitingRow(where, weeks, made, found, last, last if found else None, at)


def _week(iso_week: int, humps: Sequence[tuple[int, float, float]], share: float, looks: int) -> FruitingWeek:
    away = [min(abs(iso_week - at), 53 - abs(iso_week - at)) / wide for at, wide, _ in humps]
    chance = 0.01 + max(
        share * most * math.exp(-(gone**2)) for gone, (_, _, most) in zip(away, humps, strict=True)
    )
    spread = 0.9 / (1.0 + looks / 8.0)
    made = int(looks > 3 and min(away) < 2.2 and (iso_week * 7 + looks) % 3 == 0) * (1 + iso_week % 2)
    found = int(made > 0 and chance > 0.25)
    low, high = chance * (1.0 - spread), min(0.99, chance + (1.0 - chance) * spread * min(1.0, chance * 2.0))
    return FruitingWeek(iso_week, Chance(chance, low, high, looks < 4 or min(away) > 2.2), made, found)


def season(
    taxon_id: int, name: str, *, southern: bool = False, spans: tuple[SeasonSpan, ...] = ()
) -> TaxonSeason:
    """Make up one taxon at all sites and at trees of the first two."""
    humps = HUMPS[name]
    sites = tuple(
        row(
            spot(number),
            humps,
            share=1 - 0.12 * number,
            looks=30 - 7 * number,
            at="V01" if number == 1 else "",
        )
        for number in range(1, 6)
    )
    trees = tuple(
        row(spot(1 + tree % 2, tree + 1), humps, share=0.9 - 0.2 * tree, looks=12 - 4 * tree)
        for tree in range(4)
    )
    told = LooksTold(86, 31, 33, 4, 12 if name.startswith("Mar") else 0, 70, 1, 1, 2021, 2026)
    from_memory = name.startswith("Laet")
    books = "Months of fruiting: September to November."
    if from_memory:
        books = "Months of fruiting: May to August. No source confirms them, so they count half."
    return TaxonSeason(
        taxon_id, name, southern, books, from_memory, SEASON_MODEL, MODEL_SAID, sites, trees, (), spans, told
    )


def span(onset: int, peak: int, end: int, finds: int) -> SeasonSpan:
    """Make up a season; an end far into it is estimated from dates where finds are many."""
    basis = "dated finds" if finds >= 8 else SEASON_MODEL
    return SeasonSpan(
        DayOfYear(onset, (onset - 12) % 365, (onset + 5) % 365, basis),
        DayOfYear(peak, (peak - 6) % 365, (peak + 6) % 365, SEASON_MODEL),
        DayOfYear(end, (end - 5) % 365, (end + 14) % 365, basis),
        finds,
    )


def lasting() -> TaxonSeason:
    """Make up a bracket that stands for years."""
    rows = (
        LastingRow(
            spot(1, 1),
            14,
            13,
            datetime.date(2022, 5, 1),
            TODAY,
            TODAY,
            Chance(0.95, 0.85, 0.99, mostly_from_books=False),
        ),
        LastingRow(spot(2), 3, 0, None, None, TODAY, Chance(0.12, 0.02, 0.4, mostly_from_books=True)),
    )
    told = LooksTold(17, 13, 13, 0, 0, 0, 0, 0, 2022, 2026)
    said = "Its fruit bodies stand for years, so there is no season to tell."
    name, way = "Fomes fomentarius", SEASON_MODEL
    return TaxonSeason(
        5,
        name,
        southern=False,
        books=said,
        from_memory=False,
        way=way,
        way_said=said,
        sites=(),
        trees=(),
        lasting=rows,
        spans=(),
        told=told,
    )


def sample_calendar() -> FruitingCalendar:
    """Make up a calendar of five taxa."""
    taxa = (
        season(1, "Flammulina velutipes", spans=(span(315, 4, 60, 14),)),
        lasting(),
        season(2, "Laetiporus sulphureus"),
        season(3, "Leccinum scabrum", spans=(span(235, 266, 305, 31),)),
        season(4, "Marasmius oreades", spans=(span(120, 140, 162, 5), span(246, 272, 304, 12))),
    )
    choices = tuple(Choice(words, parameters.model()[name]) for name, words in parameters.words().items())
    return FruitingCalendar(tuple(sorted(taxa, key=lambda one: one.taxon_name)), TODAY, choices[:6])


def sample_tree() -> TreePage:
    """Make up the page of one tree."""
    here = spot(1, 1)
    days = ("found", "not seen", "only remains", "doubtful")
    years = tuple(
        TreeYear(
            str(year),
            tuple(
                LookDay(
                    datetime.date(year, 6 + at, 3 + 5 * at), days[(at * at + year) % 4], 30.0 if at else None
                )
                for at in range(5)
            ),
        )
        for year in (2026, 2025, 2024)
    )
    winter = tuple(
        TreeYear(
            f"{year}/{year % 100 + 1}",
            (
                LookDay(datetime.date(year, 11, 20), "not seen", 20.0),
                LookDay(datetime.date(year + 1, 1, 4), "found", 45.0),
                LookDay(datetime.date(year + 1, 1, 9), "found", 30.0),
            ),
        )
        for year in (2025, 2024)
    )
    taxa = (
        _tree_taxon(season(1, "Flammulina velutipes"), here, winter),
        _tree_taxon(season(3, "Leccinum scabrum"), here, years),
    )
    standing = ("Fomes fomentarius", lasting().lasting[0])
    return TreePage(
        here, "leaning; girth 140 cm on 2024-05-01", taxa, (standing,), TODAY, "Promised and came."
    )


def _tree_taxon(one: TaxonSeason, here: Spot, years: tuple[TreeYear, ...]) -> TreeTaxon:
    return TreeTaxon(
        one.taxon_id,
        one.taxon_name,
        row(here, HUMPS[one.taxon_name], looks=20),
        years,
        one.books,
        one.from_memory,
        one.way,
        one.way_said,
        one.told,
    )
