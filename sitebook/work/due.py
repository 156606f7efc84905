"""Answers what waits for her: what is unnamed, unnumbered, unasked, undecided, or not come home."""

from __future__ import annotations

import datetime
import itertools
import shlex
import zoneinfo
from collections.abc import Iterator

from sitebook.citations import Cited
from sitebook.records.entry_line import EntryLine
from sitebook.records.find import Find
from sitebook.records.history import Conflict, NumberBlock
from sitebook.records.host_tree import HostTree
from sitebook.records.kinds import KINDS
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.results.due import TOPICS, Due
from sitebook.records.results.entry_sheet import saved_as
from sitebook.records.site import Permission, PermissionSite, Site
from sitebook.records.standing import Standing
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.answer import Answer
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.felled import DOWN
from sitebook.work.opening import book_row
from sitebook.work.photos.noted import number_of, numbers_noted
from sitebook.work.photos.waiting import waiting_photos

CHECK_AFTER = Cited(365.0, "d", "ours", "our choice")
"""A permission that was not checked for longer than this is due."""

REST_SEEN_BEFORE = Cited(14.0, "d", "ours", "our choice")
"""A rest is told of this long before it ends."""


def due(book: Book, *, today: datetime.date) -> Answer[tuple[Due, ...]]:
    """Answer everything that waits, by topic, the most pressing first.

    Parameters
    ----------
    today
        Local date it is asked on.
    """
    names = names_in(book)
    found = [
        *_conflicts(book, names),
        *_sheets(book),
        *_finds(book, names),
        *_photos(book, names),
        *_sites(book, today),
        *_permissions(book, today),
        *_trees(book, names),
        *_overlaps(book, names),
        *_effort(book, names),
    ]
    order = list(TOPICS)
    return Answer(tuple(sorted(found, key=lambda one: order.index(one.topic))))


def typed(*words: str) -> str:
    """Give a command as it is typed, words with blanks in quotation marks."""
    return " ".join(("sitebook", *(_quoted(word) for word in words)))


def _quoted(word: str) -> str:
    """Quote a word where the shell would part or change it; capitals say what is to be filled in."""
    name, equals, value = word.partition("=")
    return f"{name}{equals}{shlex.quote(value)}" if equals and value else shlex.quote(word)


def _conflicts(book: Book, names: Names) -> Iterator[Due]:
    for conflict in rows.records(book, Conflict):
        if conflict.decided is None:
            called = _called(book, names, conflict.table_name, conflict.row_uuid)
            words = f"{conflict.column_name}: the book says {_said(conflict.our_value)}"
            words += f", what came in says {_said(conflict.their_value)}"
            yield Due("conflict", called, words, typed("decide", str(conflict.id), "ours"))


def _said(text: str | None) -> str:
    return "nothing" if text is None else f"'{text}'"


def _called(book: Book, names: Names, kind: str, key: str) -> str:
    record = KINDS.get(kind)
    words = kind.replace("_", " ")
    if record is None or not issubclass(record, Standing):
        return words
    found = rows.by_uuid(book, record, [key]).get(key)
    shown = names.shown.get(kind, {}).get(found.id or 0) if found is not None else None
    return f"{words} {shown or key}"


def _sheets(book: Book) -> Iterator[Due]:
    people = {p.id: p.initials for p in rows.records(book, Person, withdrawn=True)}
    zone = zoneinfo.ZoneInfo(book_row(book).zone)
    home = {line.sheet_uuid for line in rows.records(book, EntryLine)}
    for block in rows.records(book, NumberBlock):
        if block.uuid not in home:
            numbers = f"{people[block.collector_id]} {block.first_number} to {block.last_number}"
            made_on = block.created_at.astimezone(zone).date()
            unused = typed("entry-sheet", "--give-back", str(block.first_number))
            words = f"{block.reserved_for} of {made_on.isoformat()}; if it was not used: {unused}"
            yield Due("sheet", numbers, words, typed("import", saved_as(block.uuid, made_on)))


def _finds(book: Book, names: Names) -> Iterator[Due]:
    named = {d.find_id for d in standing_determinations(book)}
    sites = {
        visit.id: names.shown.get("site", {}).get(visit.site_id or 0) for visit in rows.records(book, Visit)
    }
    for find in rows.records(book, Find):
        called = _find_words(find, names)
        words = _where_and_when(find, sites.get(find.visit_id))
        if find.id not in named:
            step = typed("add", "determination", f"find={_find(find, names)}", "verbatim_name=NAME")
            yield Due("no name", called, words, step)
        if find.collection_number is None:
            step = typed("change", "find", find.uuid, "collection_number=NUMBER")
            yield Due("no number", called, words, step)


def _find(find: Find, names: Names) -> str:
    return names.shown.get("find", {}).get(find.id or 0, find.uuid)


def _find_words(find: Find, names: Names) -> str:
    return names.shown.get("find", {}).get(find.id or 0, f"draft {find.uuid[:8]}")


def _where_and_when(find: Find, site: str | None) -> str:
    day = find.found_on.isoformat() if find.found_on else "date not known"
    return "; ".join(part for part in (site, day, find.note) if part)


def _photos(book: Book, names: Names) -> Iterator[Due]:
    waiting = waiting_photos(book)
    noted = _photo_numbers(book) if waiting else {}
    for one in waiting:
        name = one.photo.file_name
        offers = f"; finds of that day: {', '.join(one.offers)}" if one.offers else ""
        named = noted.get((one.local_date, number_of(name)))
        offers += f"; {_find_words(named, names)} names its number" if named else ""
        step = typed("add", "photo_tag", f"file_name={name}", "tag_number=NUMBER")
        yield Due("at home" if one.photo.at_home else "photo", name, f"{one.why}{offers}", step)


def _photo_numbers(book: Book) -> dict[tuple[datetime.date | None, int | None], Find]:
    """Give the find whose note names a photo's number, by day and number."""
    found: dict[tuple[datetime.date | None, int | None], Find] = {}
    for find in rows.records(book, Find):
        for number in numbers_noted(find):
            found[find.found_on, number] = find
    return found


def _sites(book: Book, today: datetime.date) -> Iterator[Due]:
    noted = _permissions_by_site(book)
    for site in rows.records(book, Site):
        if site.merged_into is not None:
            continue
        allowed = noted.get(site.id or 0, [])
        if not allowed:
            step = typed("add", "permission", "manager=WHO", "basis=BASIS", f"sites={site.name}")
            yield Due("not asked", site.name, "no permission noted", step)
        elif all(permission.basis == "not asked" for permission in allowed):
            step = typed("change", "permission", allowed[0].manager, "basis=BASIS", f"last_checked={today}")
            yield Due("not asked", site.name, f"{allowed[0].manager} was not asked", step)
        yield from _dates_of_site(site, today)


def _permissions_by_site(book: Book) -> dict[int, list[Permission]]:
    permissions = {p.id: p for p in rows.records(book, Permission)}
    found: dict[int, list[Permission]] = {}
    for link in rows.records(book, PermissionSite):
        if link.permission_id in permissions:
            found.setdefault(link.site_id, []).append(permissions[link.permission_id])
    return found


def _dates_of_site(site: Site, today: datetime.date) -> Iterator[Due]:
    if site.review_on is not None and site.review_on <= today:
        step = typed("change", "site", site.name, "review_on=DATE")
        yield Due("review", site.name, f"since {site.review_on.isoformat()}", step)
    soon = today + datetime.timedelta(days=REST_SEEN_BEFORE.value)
    if site.rest_until is not None and site.rest_until <= soon:
        ended = "ended" if site.rest_until < today else "ends"
        step = typed("change", "site", site.name, "rest_until=")
        yield Due("rest", site.name, f"its rest {ended} on {site.rest_until.isoformat()}", step)


def _permissions(book: Book, today: datetime.date) -> Iterator[Due]:
    for permission in rows.records(book, Permission):
        if permission.valid_to is not None and permission.valid_to < today:
            words = f"ended on {permission.valid_to.isoformat()}"
            step = typed("change", "permission", permission.manager, "valid_to=DATE")
        elif permission.basis == "not asked":
            continue
        elif permission.last_checked is None:
            words, step = "never checked", _check(permission, today)
        elif (today - permission.last_checked).days > CHECK_AFTER.value:
            words = f"last checked on {permission.last_checked.isoformat()}"
            step = _check(permission, today)
        else:
            continue
        yield Due("permission", permission.manager, words, step)


def _check(permission: Permission, today: datetime.date) -> str:
    return typed("change", "permission", permission.manager, f"last_checked={today.isoformat()}")


def _trees(book: Book, names: Names) -> Iterator[Due]:
    """Ask when a tree fell that is noted as standing no more; without the day it is no place on any day."""
    for tree in rows.records(book, HostTree):
        if tree.tree_condition in DOWN and tree.felled_on is None and tree.merged_into is None:
            called = names.shown.get("host_tree", {}).get(tree.id or 0, tree.uuid)
            words = f"noted as {DOWN[tree.tree_condition]}; the day is not noted"
            yield Due("felled", called, words, typed("change", "host_tree", called, "felled_on=DATE"))


def _overlaps(book: Book, names: Names) -> Iterator[Due]:
    """Name visits to one site whose hours overlap, each with the one before it."""
    zone = zoneinfo.ZoneInfo(book_row(book).zone)
    timed: dict[int, list[tuple[datetime.datetime, datetime.datetime, Visit]]] = {}
    for visit in rows.records(book, Visit):
        if visit.site_id is not None and visit.started_at is not None:
            end = visit.started_at + datetime.timedelta(minutes=visit.search_minutes or 0.0)
            timed.setdefault(visit.site_id, []).append((visit.started_at, end, visit))
    for own in timed.values():
        own.sort(key=lambda one: (one[0], one[1], one[2].id or 0))
        for (_, end, before), (start, _, visit) in itertools.pairwise(own):
            if start < end or start == before.started_at:
                shown = names.shown.get("visit", {})
                called, other = (shown.get(one.id or 0, one.uuid) for one in (visit, before))
                at = start.astimezone(zone).strftime("%H:%M")
                words = f"begun at {at}, while {other} went on"
                yield Due("overlap", called, words, typed("show", "visit", called))


def _effort(book: Book, names: Names) -> Iterator[Due]:
    for visit in rows.records(book, Visit):
        if visit.effort_assumed:
            called = names.shown.get("visit", {}).get(visit.id or 0, visit.uuid)
            minutes = "time not known" if visit.search_minutes is None else f"{visit.search_minutes:g} min"
            step = typed("change", "visit", called, "looked_for_all=yes", "effort_assumed=no")
            yield Due("effort", called, f"{minutes} by the track", step)
