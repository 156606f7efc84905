"""Draws the page of fruiting calendars: sites and trees by week, with the season of each taxon."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal

from markupsafe import Markup

from sitebook.pages import frame
from sitebook.pages.fruiting_grid import grid, sample, week_row
from sitebook.pages.fruiting_likeliest import likeliest_now
from sitebook.pages.fruiting_weeks import YearCut, best_cut, by_cut
from sitebook.pages.fruiting_words import (
    lasting_cells,
    never_empty,
    rests_on,
    row_lines,
    span_lines,
    span_titles,
    week_cells,
    years_of,
)
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.poison_words import with_class
from sitebook.records.results.fruiting import (
    Chance,
    FruitingCalendar,
    FruitingRow,
    FruitingWeek,
    LastingRow,
    Spot,
    TaxonSeason,
)
from sitebook.records.results.season import Choice

MOST_ROWS = 300
"""Rows a page holds before those with the fewest looks are left out, below 3 MB."""

NOWHERE = "In none of your sites"


@dataclass(frozen=True)
class _Block:
    """One grid with its heading and its weeks as tables.

    Parameters
    ----------
    head
        Heading; "" for none.
    drawn
        The grid.
    tables
        Name and weeks of each row.
    """

    head: str
    drawn: Markup
    tables: list[tuple[str, list[tuple[str, str, str, str, str]]]]


def draw_fruiting(
    calendar: FruitingCalendar,
    *,
    title: str,
    today: datetime.date,
    poison_centre: str,
    subtitle: str = "",
    by: Literal["taxon", "spot"] = "taxon",
    most_rows: int = MOST_ROWS,
) -> str:
    """Draw calendars as one self-contained page that works without scripts.

    Parameters
    ----------
    calendar
        What is known of each taxon.
    title
        Heading of the page.
    today
        Day whose week is outlined.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    subtitle
        Line below the heading; empty for one that says what years the looks span.
    by
        "taxon" for sites and trees below each taxon, "spot" for taxa below each site and tree.
    most_rows
        Rows shown at most; those with the fewest looks are left out, and the page says how many.
    """
    classed = [replace(one, taxon_name=_named(calendar, one)) for one in calendar.taxa]
    taxa, left_out = _most_looked_at(classed, most_rows)
    sections = [_taxon_section(one, today) for one in taxa] if by == "taxon" else _site_sections(taxa, today)
    body = rendered(
        "fruiting.html.j2",
        sections=sections,
        told_taxa=[_told(one) for one in taxa] if by == "spot" else [],
        left_out=left_out,
        samples=samples(),
        week=today.isocalendar().week,
        likeliest=likeliest_now(taxa, today, calendar.poisoning),
        held_out=calendar.held_out_said,
        choices=[(choice.words, _value_in_words(choice)) for choice in calendar.choices],
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("fruiting_grid.css") + text_of("fruiting.css"),
        subtitle=subtitle or years_of(calendar.taxa),
        poison_centre=poison_centre,
    )


def row_name(row: FruitingRow | LastingRow) -> str:
    """Name the spot of a row, a tree with its kind."""
    spot = row.spot
    return f"{spot.tag}, {spot.host_name}" if spot.tag and spot.host_name else spot.name


def _named(calendar: FruitingCalendar, one: TaxonSeason) -> str:
    return with_class(one.taxon_name, calendar.poisoning.get(one.taxon_name, ""))


def _most_looked_at(taxa: Sequence[TaxonSeason], most: int) -> tuple[list[TaxonSeason], int]:
    """Keep the rows with the most looks, in the order they came; count those left out."""
    rows = [row for one in taxa for row in _rows(one)]
    ranked = sorted(range(len(rows)), key=lambda at: (-rows[at].looks, at))
    kept = {id(rows[at]) for at in ranked[:most]}
    shown = [
        replace(
            one,
            sites=tuple(row for row in one.sites if id(row) in kept),
            trees=tuple(row for row in one.trees if id(row) in kept),
            lasting=tuple(row for row in one.lasting if id(row) in kept),
        )
        for one in taxa
    ]
    return [one for one in shown if one.sites or one.trees or one.lasting], max(0, len(rows) - most)


def _rows(one: TaxonSeason) -> list[FruitingRow | LastingRow]:
    return [*one.sites, *one.trees, *one.lasting]


def _taxon_section(one: TaxonSeason, today: datetime.date) -> dict[str, object]:
    """Draw one taxon: its sites, then its trees by site, on one year of columns."""
    cut = best_cut(one.sites or one.trees)

    def block(head: str, rows: Iterable[FruitingRow]) -> _Block:
        return _block(head, [(row_name(row), row) for row in rows], cut, today)

    return {
        **_told(one),
        "sites": [block("", one.sites)] if one.sites else [],
        "trees": [block(site, rows) for site, rows in _by_site(one.trees)],
        "lasting": [(_where(row.spot), lasting_cells(row)) for row in one.lasting],
    }


def _site_sections(taxa: Sequence[TaxonSeason], today: datetime.date) -> list[dict[str, object]]:
    """Draw each site: all its taxa, then those of each tree."""
    places = {row.spot.site_id: row.spot.site_name for one in taxa for row in _rows(one)}
    ordered = sorted(places, key=lambda key: (key is None, places[key].casefold()))
    return [_site_section(key, places[key], taxa, today) for key in ordered]


def _site_section(
    site_id: int | None, name: str, taxa: Sequence[TaxonSeason], today: datetime.date
) -> dict[str, object]:
    tags = sorted(
        {
            (row.spot.tag, row.spot.tree_id)
            for one in taxa
            for row in one.trees
            if row.spot.site_id == site_id
        },
        key=lambda tree: tree[0].casefold(),
    )
    trees = [block for tag, key in tags for block in _spot_blocks(taxa, site_id, key, tag, today)]
    lasting = [
        (f"{one.taxon_name}: {row.spot.tag or 'the site'}", lasting_cells(row))
        for one in taxa
        for row in one.lasting
        if row.spot.site_id == site_id
    ]
    return {
        "key": f"site-{site_id or 0}",
        "is_taxon": False,
        "southern": False,
        "title": name or NOWHERE,
        "sites": _spot_blocks(taxa, site_id, None, "", today),
        "trees": trees,
        "lasting": lasting,
    }


def _spot_blocks(
    taxa: Sequence[TaxonSeason], site_id: int | None, tree_id: int | None, tag: str, today: datetime.date
) -> list[_Block]:
    """Draw all taxa at one spot, those that a year from January would tear below years of their own."""
    names: dict[int, str] = {}
    groups: list[list[FruitingRow]] = []
    for one in taxa:
        rows = [
            row
            for row in (*one.sites, *one.trees)
            if (row.spot.site_id, row.spot.tree_id) == (site_id, tree_id)
        ]
        names |= {id(row): one.taxon_name for row in rows}
        groups += [rows] if rows else []
    blocks: list[_Block] = []
    for cut, rows in by_cut(groups):
        named = [(names[id(row)], row) for row in rows]
        host = f", {rows[0].spot.host_name}" if rows[0].spot.host_name else ""
        head = f"Tree {tag}{host}" if tag else ""
        blocks.append(_block(head if not blocks else "", named, cut, today, of_taxa=True))
    return blocks


def _block(
    head: str,
    named: Sequence[tuple[str, FruitingRow]],
    cut: YearCut,
    today: datetime.date,
    *,
    of_taxa: bool = False,
) -> _Block:
    """Draw named rows on one year of columns."""
    week = today.isocalendar().week
    drawn = [week_row(name, row_lines(row, today), row, week, is_taxon=of_taxa) for name, row in named]
    tables = [(name, [week_cells(one) for one in row.weeks]) for name, row in named]
    return _Block(head, grid(drawn, cut.halves, week), tables)


def _by_site(rows: Sequence[FruitingRow]) -> list[tuple[str, list[FruitingRow]]]:
    """Sort the rows of trees by the site they stand in."""
    where: Callable[[FruitingRow], str] = lambda row: row.spot.site_name or NOWHERE  # noqa: E731
    ordered = sorted(rows, key=lambda row: (row.spot.site_id is None, where(row).casefold()))
    return [(name, list(group)) for name, group in groupby(ordered, key=where)]


def _told(one: TaxonSeason) -> dict[str, object]:
    """Give what is told of a taxon in words."""
    return {
        "key": f"taxon-{one.taxon_id}{'-south' if one.southern else ''}",
        "title": one.taxon_name,
        "is_taxon": True,
        "southern": one.southern,
        "from_memory": one.from_memory,
        "spans": list(zip(span_titles(one), map(span_lines, one.spans), strict=True)),
        "never_empty": never_empty(one.told),
        "no_span": not one.spans and not one.lasting,
        "rests": rests_on(one),
    }


def _where(spot: Spot) -> str:
    return f"{spot.tag}, {spot.site_name or NOWHERE}" if spot.tag else spot.site_name


def samples() -> dict[str, Markup]:
    """Draw the columns of the legend."""
    return {
        "seldom": sample(FruitingWeek(1, Chance(0.3, 0.2, 0.4, mostly_from_books=False), 0, 0)),
        "often": sample(FruitingWeek(1, Chance(0.7, 0.62, 0.78, mostly_from_books=False), 0, 0)),
        "wide": sample(FruitingWeek(1, Chance(0.3, 0.04, 0.8, mostly_from_books=False), 0, 0)),
        "books": sample(FruitingWeek(1, Chance(0.3, 0.1, 0.6, mostly_from_books=True), 0, 0)),
        "ring": sample(FruitingWeek(1, Chance(0.02, 0.01, 0.1, mostly_from_books=False), 2, 0)),
        "dot": sample(FruitingWeek(1, Chance(0.4, 0.25, 0.55, mostly_from_books=False), 3, 1)),
        "now": sample(FruitingWeek(1, Chance(0.4, 0.25, 0.55, mostly_from_books=False), 0, 0), is_now=True),
    }


def _value_in_words(choice: Choice) -> str:
    """Give a choice's number with unit and source."""
    unit = "" if choice.value.unit == "1" else f" {choice.value.unit}"
    return f"{choice.value.value:g}{unit} ({choice.value.said})"
