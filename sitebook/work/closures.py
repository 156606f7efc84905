"""Tells which places are never proposed on a day: closed, resting, felled, or not permitted then."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitebook.records.host_tree import HostTree
from sitebook.records.results.fruiting import Spot
from sitebook.records.results.outlook import NotProposed
from sitebook.records.site import Permission, PermissionClosedDay, PermissionSite, Site
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.seasons import Key, all_spots

WEEKDAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")
NOT_ASKED = "Nobody was asked yet whether gathering is allowed here."


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
        Why a tree is not, by its id, beside what holds for its site.
    to_heed
        What is to be heeded at a site that is proposed, by its id: nobody asked, hours, method, limits.
    """

    on: datetime.date
    sites: Mapping[int, str]
    trees: Mapping[int, str]
    to_heed: Mapping[int, tuple[str, ...]]

    def reason(self, spot: Spot) -> str:
        """Give why a spot is not proposed; "" where nothing rules it out."""
        of_site = self.sites.get(spot.site_id or 0, "")
        return of_site or (self.trees.get(spot.tree_id, "") if spot.tree_id is not None else "")


def closures(book: Book, on: datetime.date) -> Closures:
    """Tell what a day rules out at the sites and trees of a book.

    A site with several permissions is closed where any of them closes it; a permission says nothing of a
    day outside the days it is valid, and a site that has only such ones is closed for want of one.

    Parameters
    ----------
    book
        The book.
    on
        The day asked for.
    """
    sites = {site.id or 0: site for site in rows.records(book, Site)}
    permissions = permissions_by_site(book, sites)
    closed_days = _closed_days(book)
    reasons: dict[int, str] = {}
    heed: dict[int, tuple[str, ...]] = {}
    for key, site in sites.items():
        own = permissions.get(key, ())
        reason = _resting(site, on) or _forbidden(own, closed_days, on)
        if reason:
            reasons[key] = reason
        heed[key] = tuple(_to_heed(own, on))
    trees = {t.id or 0: why for t in rows.records(book, HostTree) if (why := _felled(t, on))}
    return Closures(on, reasons, trees, heed)


def not_proposed(found: Closures, spots: Iterable[Spot]) -> tuple[NotProposed, ...]:
    """List the spots that a day rules out, each with the reason, a site's trees told with the site."""
    listed: dict[Key, NotProposed] = {}
    for spot in spots:
        reason = found.reason(spot)
        of_site = spot.site_id in found.sites
        shown = Spot(spot.site_id, None, spot.site_name, irrigated=spot.irrigated) if of_site else spot
        if reason:
            listed.setdefault((shown.site_id, shown.tree_id), NotProposed(shown, reason))
    return tuple(
        sorted(listed.values(), key=lambda one: (one.spot.site_name.casefold(), one.spot.tag.casefold()))
    )


def spots_of_book(book: Book) -> dict[Key, Spot]:
    """Give every site and tree of a book as a spot, kinds of trees not named."""
    sites = {site.id or 0: site for site in rows.records(book, Site)}
    trees = {tree.id or 0: tree for tree in rows.records(book, HostTree)}
    return all_spots(sites, trees, {})


def permissions_by_site(book: Book, sites: Mapping[int, Site]) -> dict[int, list[Permission]]:
    """Give the permissions of each site: those that name it, and those whose ground it lies in or touches."""
    permissions = {p.id or 0: p for p in rows.records(book, Permission)}
    found: dict[int, dict[int, Permission]] = defaultdict(dict)
    for link in rows.records(book, PermissionSite):
        if link.permission_id in permissions:
            found[link.site_id][link.permission_id] = permissions[link.permission_id]
    for key, permission in permissions.items():
        if permission.geom is None:
            continue
        for site_id, site in sites.items():
            if permission.geom.intersects(site.geom):
                found[site_id][key] = permission
    return {site_id: list(own.values()) for site_id, own in found.items()}


def _closed_days(book: Book) -> dict[int, list[PermissionClosedDay]]:
    days: dict[int, list[PermissionClosedDay]] = defaultdict(list)
    for day in rows.records(book, PermissionClosedDay):
        days[day.permission_id].append(day)
    return days


def _resting(site: Site, on: datetime.date) -> str:
    if site.rest_until is not None and site.rest_until >= on:
        return f"Resting until {site.rest_until.isoformat()}."
    return ""


def _forbidden(
    permissions: Sequence[Permission], closed: Mapping[int, Sequence[PermissionClosedDay]], on: datetime.date
) -> str:
    """Give why the permissions of a site rule a day out; "" where they do not, or there are none."""
    for permission in permissions:
        if permission.basis == "closed" and _holds(permission, on):
            return f"{permission.manager}: closed to gathering."
    valid = [permission for permission in permissions if _holds(permission, on)]
    if permissions and not valid:
        first = permissions[0]
        return f"{first.manager}: the permission does not hold on this day ({_valid_words(first)})."
    for permission in valid:
        for day in closed.get(permission.id or 0, ()):
            if day.closed_on == on:
                return f"{permission.manager}: closed on {on.isoformat()}."
            if day.closed_on is None and day.weekday == on.isoweekday():
                return f"{permission.manager}: closed on {WEEKDAYS[on.isoweekday() - 1]}."
    return ""


def _holds(permission: Permission, on: datetime.date) -> bool:
    begun = permission.valid_from is None or permission.valid_from <= on
    return begun and (permission.valid_to is None or on <= permission.valid_to)


def _valid_words(permission: Permission) -> str:
    first, last = permission.valid_from, permission.valid_to
    if first and last:
        return f"valid {first.isoformat()} to {last.isoformat()}"
    return f"valid from {first.isoformat()}" if first else f"valid to {last.isoformat()}" if last else ""


def _felled(tree: HostTree, on: datetime.date) -> str:
    if tree.felled_on is not None and tree.felled_on <= on:
        return f"Felled or fallen on {tree.felled_on.isoformat()}."
    return ""


def _to_heed(permissions: Sequence[Permission], on: datetime.date) -> Iterable[str]:
    if not permissions or all(permission.basis == "not asked" for permission in permissions):
        yield NOT_ASKED
    for permission in permissions:
        if not _holds(permission, on) or permission.basis == "not asked":
            continue
        yield from (f"{permission.manager}: {words}." for words in _terms(permission))


def _terms(permission: Permission) -> Iterable[str]:
    """Say the hours, limits and method of a permission."""
    each = " a person" if permission.per_person else ""
    if permission.opens_at or permission.closes_at:
        yield f"open {permission.opens_at or '00:00'} to {permission.closes_at or '24:00'}"
    if permission.daily_limit is not None:
        yield f"at most {permission.daily_limit:g} {permission.limit_unit} a day{each}"
    if permission.season_limit is not None:
        yield f"at most {permission.season_limit:g} {permission.limit_unit} a season{each}"
    if permission.method_rule:
        yield permission.method_rule
