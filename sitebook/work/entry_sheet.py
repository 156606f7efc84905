"""Makes the sheet that visits, looks and finds are entered on, with a block of numbers of its own."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path

from sitebook import errors
from sitebook.citations import Cited
from sitebook.pages.entry_sheet import draw_entry_sheet
from sitebook.records.find import Find
from sitebook.records.history import NumberBlock
from sitebook.records.host_tree import HostTree
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.results.entry_sheet import EntrySheet, SheetPerson, SheetSite, SheetTaxon, SheetTree
from sitebook.records.site import Permission, PermissionSite, Site
from sitebook.records.taxon import Taxon, VernacularName
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.store.names import standing_determinations
from sitebook.work.answer import Answer
from sitebook.work.identity_keys import uuid_of
from sitebook.work.keep_file import keep_file
from sitebook.work.naming import pick
from sitebook.work.opening import book_row
from sitebook.work.settings import settings_of

MOST_NUMBERS = Cited(500.0, "1", "ours", "our choice")
"""Most numbers a sheet may hold back."""

MOST_SITES = Cited(60.0, "1", "ours", "our choice")
"""Most sites a sheet may hold: more would be slow to thumb through."""

MOST_TAXA = Cited(1500.0, "1", "ours", "our choice")
"""Most names a sheet holds; those found at its sites come first."""


def make(
    book: Book,
    to: Path,
    *,
    today: datetime.date,
    now: datetime.datetime,
    sites: Sequence[str] = (),
    numbers: int = 20,
    collector: str | None = None,
) -> Answer[EntrySheet]:
    """Write the sheet and reserve its numbers; neither is kept where the other cannot be.

    Each sheet has a block of its own, after every number that was given or reserved before, so that no
    two sheets give out the same one.

    Parameters
    ----------
    to
        Where the sheet goes.
    sites
        Names of the sites it holds; none for all.
    numbers
        How many collection numbers are reserved.
    collector
        Whose numbers; None for the owner's.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no site or person, or several, bear a name.
    BadArgument
        When there are too many sites or numbers.
    NothingToShow
        When the book has no site.
    FileNotWritable
        When the sheet cannot be written.
    """
    require_possible(numbers)
    with acting(book, Act("entry-sheet", now)):
        chosen = _sites(book, sites)
        person = collector_named(book, collector)
        block = set_aside(book, person, numbers, reserved_for=f"entry sheet {to.name}", now=now)
        sheet = sheet_of(book, chosen, person, block, today)
        page = draw_entry_sheet(sheet)
        keep_file(to, page)
    return Answer(sheet, page)


def give_back(book: Book, first_number: int, *, now: datetime.datetime) -> Answer[NumberBlock]:
    """Let the numbers of a sheet that will not come home be given out again.

    Parameters
    ----------
    first_number
        First number of its block.

    Raises
    ------
    RecordMissing
        When no block that stands begins so.
    """
    blocks = rows.records(book, NumberBlock, rows.table_for(NumberBlock).c.first_number == first_number)
    if not blocks:
        raise errors.RecordMissing(
            f"no block of reserved numbers begins with {first_number}",
            where=str(book.path),
            remedy="`sitebook list number_block` shows those there are.",
        )
    with acting(book, Act("entry-sheet --give-back", now)):
        history.amend_all(book, [(block, {"withdrawn_at": now}) for block in blocks])
    return Answer(blocks[0])


def next_number(book: Book, person_id: int) -> int:
    """Give the first collection number that a collector has neither used nor reserved."""
    finds, blocks = rows.table_for(Find), rows.table_for(NumberBlock)
    used = [
        f.collection_number or 0
        for f in rows.records(book, Find, finds.c.collector_id == person_id, withdrawn=True)
    ]
    reserved = [b.last_number for b in rows.records(book, NumberBlock, blocks.c.collector_id == person_id)]
    return max((0, *used, *reserved)) + 1


def _sites(book: Book, names: Sequence[str]) -> list[Site]:
    every = [site for site in rows.records(book, Site) if site.merged_into is None]
    if not every:
        raise errors.NothingToShow(
            "no sheet can be made: the book has no site yet",
            where=str(book.path),
            remedy="Add one with `sitebook add site`, or bring sites in with `sitebook import`.",
        )
    wanted = [pick(book, "site", name) for name in dict.fromkeys(names)]
    chosen = [next(s for s in every if s.id == key) for key in wanted] if wanted else every
    if len(chosen) > MOST_SITES.value:
        raise errors.BadArgument(
            f"the book has {len(chosen)} sites; a sheet holds at most {MOST_SITES.value:.0f}",
            remedy="Name those you go to, each with --site NAME.",
        )
    return sorted(chosen, key=lambda site: site.name.casefold()) if not wanted else chosen


def require_possible(numbers: int) -> None:
    """Raise BadArgument for a count of numbers that no sheet may hold back."""
    if not 0 <= numbers <= MOST_NUMBERS.value:
        raise errors.BadArgument(
            f"{numbers} numbers cannot be reserved", remedy=f"Ask for 0 to {MOST_NUMBERS.value:.0f}."
        )


def collector_named(book: Book, name: str | None) -> Person:
    """Give the person of a name, the book's owner for None; raises RecordMissing or NameAmbiguous."""
    person_id = pick(book, "person", name) if name else book_row(book).owner_id
    return next(person for person in rows.records(book, Person) if person.id == person_id)


def set_aside(
    book: Book, person: Person, numbers: int, *, reserved_for: str, now: datetime.datetime
) -> NumberBlock:
    """Reserve a person's next numbers inside an act; a block of none is given back but not kept."""
    first = next_number(book, person.id or 0)
    block = NumberBlock(
        uuid=uuid_of("number_block", f"{person.uuid}|{first}|{numbers}|{now.isoformat()}"),
        created_at=now,
        changed_at=now,
        collector_id=person.id or 0,
        first_number=first,
        last_number=first + numbers - 1,
        reserved_for=reserved_for,
    )
    if numbers:
        rows.insert(book, [block])
        history.note_made(book, [block])
    return block


def sheet_of(
    book: Book, sites: Sequence[Site], person: Person, block: NumberBlock, made_on: datetime.date
) -> EntrySheet:
    """Give what a sheet of some sites holds.

    Parameters
    ----------
    sites
        In the order they are offered.
    person, block
        Whose numbers, and which.
    made_on
        Local date; the file it saves is named for it.
    """
    row = book_row(book)
    has_numbers = block.last_number >= block.first_number
    return EntrySheet(
        uuid=block.uuid,
        book=row.uuid,
        title=row.title,
        revision=row.revision,
        made_on=made_on,
        collector=_person(person),
        first_number=block.first_number if has_numbers else None,
        last_number=block.last_number if has_numbers else None,
        people=tuple(_person(p) for p in rows.records(book, Person)),
        sites=_site_buttons(book, sites, made_on),
        taxa=_taxa(book, {s.id: s.uuid for s in sites if s.id is not None}),
        poison_centre=settings_of(book).poison_centre,
    )


def _person(person: Person) -> SheetPerson:
    return SheetPerson(person.uuid, person.initials, person.name)


def _site_buttons(book: Book, sites: Sequence[Site], today: datetime.date) -> tuple[SheetSite, ...]:
    trees: dict[int | None, list[HostTree]] = defaultdict(list)
    for tree in rows.records(book, HostTree):
        if tree.felled_on is None and tree.merged_into is None:
            trees[tree.site_id].append(tree)
    kinds = {t.id: t.scientific_name for t in rows.records(book, Taxon)}
    permissions = {p.id: p for p in rows.records(book, Permission)}
    allowed: dict[int, list[Permission]] = defaultdict(list)
    for link in rows.records(book, PermissionSite):
        if link.permission_id in permissions:
            allowed[link.site_id].append(permissions[link.permission_id])
    return tuple(
        SheetSite(
            site.uuid,
            site.name,
            tuple(_heed(site, allowed[site.id or 0], today)),
            tuple(
                SheetTree(t.uuid, t.tag, kinds.get(t.taxon_id, "")) for t in _by_tag(trees.get(site.id, []))
            ),
        )
        for site in sites
    )


def _by_tag(trees: Sequence[HostTree]) -> list[HostTree]:
    """Order trees by tag, numbers in it by their size, so that E2 comes before E10."""

    def parts(tree: HostTree) -> tuple[str, int, str]:
        letters = tree.tag.rstrip("0123456789")
        digits = tree.tag[len(letters) :]
        return letters.casefold(), int(digits or 0), tree.tag

    return sorted(trees, key=parts)


def _heed(site: Site, permissions: Sequence[Permission], today: datetime.date) -> list[str]:
    said = []
    if site.rest_until is not None and site.rest_until >= today:
        said.append(f"Resting until {site.rest_until.isoformat()}: look, do not gather.")
    if not permissions:
        said.append("No permission noted.")
    for permission in permissions:
        if permission.basis in ("closed", "not asked"):
            said.append(f"{permission.manager}: {permission.basis}.")
        elif permission.valid_to is not None and permission.valid_to < today:
            said.append(f"{permission.manager}: ended on {permission.valid_to.isoformat()}.")
    return said


def _taxa(book: Book, site_uuids: dict[int, str]) -> tuple[SheetTaxon, ...]:
    """Give fungi by how often they were found at the sites, then by name."""
    visits = {v.id: v.site_id for v in rows.records(book, Visit)}
    finds = {f.id: visits.get(f.visit_id) for f in rows.records(book, Find)}
    found: dict[int, list[int]] = defaultdict(list)
    for named in standing_determinations(book):
        site_id = finds.get(named.find_id)
        if named.taxon_id is not None and site_id in site_uuids and site_id is not None:
            found[named.taxon_id].append(site_id)
    others: dict[int, list[str]] = defaultdict(list)
    for name in rows.records(book, VernacularName):
        others[name.taxon_id].append(name.vernacular)
    fungi = [t for t in rows.records(book, Taxon) if t.kingdom == "Fungi" and t.accepted_id is None]
    ordered = sorted(fungi, key=lambda t: (-len(found[t.id or 0]), t.scientific_name))
    return tuple(
        SheetTaxon(
            taxon.uuid,
            taxon.scientific_name,
            ", ".join(others[taxon.id or 0]),
            tuple(sorted({site_uuids[s] for s in found[taxon.id or 0]})),
        )
        for taxon in ordered[: int(MOST_TAXA.value)]
    )
