"""Turns visits, looks and named finds into the looks that may enter a rate."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from sitebook import vocabulary
from sitebook.citations import Cited
from sitebook.records.find import Determination, Find
from sitebook.records.outing import Look, Visit
from sitebook.records.standing import Standing
from sitebook.records.taxon import Taxon

AnyRow = TypeVar("AnyRow", bound=Standing)

WIDEST_DATE_DAYS = Cited(7.0, "d", "ours", "our choice")
"""Most days a visit's date may cover and still speak for a week of the year."""

CERTAIN_QUALIFIERS: tuple[str | None, ...] = (None, "group")
"""Name qualifiers with which a find still counts as the taxon."""


@dataclass(frozen=True, slots=True)
class LookRecord:
    """One visit seen as one look for one taxon.

    Parameters
    ----------
    site_id, taxon_id
        Where, and what for.
    local_date
        Middle of its date; None where the date covers more days than may count.
    minutes
        Minutes times searchers [min]; None: not noted.
    found
        Whether the taxon was there; None: undecided.
    names_taxon
        Whether she wrote down that this taxon was looked for, rather than all she knows.
    """

    site_id: int
    taxon_id: int
    local_date: datetime.date | None
    minutes: float | None
    found: bool | None
    names_taxon: bool = False


@dataclass(frozen=True, slots=True)
class PlacedFind:
    """A find with a certain name at a site, whatever the reason of its visit."""

    site_id: int
    taxon_id: int


@dataclass(frozen=True)
class SeasonLooks:
    """What a calendar is made of.

    Parameters
    ----------
    looks
        One a visit and taxon looked for, those left out among them.
    finds
        Every find with a certain name whose visit was at a site.
    """

    looks: tuple[LookRecord, ...]
    finds: tuple[PlacedFind, ...]


@dataclass(frozen=True)
class _VisitSeen:
    """A visit with its looks as (taxon, outcome) and the taxa of its finds, certain or doubtful."""

    visit: Visit
    looks: tuple[tuple[int | None, str], ...]
    certain: frozenset[int]
    doubtful: frozenset[int]


def gather(
    visits: Iterable[Visit],
    looks: Iterable[Look],
    finds: Iterable[Find],
    standing_names: Iterable[Determination],
    taxa: Iterable[Taxon],
) -> SeasonLooks:
    """Sort what was written down into looks that count, looks left out, and finds.

    A taxon enters when it was found at a site under a certain name, or when a look names it.
    A synonym counts as the name it stands for. Withdrawn rows are passed over.

    Parameters
    ----------
    visits, looks, finds
        Records of the book.
    standing_names
        The name that stands for each find, at most one a find.
    taxa
        Taxa of the book, to follow synonyms.

    Raises
    ------
    ValueError
        When a find has two standing names.
    """
    accepted = accepted_names(taxa)
    kept = {v.id: v for v in standing(visits) if v.id is not None and v.site_id is not None}
    names = _names_by_visit(finds, standing_names, accepted)
    seen = _each_visit(kept, standing(looks), names, accepted)
    placed = tuple(
        PlacedFind(kept[visit_id].site_id or 0, taxon_id)
        for visit_id, named in names.items()
        if visit_id in kept
        for taxon_id, is_certain in named
        if is_certain
    )
    asked = {taxon_id for one in seen for taxon_id, _ in one.looks if taxon_id is not None}
    wanted = sorted(asked | {find.taxon_id for find in placed})
    records = (_look_record(one, taxon_id) for one in seen for taxon_id in wanted)
    return SeasonLooks(tuple(record for record in records if record is not None), placed)


def standing(rows: Iterable[AnyRow]) -> Iterable[AnyRow]:
    """Pass over withdrawn rows."""
    return (row for row in rows if row.withdrawn_at is None)


def accepted_names(taxa: Iterable[Taxon]) -> dict[int, int]:
    """Map each taxon to the name it stands for; a circle of synonyms ends where it began."""
    stands_for = {t.id: t.accepted_id for t in standing(taxa) if t.id is not None}

    def follow(taxon_id: int) -> int:
        passed = {taxon_id}
        at = taxon_id
        while (after := stands_for.get(at)) is not None and after in stands_for and after not in passed:
            passed.add(after)
            at = after
        return at

    return {taxon_id: follow(taxon_id) for taxon_id in stands_for}


def _names_by_visit(
    finds: Iterable[Find], standing_names: Iterable[Determination], accepted: Mapping[int, int]
) -> dict[int, list[tuple[int, bool]]]:
    """Give (taxon, whether certain) of each named find, by visit."""
    names: dict[int, Determination] = {}
    for name in standing(standing_names):
        if name.find_id in names:
            raise ValueError(f"find {name.find_id} has two standing names")
        names[name.find_id] = name
    by_visit: dict[int, list[tuple[int, bool]]] = defaultdict(list)
    for find in standing(finds):
        named = names.get(find.id) if find.id is not None else None
        if named is None or named.taxon_id is None or find.visit_id is None:
            continue
        is_certain = named.qualifier in CERTAIN_QUALIFIERS
        if named.taxon_id in accepted:
            by_visit[find.visit_id].append((accepted[named.taxon_id], is_certain))
    return by_visit


def _each_visit(
    visits: Mapping[int, Visit],
    looks: Iterable[Look],
    names: Mapping[int, list[tuple[int, bool]]],
    accepted: Mapping[int, int],
) -> list[_VisitSeen]:
    """Lay looks and names beside the visits that may count."""
    by_visit: dict[int, list[tuple[int | None, str]]] = defaultdict(list)
    for look in looks:
        taxon_id = None if look.taxon_id is None else accepted.get(look.taxon_id, look.taxon_id)
        by_visit[look.visit_id].append((taxon_id, look.outcome))
    return [
        _VisitSeen(
            visit,
            tuple(by_visit[visit_id]),
            frozenset(taxon_id for taxon_id, is_certain in names.get(visit_id, ()) if is_certain),
            frozenset(taxon_id for taxon_id, is_certain in names.get(visit_id, ()) if not is_certain),
        )
        for visit_id, visit in visits.items()
        if may_count(visit)
    ]


def may_count(visit: Visit) -> bool:
    """Tell whether a visit says anything of how often a look finds something."""
    told_of_effort = visit.looked_for_all or not visit.effort_assumed
    return visit.reason in vocabulary.COUNTING_REASONS and told_of_effort and visit.search_minutes != 0.0


def _look_record(seen: _VisitSeen, taxon_id: int) -> LookRecord | None:
    """Read a visit as a look for one taxon; None when the taxon was not looked for."""
    named = [outcome for looked_for, outcome in seen.looks if looked_for == taxon_id]
    for_all = [outcome for looked_for, outcome in seen.looks if looked_for is None]
    was_looked_for = bool(named or for_all) or (seen.visit.looked_for_all and not seen.looks)
    if not was_looked_for or seen.visit.site_id is None:
        return None
    found: bool | None = False
    if taxon_id in seen.certain or "found" in named:
        found = True
    elif taxon_id in seen.doubtful or "only remains" in named + for_all:
        found = None
    return LookRecord(
        seen.visit.site_id,
        taxon_id,
        middle_date(seen.visit),
        _minutes(seen.visit),
        found,
        names_taxon=bool(named),
    )


def middle_date(visit: Visit) -> datetime.date | None:
    """Give the middle of a visit's date; None when it covers too many days."""
    return middle_of(visit.local_date, visit.local_date_end or visit.local_date)


def middle_of(first: datetime.date, last: datetime.date) -> datetime.date | None:
    """Give the middle of a span of dates; None when it covers too many days to speak for a week."""
    span = last - first
    if span.days + 1 > WIDEST_DATE_DAYS.value:
        return None
    return first + datetime.timedelta(days=span.days // 2)


def _minutes(visit: Visit) -> float | None:
    """Give minutes times searchers [min]; None when not timed."""
    return None if visit.search_minutes is None else visit.search_minutes * visit.searchers
