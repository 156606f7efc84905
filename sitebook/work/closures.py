"""Tells which places are never proposed on a day: closed, resting, felled, or not permitted then."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from sitebook.records.host_tree import HostTree
from sitebook.records.results.fruiting import Spot
from sitebook.records.results.outlook import NotProposed
from sitebook.records.site import Permission, PermissionClosedDay, Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.felled import FOR_WOOD, down_words, may_lie
from sitebook.work.permission_words import covers, permissions_by_site, terms
from sitebook.work.seasons import Key

WEEKDAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")
NOT_ASKED = "Nobody was asked yet whether gathering is allowed here."
REST, PERMISSION = "rest", "permission"
"""Rules that close a site: it is left alone, or gathering is not allowed that day; looking may still be."""


@dataclass(frozen=True)
class Closures:
    """What a day rules out.

    Parameters
    ----------
    on
        The day.
    sites
        Why a site is not proposed, by its id.
    trees
        Why a tree is not, by its id, beside what holds for its site: it stands no more, or on ground that
        is closed though its site is not.
    to_heed
        What is to be heeded at a site that is proposed, by its id: who was not asked, what ended,
        hours, method, limits, and what allows a part of it only.
    rules
        Which rule closes a site, by its id: "rest" where it is left alone, "permission" where gathering is
        not allowed on the day, which says nothing of going there to look.
    lying
        Trees that stand no more and whose wood may lie there: what rules them out for a fungus on wood too,
        by id; "" where nothing does.
    """

    on: datetime.date
    sites: Mapping[int, str]
    trees: Mapping[int, str]
    to_heed: Mapping[int, tuple[str, ...]]
    rules: Mapping[int, str] = field(default_factory=dict)
    lying: Mapping[int, str] = field(default_factory=dict)

    def reason(self, spot: Spot, *, on_wood: bool = False) -> str:
        """Give why a spot is not proposed, for what grows on wood where so asked; "" where nothing is."""
        return self.sites.get(spot.site_id or 0, "") or self.of_tree(spot.tree_id, on_wood=on_wood)

    def of_tree(self, tree_id: int | None, *, on_wood: bool = False) -> str:
        """Give why a tree is not proposed, whatever holds for its site; "" where nothing rules it out."""
        if tree_id is None:
            return ""
        reasons = self.lying if on_wood and tree_id in self.lying else self.trees
        return reasons.get(tree_id, "")


@dataclass(frozen=True)
class _Grounds:
    """What closes sites and trees, whatever the day.

    Parameters
    ----------
    sites
        Every site with its permissions.
    trees
        Every tree with its permissions: those whose ground it stands on, and those of its site.
    closed_days
        Days on which each permission is closed, by its id.
    """

    sites: Sequence[tuple[Site, Sequence[Permission]]]
    trees: Sequence[tuple[HostTree, Sequence[Permission]]]
    closed_days: Mapping[int, Sequence[PermissionClosedDay]]


def closures(book: Book, on: datetime.date) -> Closures:
    """Tell what a day rules out at the sites and trees of a book.

    A site with several permissions is closed where any of them closes it. A permission says nothing of a
    day outside the days it is valid; a site where all that were given are such ones is closed for want of
    one, and a closure that has ended, or has not begun, closes nothing. A tree is closed by the permissions
    whose ground it stands on, also where the ground of its site does not reach so far; where its site is
    closed, that is told of the site alone.

    Parameters
    ----------
    book
        The book.
    on
        The day asked for.
    """
    return closures_by_day(book)(on)


def closures_by_day(book: Book) -> Callable[[datetime.date], Closures]:
    """Load what closes sites and trees once, and give a function that tells what a day rules out."""
    permissions = permissions_by_site(book)
    grounds = [one for one in rows.records(book, Permission) if one.geom is not None]
    trees = []
    for tree in rows.records(book, HostTree):
        held = {p.id: p for p in grounds if p.geom is not None and p.geom.intersects(tree.geom)}
        held |= {p.id: p for p in permissions.get(tree.site_id or 0, ())}
        trees.append((tree, tuple(held.values())))
    sites = [(site, permissions.get(site.id or 0, ())) for site in rows.records(book, Site)]
    known = _Grounds(sites, trees, _closed_days(book))
    return lambda on: _on(known, on)


def _on(known: _Grounds, on: datetime.date) -> Closures:
    reasons: dict[int, str] = {}
    rules: dict[int, str] = {}
    heed: dict[int, tuple[str, ...]] = {}
    for site, own in known.sites:
        key = site.id or 0
        resting = _resting(site, on)
        if reason := resting or _forbidden(own, known.closed_days, on):
            reasons[key], rules[key] = reason, REST if resting else PERMISSION
        heed[key] = (*_to_heed(own, on), *_in_part(site, own, on))
    trees: dict[int, str] = {}
    lying: dict[int, str] = {}
    for tree, held in known.trees:
        forbidden = "" if tree.site_id in reasons else _forbidden(held, known.closed_days, on)
        down = down_words(tree, on)
        if down or forbidden:
            trees[tree.id or 0] = down or forbidden
        if down and may_lie(tree):
            lying[tree.id or 0] = forbidden
    return Closures(on, reasons, trees, heed, rules, lying)


def not_proposed(found: Closures, spots: Iterable[Spot]) -> tuple[NotProposed, ...]:
    """List the spots that a day rules out, each with the reason, a site's trees told with the site."""
    listed: dict[Key, NotProposed] = {}
    for spot in spots:
        reason = found.reason(spot)
        of_site = spot.site_id in found.sites
        shown = Spot(spot.site_id, None, spot.site_name, irrigated=spot.irrigated) if of_site else spot
        if reason:
            wood = not of_site and found.lying.get(spot.tree_id or 0) == ""
            said = f"{reason} {FOR_WOOD}" if wood else reason
            listed.setdefault((shown.site_id, shown.tree_id), NotProposed(shown, said))
    return tuple(
        sorted(listed.values(), key=lambda one: (one.spot.site_name.casefold(), one.spot.tag.casefold()))
    )


def _closed_days(book: Book) -> dict[int, list[PermissionClosedDay]]:
    days: dict[int, list[PermissionClosedDay]] = defaultdict(list)
    for day in rows.records(book, PermissionClosedDay):
        days[day.permission_id].append(day)
    return days


def closed_day_words(book: Book, on: datetime.date) -> dict[int, tuple[str, ...]]:
    """Say on which days permissions that hold close each site from a day on, by the site's id."""
    closed = _closed_days(book)
    return {
        site_id: tuple(
            f"{permission.manager}: closed on {day}"
            for permission in own
            if holds(permission, on)
            for day in _days_said(closed.get(permission.id or 0, ()), on)
        )
        for site_id, own in permissions_by_site(book).items()
    }


def _days_said(days: Sequence[PermissionClosedDay], on: datetime.date) -> Iterable[str]:
    for day in days:
        if day.closed_on is not None and day.closed_on >= on:
            yield day.closed_on.isoformat()
        elif day.closed_on is None and day.weekday is not None:
            yield WEEKDAYS[day.weekday - 1]


def _resting(site: Site, on: datetime.date) -> str:
    if site.rest_until is not None and site.rest_until >= on:
        return f"Resting until {site.rest_until.isoformat()}."
    return ""


def _forbidden(
    permissions: Sequence[Permission], closed: Mapping[int, Sequence[PermissionClosedDay]], on: datetime.date
) -> str:
    """Give why the permissions of a site rule a day out; "" where they do not, or there are none."""
    valid = [permission for permission in permissions if holds(permission, on)]
    for permission in valid:
        if permission.basis == "closed":
            return f"{permission.manager}: closed to gathering."
    given = [permission for permission in permissions if permission.basis not in ("closed", "not asked")]
    if given and not any(permission in valid for permission in given):
        first = given[0]
        return f"{first.manager}: the permission does not hold on this day ({_valid_words(first)})."
    for permission in valid:
        for day in closed.get(permission.id or 0, ()):
            if day.closed_on == on:
                return f"{permission.manager}: closed on {on.isoformat()}."
            if day.closed_on is None and day.weekday == on.isoweekday():
                return f"{permission.manager}: closed on {WEEKDAYS[on.isoweekday() - 1]}."
    return ""


def holds(permission: Permission, on: datetime.date) -> bool:
    """Tell whether a day lies within the days a permission is valid."""
    begun = permission.valid_from is None or permission.valid_from <= on
    return begun and (permission.valid_to is None or on <= permission.valid_to)


def _valid_words(permission: Permission) -> str:
    first, last = permission.valid_from, permission.valid_to
    if first and last:
        return f"valid {first.isoformat()} to {last.isoformat()}"
    return f"valid from {first.isoformat()}" if first else f"valid to {last.isoformat()}" if last else ""


def _to_heed(permissions: Sequence[Permission], on: datetime.date) -> Iterable[str]:
    """Say what is to be heeded at a site: who was not asked, what ended, hours, limits and method."""
    if all(p.basis == "not asked" or (p.basis == "closed" and not holds(p, on)) for p in permissions):
        yield NOT_ASKED
        return
    answered = {p.manager for p in permissions if p.basis != "not asked" and holds(p, on)}
    for permission in permissions:
        manager = permission.manager
        if permission.basis == "not asked":
            if manager not in answered:
                yield f"{manager}: nobody asked yet whether gathering is allowed here."
        elif permission.basis == "closed":
            continue
        elif holds(permission, on):
            yield from (f"{manager}: {words}." for words in terms(permission))
        elif manager not in answered:
            yield f"{manager}: the {permission.basis} {_lapsed_words(permission, on)}."


def _lapsed_words(permission: Permission, on: datetime.date) -> str:
    first, last = permission.valid_from, permission.valid_to
    if last is not None and last < on:
        return f"ended {last.isoformat()}; ask again"
    return f"begins only {first.isoformat()}; ask first" if first else "does not hold on this day; ask"


def _in_part(site: Site, permissions: Sequence[Permission], on: datetime.date) -> Iterable[str]:
    """Name the permissions of a site that allow something on a part of it only."""
    for permission in permissions:
        given = permission.basis not in ("closed", "not asked") and holds(permission, on)
        if given and not covers(permission, site):
            yield f"{permission.manager}: the {permission.basis} is for a part of this place only."
