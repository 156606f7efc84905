"""Draws the contamination reviews of all sites on one page: table, map, and each review in full."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from sitebook.pages import contamination_numbers, contamination_words, frame
from sitebook.pages.class_plate import class_cell, tile
from sitebook.pages.contamination import hatches, review_body, rules_body, style
from sitebook.pages.contamination_measured import Measured, measured_of
from sitebook.pages.contamination_overview import NumberedSite, sites_map
from sitebook.pages.own_parts import rendered, text_of
from sitebook.records.results.review import PlaceReview

MOST_BYTES = 3_000_000
"""Size a page keeps to; full reviews of the least weighty sites are left out beyond it."""

NOT_KNOWN_RANK = 0.5
"""Where a site without a class stands among the classes: before class 0, never behind it."""


@dataclass(frozen=True)
class _Row:
    """One line of the table.

    Parameters
    ----------
    site
        The site with its number.
    measured
        What laboratories measured there.
    reason
        Its weightiest reason.
    edge_m
        Distance to the edge of the nearest motor road [m]; None where none is in reach or known.
    ranks
        What its columns are sorted by, in their order.
    """

    site: NumberedSite
    measured: Measured
    reason: str
    edge_m: float | None
    ranks: tuple[str, ...]


def draw_all(
    reviews: Sequence[PlaceReview],
    *,
    title: str,
    today: datetime.date,
    poison_centre: str = "",
    most_bytes: int = MOST_BYTES,
) -> str:
    """Draw the reviews of all sites as one self-contained page, what was measured above a value first.

    Without scripts the table is plain and the reviews open all the same.

    Parameters
    ----------
    reviews
        One a site, in any order.
    title
        Heading of the page.
    today
        Day the page is drawn for.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    most_bytes
        Size the page keeps to [bytes]; the full reviews of the least weighty sites are left out beyond it,
        and the page says how many.

    Raises
    ------
    PageNotSelfContained
        If anything in the page would be loaded from outside.
    """
    frame_of = partial(_page, title=title, today=today, poison_centre=poison_centre)
    ordered = sorted(reviews, key=_weight)
    anchors = _anchors(ordered)
    bodies = [
        review_body(review, level=4, prefix=f"{a}-") for review, a in zip(ordered, anchors, strict=True)
    ]
    kept = _within(bodies, most_bytes - len(frame_of([], [], []).encode("utf-8")))
    sites = [
        NumberedSite(at + 1, anchor if at < kept else "", review)
        for at, (review, anchor) in enumerate(zip(ordered, anchors, strict=True))
    ]
    full = list(zip(sites[:kept], bodies[:kept], strict=True))
    return frame_of(sites, full, [site.review.name for site in sites[kept:]])


def _page(
    sites: Sequence[NumberedSite],
    full: Sequence[tuple[NumberedSite, Markup]],
    left_out: Sequence[str],
    *,
    title: str,
    today: datetime.date,
    poison_centre: str,
) -> str:
    """Draw the page of these sites."""
    body = hatches() + rendered(
        "contamination_all.html.j2",
        rows=[_row(site) for site in sites],
        map=sites_map(sites) if sites else None,
        full=full,
        left_out=left_out,
        w=contamination_words,
        n=contamination_numbers,
        class_cell=class_cell,
        tile=tile,
        rules=rules_body(),
    )
    return frame.page(
        title=title,
        subtitle=f"{contamination_numbers.count(len(sites), 'site', 'sites')}; drawn {today.isoformat()}",
        body=body,
        style=style() + text_of("contamination_all.css"),
        scripts=[text_of("contamination_sort.js")],
        poison_centre=poison_centre,
    )


def _weight(review: PlaceReview) -> tuple[bool, float, float, float, str]:
    """Give what sites are ordered by: measured above a value before all else, then the highest class."""
    return (
        measured_of(review.tests).above == 0,
        -_rank(review.place_class),
        -_rank(review.could_be),
        -max(
            review.traffic_index.central if review.traffic_index else 0.0,
            review.area_term.central if review.area_term else 0.0,
        ),
        review.name.casefold(),
    )


def _rank(place_class: int | None) -> float:
    return NOT_KNOWN_RANK if place_class is None else float(place_class)


def _anchors(reviews: Sequence[PlaceReview]) -> list[str]:
    """Give each review an anchor of its own, after its site's id where it has one."""
    ids = [review.site_id for review in reviews]
    return [
        f"site-{key}" if key is not None and ids.count(key) == 1 else f"place-{at + 1}"
        for at, key in enumerate(ids)
    ]


def _within(bodies: Sequence[Markup], most_bytes: int) -> int:
    """Count how many reviews fit, with their lines in the table, from the first on."""
    line_bytes = 1500
    room = most_bytes - line_bytes * len(bodies)
    for at, body in enumerate(bodies):
        room -= len(body.encode("utf-8"))
        if room < 0:
            return at
    return len(bodies)


def _row(site: NumberedSite) -> _Row:
    """Make one line of the table ready."""
    review = site.review
    nearest = contamination_words.nearest_motor_road(review)
    edge_m = nearest.edge_m if nearest else None
    index = review.traffic_index.central if review.traffic_index else -1.0
    measured = measured_of(review.tests)
    return _Row(
        site=site,
        measured=measured,
        reason=contamination_words.first_sentence(review.because[0].words) if review.because else "",
        edge_m=edge_m,
        ranks=(
            str(site.number),
            "",
            f"{measured.above + min(measured.tests, 1) / 2:g}",
            f"{_rank(review.place_class) * 10 + _rank(review.could_be):g}",
            f"{_rank(review.could_be):g}",
            str(len(review.unknown)),
            "",
            f"{edge_m if edge_m is not None else math.inf:g}".replace("inf", "1e9"),
            f"{index:g}",
            str(len(review.trees)),
        ),
    )
