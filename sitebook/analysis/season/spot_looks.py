"""Turns visits, looks and named finds into looks at single trees, or at the rest of a site."""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sitebook.analysis.season import background, looks
from sitebook.records.find import Determination, Find, FindHost
from sitebook.records.outing import Look, Visit
from sitebook.records.taxon import Taxon


@dataclass(frozen=True, slots=True)
class SpotLook:
    """One look for one taxon, at a tree or at the rest of a site.

    Parameters
    ----------
    taxon_id
        What for.
    site_id, tree_id
        Where: a tree, or None for the rest of the site. No site: a presence-only record or an outing
        behind it.
    local_date
        Middle of its date; None where the date covers more days than may count.
    minutes
        Minutes times searchers [min]; None: not noted.
    found
        Whether the taxon was there; None: undecided.
    names_taxon
        Whether somebody wrote down that this taxon was looked for, rather than all that are known.
    effort_assumed
        Whether the look is made of a presence-only record, or is an outing behind one.
    remains
        Whether only remains were seen.
    """

    taxon_id: int
    site_id: int | None
    tree_id: int | None
    local_date: datetime.date | None
    minutes: float | None
    found: bool | None
    names_taxon: bool = False
    effort_assumed: bool = False
    remains: bool = False


@dataclass(frozen=True, slots=True)
class FindDay:
    """A find with a certain name, whatever the reason of its visit.

    Parameters
    ----------
    taxon_id, site_id, tree_id
        What, and where; None for no site, and for no tree of the book.
    first, last
        Dates it may have been.
    taken
        Whether some of it was taken; None: not noted.
    share_taken
        Share of it that was taken [1]; None where what was left was not counted.
    """

    taxon_id: int
    site_id: int | None
    tree_id: int | None
    first: datetime.date
    last: datetime.date
    taken: bool | None
    share_taken: float | None = None

    @property
    def middle(self) -> datetime.date | None:
        """Middle of its date; None where it covers too many days to count."""
        return looks.middle_of(self.first, self.last)


@dataclass(frozen=True)
class SpotLooks:
    """What seasons are made of.

    Parameters
    ----------
    looks
        Looks by taxon, those that decide nothing among them.
    finds
        Finds with a certain name, by taxon.
    """

    looks: Mapping[int, tuple[SpotLook, ...]]
    finds: Mapping[int, tuple[FindDay, ...]]


@dataclass(frozen=True)
class _Row:
    """One look of a visit as written, or the rest of the site that the visit implies."""

    tree_id: int | None
    taxon_id: int | None
    minutes: float | None
    outcome: str


@dataclass(frozen=True)
class _Seen:
    """A find of a visit, as far as a look is concerned: which taxon, how certain, at which trees."""

    taxon_id: int
    is_certain: bool
    trees: tuple[int, ...]


def gather(
    visits: Iterable[Visit],
    written: Iterable[Look],
    *,
    finds: Iterable[Find],
    hosts: Iterable[FindHost],
    standing_names: Iterable[Determination],
    taxa: Iterable[Taxon],
) -> SpotLooks:
    """Sort what was written down into looks at trees and at the rest of sites, and dated finds.

    A visit that names the trees it looked at is a look at each of them, and at the rest of the site if
    time was left and all was looked for; any other visit is one look at the site. Minutes not noted for
    a look are its share of what is left of the visit's. A find belongs to the nearest of its trees that
    was looked at, else to the rest of the site. Finds on visits that enter no rate, because something was
    seen first, somebody told of it or a list gives nothing else, are presence-only records: they count as
    looks that found something, with some of the outings behind them as looks that did not.

    Parameters
    ----------
    visits, written, finds, hosts
        Records of the book; withdrawn ones are passed over.
    standing_names
        The name that stands for each find, at most one a find.
    taxa
        Taxa of the book, to follow synonyms.
    """
    accepted = looks.accepted_names(taxa)
    known = {v.id or 0: v for v in looks.standing(visits)}
    trees = _trees_of_finds(looks.standing(hosts))
    named = _named(looks.standing(finds), standing_names, accepted)
    seen: dict[int, list[_Seen]] = defaultdict(list)
    for find, taxon_id, is_certain in named:
        if find.visit_id is not None:
            seen[find.visit_id].append(_Seen(taxon_id, is_certain, trees.get(find.id or 0, ())))
    rows: dict[int, list[_Row]] = defaultdict(list)
    for look in looks.standing(written):
        taxon = None if look.taxon_id is None else accepted.get(look.taxon_id, look.taxon_id)
        rows[look.visit_id].append(_Row(look.host_tree_id, taxon, look.minutes, look.outcome))
    days = _find_days(named, known, trees)
    wanted = {row.taxon_id for own in rows.values() for row in own} | set(days)
    found: dict[int, list[SpotLook]] = {taxon_id: [] for taxon_id in wanted if taxon_id is not None}
    counted: set[tuple[int | None, int]] = set()
    for visit_id, visit in known.items():
        if visit.site_id is not None and looks.may_count(visit):
            for one in _looks_of(visit, rows.get(visit_id, ()), seen.get(visit_id, ()), sorted(found)):
                found[one.taxon_id].append(one)
                counted.add((visit_id, one.taxon_id))
    outings = sorted(date for v in known.values() if (date := looks.middle_date(v)) is not None)
    for taxon_id, own in days.items():
        only = [day for day, visit in own if (visit.id if visit else None, taxon_id) not in counted]
        found[taxon_id] += _presence_only(taxon_id, only, outings)
    return SpotLooks(
        {taxon_id: tuple(own) for taxon_id, own in found.items()},
        {taxon_id: tuple(day for day, _ in own) for taxon_id, own in days.items()},
    )


def _named(
    finds: Iterable[Find], standing_names: Iterable[Determination], accepted: Mapping[int, int]
) -> list[tuple[Find, int, bool]]:
    """Give each named find with its taxon and whether the name is certain."""
    names = {d.find_id: d for d in looks.standing(standing_names)}
    return [
        (find, accepted[name.taxon_id], name.qualifier in looks.CERTAIN_QUALIFIERS)
        for find in finds
        if (name := names.get(find.id or 0)) is not None
        and name.taxon_id is not None
        and name.taxon_id in accepted
    ]


def _trees_of_finds(hosts: Iterable[FindHost]) -> dict[int, tuple[int, ...]]:
    """Give the trees each find may stand with, the nearest first."""
    by_find: dict[int, list[FindHost]] = defaultdict(list)
    for host in hosts:
        if host.host_tree_id is not None:
            by_find[host.find_id].append(host)
    return {
        find_id: tuple(h.host_tree_id or 0 for h in sorted(own, key=_away))
        for find_id, own in by_find.items()
    }


def _away(host: FindHost) -> tuple[bool, float, int]:
    return (host.role == "possible", math.inf if host.distance_m is None else host.distance_m, host.id or 0)


def _find_days(
    named: Iterable[tuple[Find, int, bool]], visits: Mapping[int, Visit], trees: Mapping[int, tuple[int, ...]]
) -> dict[int, list[tuple[FindDay, Visit | None]]]:
    """Give the dated finds with a certain name by taxon, each with its visit."""
    days: dict[int, list[tuple[FindDay, Visit | None]]] = defaultdict(list)
    for find, taxon_id, is_certain in named:
        visit = visits.get(find.visit_id or 0)
        first = find.found_on or (visit.local_date if visit else None)
        if not is_certain or first is None:
            continue
        last = find.found_on_end if find.found_on else visit.local_date_end if visit else None
        at = trees.get(find.id or 0, (None,))
        site_id = visit.site_id if visit else None
        day = FindDay(
            taxon_id, site_id, at[0], first, last or first, _taken(find), share_taken=_share_taken(find)
        )
        days[taxon_id].append((day, visit))
    return days


def _taken(find: Find) -> bool | None:
    if find.taken_count is not None:
        return find.taken_count > 0
    return True if find.fresh_mass_g else None


def _share_taken(find: Find) -> float | None:
    """Give the share of a find that was taken; None where one of the two counts is missing."""
    if find.taken_count is None or find.remaining_count is None:
        return None
    whole = find.taken_count + find.remaining_count
    return find.taken_count / whole if whole else None


def _looks_of(
    visit: Visit, written: Sequence[_Row], seen: Sequence[_Seen], wanted: Sequence[int]
) -> Iterator[SpotLook]:
    """Give the looks of one visit, for every taxon it looked for."""
    rows = _with_rest(visit, written)
    date = looks.middle_date(visit)
    for taxon_id in wanted:
        own = [row for row in rows if row.taxon_id in (None, taxon_id)]
        certain = _spots_seen([s for s in seen if s.taxon_id == taxon_id and s.is_certain], own)
        doubtful = _spots_seen([s for s in seen if s.taxon_id == taxon_id and not s.is_certain], own)
        for tree_id in dict.fromkeys(row.tree_id for row in own):
            at = [row for row in own if row.tree_id == tree_id]
            names = [row.outcome for row in at if row.taxon_id == taxon_id]
            is_found = tree_id in certain or "found" in names
            remains = "only remains" in {row.outcome for row in at}
            undecided = not is_found and (tree_id in doubtful or remains)
            spent = [row.minutes for row in at if row.minutes is not None]
            yield SpotLook(
                taxon_id,
                visit.site_id,
                tree_id,
                date,
                sum(spent) or None if len(spent) == len(at) else None,
                None if undecided else is_found,
                names_taxon=bool(names),
                remains=remains and undecided,
            )


def _with_rest(visit: Visit, written: Sequence[_Row]) -> list[_Row]:
    """Share out a visit's minutes, and add the rest of the site where the visit implies it."""
    rows = list(written)
    whole = None if visit.search_minutes is None else visit.search_minutes * visit.searchers
    spent = [None if row.minutes is None else row.minutes * visit.searchers for row in rows]
    left = None if whole is None else whole - sum(minutes or 0.0 for minutes in spent)
    has_rest = any(row.tree_id is None and row.taxon_id is None for row in rows)
    implied = visit.looked_for_all and not has_rest
    if implied and (left is None or left > 0.0 or not rows):
        rows.append(_Row(None, None, None, "not seen"))
        spent.append(None)
    sharing = sum(minutes is None for minutes in spent)
    share = left / sharing if left is not None and sharing and left > 0.0 else None
    return [
        _Row(row.tree_id, row.taxon_id, share if minutes is None else minutes, row.outcome)
        for row, minutes in zip(rows, spent, strict=True)
    ]


def _spots_seen(seen: Iterable[_Seen], rows: Sequence[_Row]) -> set[int | None]:
    """Tell at which of the spots looked at some finds of a visit count."""
    looked_at = {row.tree_id for row in rows}
    fresh = {row.tree_id for row in rows if row.outcome == "found"}
    spots: set[int | None] = set()
    for one in seen:
        near = [tree for tree in one.trees if tree in looked_at]
        if near:
            spots.add(near[0])
        elif None in looked_at:
            spots.add(None)
        elif len(fresh) == 1:
            spots |= fresh
    return spots


def _presence_only(
    taxon_id: int, days: Iterable[FindDay], outings: Sequence[datetime.date]
) -> Iterator[SpotLook]:
    """Give presence-only records as looks, with outings behind them."""
    dates = [date for day in days if (date := day.middle) is not None]
    for date, found in background.looks_behind(dates, outings):
        yield SpotLook(taxon_id, None, None, date, None, found, effort_assumed=True)
