"""Holds what may be taken at a site against what was taken there already."""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sitebook.records.find import Find
from sitebook.records.outing import Visit
from sitebook.records.results.day_plan import TakenLine
from sitebook.records.site import Permission
from sitebook.store import rows
from sitebook.store.book import Book

SEASON = "calendar year"
"""What a season of a permission is taken for; our choice, for papers rarely say."""


@dataclass(frozen=True)
class Taken:
    """What was taken at one site on one day by one person, by the unit of limits.

    Parameters
    ----------
    local_date
        The day.
    by
        Id of who took it.
    amounts
        Amount of each find, None where it was not weighed or counted; finds of which nothing was taken
        are left away.
    """

    local_date: datetime.date
    by: int
    amounts: Mapping[str, tuple[float | None, ...]]


@dataclass(frozen=True)
class Limit:
    """One limit of a permission, held against what was taken.

    Parameters
    ----------
    line
        In words, with what is left.
    reached
        Whether nothing may be taken any more.
    """

    line: TakenLine
    reached: bool


def taken_by_site(book: Book) -> dict[int, tuple[Taken, ...]]:
    """Give what was taken at each site, day by day and person by person."""
    visits = {visit.id: visit for visit in rows.records(book, Visit)}
    by_day: dict[tuple[int, datetime.date, int], list[Find]] = defaultdict(list)
    for find in rows.records(book, Find):
        visit = visits.get(find.visit_id)
        day = find.found_on or (visit.local_date if visit else None)
        if visit is not None and visit.site_id is not None and day is not None and find.taken_count != 0:
            by_day[visit.site_id, day, find.collector_id].append(find)
    found: dict[int, list[Taken]] = defaultdict(list)
    for (site_id, day, by), finds in sorted(by_day.items()):
        amounts = {unit: _amounts(finds, unit) for unit in ("bodies", "kg", "l")}
        found[site_id].append(Taken(day, by, amounts))
    return {site_id: tuple(own) for site_id, own in found.items()}


def _amounts(finds: Sequence[Find], unit: str) -> tuple[float | None, ...]:
    return tuple(_amount(find, unit) for find in finds)


def _amount(find: Find, unit: str) -> float | None:
    if unit == "bodies":
        return None if find.taken_count is None else float(find.taken_count)
    if unit == "kg":
        return None if find.fresh_mass_g is None else find.fresh_mass_g / 1000.0
    return None


def limits_of(
    permission: Permission, taken: Sequence[Taken], on: datetime.date, owner_id: int
) -> Iterator[Limit]:
    """Hold each limit of a permission against what was taken on its ground.

    A limit for each person is held against what the owner of the book took, whoever comes along: a
    companion adds nothing to it, and has one of their own. Any other is held against what anybody took.

    Parameters
    ----------
    permission
        The permission.
    taken
        What was taken at all its sites.
    on
        The day; what was taken later is passed over.
    owner_id
        Id of the owner of the book.
    """
    own = [one for one in taken if not permission.per_person or one.by == owner_id]
    of_day = [one for one in own if one.local_date == on]
    of_season = [one for one in own if one.local_date.year == on.year and one.local_date <= on]
    for most, when, counted in (
        (permission.daily_limit, "a day", of_day),
        (permission.season_limit, f"a season, taken as the {SEASON}", of_season),
    ):
        if most is not None and permission.limit_unit is not None:
            yield _held(permission, most, when, counted)


def _held(permission: Permission, most: float, when: str, taken: Sequence[Taken]) -> Limit:
    unit = permission.limit_unit or ""
    amounts = [amount for one in taken for amount in one.amounts[unit]]
    known = [amount for amount in amounts if amount is not None]
    missing = len(amounts) - len(known)
    used = math.fsum(known)
    each, by, for_ = (" for each person", " by you", " for you") if permission.per_person else ("", "", "")
    said = f"{permission.manager}: at most {most:g} {unit} {when}{each}; {used:g} {unit} noted as taken{by}"
    if missing:
        lacking = "1 find was" if missing == 1 else f"{missing} finds were"
        measure = "counted" if unit == "bodies" else "weighed" if unit == "kg" else "measured"
        said += f", and {lacking} not {measure}, so that less is left than told"
    left = max(most - used, 0.0)
    line = TakenLine(f"{said}; {left:g} {unit} left{for_}.", None if missing else left)
    return Limit(line, used >= most)
