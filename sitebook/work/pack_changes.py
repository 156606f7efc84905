"""Says which stops of a kept day are gone to no more, or only looked at, since it was planned."""

from __future__ import annotations

from collections.abc import Iterator

from sitebook.records.foray import Foray
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.site import Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.day_kept import asked_again
from sitebook.work.settings import settings_of

GONE = "Its site is in the book no more."


def changes_of(book: Book, foray: Foray, plan: DayPlan) -> tuple[str, ...]:
    """Give a sentence for each planned stop that is not gone to any more, or only looked at.

    Parameters
    ----------
    foray
        The day as it is kept.
    plan
        The same day with what is known by now.
    """
    asked = asked_again(book, foray, settings_of(book))
    planned = asked.in_order or ()
    return (*_closed(book, planned, plan), *_only_looked_at(planned, asked.look_only, plan))


def _closed(book: Book, planned: tuple[int, ...], plan: DayPlan) -> Iterator[str]:
    there = {plan.places[key].spot.site_id for key in plan.plan.route.keys}
    reasons = {out.spot.site_id: out.reason for out in plan.excluded}
    missing = [site_id for site_id in dict.fromkeys(planned) if site_id not in there]
    if not missing:
        return
    is_missing = rows.table_for(Site).c.id.in_(missing)
    names = {site.id: site.name for site in rows.records(book, Site, is_missing, withdrawn=True)}
    for site_id in missing:
        yield f"No longer to be gone to: {names[site_id]}. {reasons.get(site_id) or GONE}"


def _only_looked_at(planned: tuple[int, ...], looked_at: frozenset[int], plan: DayPlan) -> Iterator[str]:
    gathered = set(planned) - looked_at
    for key in plan.plan.route.keys:
        place = plan.places[key]
        if place.spot.site_id in gathered and place.purpose != "gather":
            yield f"No longer to gather at: {place.spot.site_name}. {place.purpose_said}"
