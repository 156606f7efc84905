"""Draws the page of one tree: what was looked for there, year by year, below its usual year."""

from __future__ import annotations

import datetime
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from markupsafe import Markup

from sitebook.pages import frame
from sitebook.pages.fruiting import samples
from sitebook.pages.fruiting_grid import CELL, GridRow, grid, ground, row_svg, week_row
from sitebook.pages.fruiting_weeks import Half, YearCut, best_cut
from sitebook.pages.fruiting_words import lasting_cells, many, never_empty, rests_on, row_lines, week_cells
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.palette import COLOURS
from sitebook.pages.poison_words import with_class
from sitebook.pages.svg_shapes import tidy
from sitebook.records.results.fruiting import LookDay, TreePage, TreeTaxon

HEIGHT = 17.0
OUTCOMES = ("found", "not seen", "only remains", "doubtful")
"""Outcomes in the order of the legend; the later is drawn over the earlier."""

MEANINGS = {
    "found": "it was found",
    "not seen": "it was looked for and not seen",
    "only remains": "only old remains; decides nothing",
    "doubtful": "the name is not certain; decides nothing",
}


def draw_tree(page: TreePage, *, title: str, poison_centre: str) -> str:
    """Draw the page of one tree, self-contained and without scripts.

    Parameters
    ----------
    page
        What is known of the tree.
    title
        Heading of the page.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    spot, noted = page.spot, page.poisoning
    where = (spot.host_name or "kind not named", spot.site_name or "in none of your sites", page.note)
    body = rendered(
        "tree_years.html.j2",
        taxa=[_taxon(one, page.today, noted) for one in page.taxa],
        lasting=[(with_class(name, noted.get(name, "")), lasting_cells(row)) for name, row in page.lasting],
        samples=samples(),
        week=page.today.isocalendar().week,
        held_out=page.held_out_said,
        key=[(_sample(outcome), outcome, MEANINGS[outcome]) for outcome in OUTCOMES],
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("fruiting_grid.css") + text_of("fruiting.css"),
        subtitle="; ".join(part for part in where if part),
        poison_centre=poison_centre,
    )


def year_of(day: datetime.date, cut: YearCut) -> int:
    """Give the year in which the row begins that a day stands on."""
    iso = day.isocalendar()
    return iso.year if iso.week >= cut.halves[0].weeks[0] else iso.year - 1


def label_of(year: int, cut: YearCut) -> str:
    """Name a row by the years it holds days of: "2023", or "2023/24" where it begins after January."""
    return str(year) if cut.starts_in == "Jan" else f"{year}/{(year + 1) % 100:02d}"


def _taxon(one: TreeTaxon, today: datetime.date, noted: Mapping[str, str]) -> dict[str, object]:
    """Draw one taxon: its usual year, then one line a year, the newest first."""
    cut, week = best_cut([one.row]), today.isocalendar().week
    years: dict[int, list[LookDay]] = defaultdict(list)
    for look in sorted((look for year in one.years for look in year.looks), key=lambda look: look.on):
        years[year_of(look.on, cut)].append(look)
    newest_first = sorted(years, reverse=True)
    rows = [week_row("Usual year", row_lines(one.row, today), one.row, week)]
    rows += [_year_row(label_of(year, cut), years[year]) for year in newest_first]
    return {
        "name": with_class(one.taxon_name, noted.get(one.taxon_name, "")),
        "never_empty": never_empty(one.told),
        "rests": rests_on(one),
        "from_memory": one.from_memory,
        "drawn": grid(rows, cut.halves, week),
        "weeks": [week_cells(cell) for cell in one.row.weeks],
        "looks": [
            _cells(look, label_of(year, cut)) for year in newest_first for look in reversed(years[year])
        ],
    }


def _year_row(label: str, looks: Sequence[LookDay]) -> GridRow:
    counted = Counter(look.outcome for look in looks)
    said = ", ".join(f"{counted[outcome]} {outcome}" for outcome in OUTCOMES if counted[outcome])
    return GridRow(label, (said,), lambda half: _dots(looks, half))


def _cells(look: LookDay, label: str) -> tuple[str, str, str, str]:
    minutes = "not noted" if look.minutes is None else many(round(look.minutes), "minute")
    return label, look.on.isoformat(), look.outcome, minutes


def _dots(looks: Sequence[LookDay], half: Half) -> Markup:
    """Draw one mark for each look of a year that falls into a half of it."""
    marks = ""
    for outcome in reversed(OUTCOMES):
        for look in looks:
            iso = look.on.isocalendar()
            column = half.column(iso.week)
            if look.outcome == outcome and column is not None:
                marks += mark(outcome, (column + (iso.weekday - 0.5) / 7.0) * CELL, HEIGHT / 2.0)
    return row_svg(half, HEIGHT, ground(half, HEIGHT, (HEIGHT / 2.0,)) + marks)


def mark(outcome: str, x: float, y: float) -> str:
    """Draw one look: a full dot, a ring, a hollow square, or a question mark."""
    ink, card = COLOURS["ink"], COLOURS["card"]
    if outcome == "doubtful":
        return (
            f'<text x="{tidy(x)}" y="{tidy(y + 4.5)}" text-anchor="middle" font-weight="700" '
            f'fill="{ink}" stroke="{card}" stroke-width="3" paint-order="stroke">?</text>'
        )
    if outcome == "only remains":
        box = f"M{tidy(x - 4)} {tidy(y - 4)}h8v8h-8z"
        return f'<path fill="{card}" stroke="{ink}" stroke-width="1.6" d="{box}"/>'
    fill = ink if outcome == "found" else card
    return f'<circle cx="{tidy(x)}" cy="{tidy(y)}" r="4.4" fill="{fill}" stroke="{ink}" stroke-width="1.6"/>'


def _sample(outcome: str) -> Markup:
    """Draw one mark alone, as the legend shows it."""
    size = 'width="26" height="26" viewBox="0 0 16 16" font-size="12"'
    drawn = f'<svg class="sample" {size} aria-hidden="true">{mark(outcome, 8.0, 8.0)}</svg>'
    return Markup(drawn)  # noqa: S704 (numbers)
