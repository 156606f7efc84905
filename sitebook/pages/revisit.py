"""Draws the page of trees and sites worth another visit."""

from __future__ import annotations

from sitebook.pages import frame
from sitebook.pages.calendar_words import of_ten
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.station_words import weather_lines
from sitebook.records.results.outlook import Revisit, RevisitRow

REST = (
    "Seven days or more between visits to one tree, and leaving the old and the small, is common practice; "
    "no study shows that a rest is needed where picking is careful."
)
TRAMPLING = (
    "Trampling has been found to lower the number of fruit bodies where picking did not "
    "(Egli and others 2006, confirmed)."
)
RAKING = (
    "Litter that is raked away deeply is said to do harm (Luoma and others 2006, from memory); put back what "
    "you lifted."
)
LASTING = (
    "A fruit body that stands for years is not ranked here; once taken it is long in coming again "
    "(our own reasoning, no source)."
)
NOBODY = "Nobody gave permission yet."
"""Line of what is allowed at a place that stands out."""
CAUTIONS = (REST, TRAMPLING, RAKING, LASTING)


def draw_revisit(revisit: Revisit, *, title: str, poison_centre: str) -> str:
    """Draw a ranking as one self-contained page that works without scripts.

    Parameters
    ----------
    revisit
        Rows, most worth first.
    title
        Heading of the page.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    every = (*revisit.rows, *revisit.scouting)
    with_trees = {row.spot.site_id for row in every if row.spot.tree_id is not None}
    body = rendered(
        "revisit.html.j2",
        on=revisit.on.isoformat(),
        rows=[_row(number, row, with_trees) for number, row in enumerate(revisit.rows, 1)],
        scouting=[_row(0, row, with_trees) for row in revisit.scouting],
        not_proposed=[(one.spot.where, one.reason) for one in revisit.not_proposed],
        weather=weather_lines(list(revisit.stations.values())),
        cautions=CAUTIONS,
        held_out=revisit.held_out_said,
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("revisit.css"),
        subtitle=f"For {revisit.on.isoformat()}",
        poison_centre=poison_centre,
    )


def _row(number: int, row: RevisitRow, with_trees: set[int | None]) -> dict[str, object]:
    chance = row.chance
    is_rest = row.spot.tree_id is None and row.spot.site_id in with_trees
    low, high = of_ten(chance.low), of_ten(chance.high)
    return {
        "number": str(number) if number else "",
        "where": row.spot.where + (", rest of the site" if is_rest else ""),
        "poisoning": capital(row.poisoning),
        "host": row.spot.host_name,
        "taxon": row.taxon_name,
        "of_ten": of_ten(chance.chance),
        "span": low if low == high else f"{low} to {high}",
        "width": f"{100 * chance.chance:.0f}",
        "low": f"{100 * chance.low:.0f}",
        "reach": f"{100 * (chance.high - chance.low):.0f}",
        "books": chance.mostly_from_books,
        "reasons": row.reasons,
        "class_said": capital(row.class_said),
        "permission": [(line, line == NOBODY) for line in row.permission or (NOBODY,)],
    }


def capital(words: str) -> str:
    """Give words with a capital letter first."""
    return words[:1].upper() + words[1:]
