"""Makes two sites, two trees or two taxa one: everything that names the other names the kept one."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.host_tree import HostTree
from sitebook.records.kinds import KINDS
from sitebook.records.results.corrections import Merged
from sitebook.records.standing import Row, Standing
from sitebook.records.taxon import LookAlike, Taxon
from sitebook.store import history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.corrections.finding import by_id, called, standing_record
from sitebook.work.corrections.in_view import references

MERGED = ("site", "host_tree", "taxon")
STAYS = frozenset((("determination", "taxon_id"),))
"""References that keep the name as it was given; analyses follow a synonym to the name that stands."""


def merge(book: Book, kind: str, kept: str, other: str, *, now: datetime.datetime) -> Answer[Merged]:
    """Make two records one.

    A merged site or tree is withdrawn and its name leads to the kept one. A merged taxon stays as a
    synonym of the kept one, and finds stay named as they were.

    Parameters
    ----------
    book
        The open book.
    kind
        Site, host tree or taxon.
    kept, other
        Names of the two.
    now
        Instant of the merge, UTC.

    Raises
    ------
    BadArgument
        When records of the kind are not merged, or both names mean one record.
    RecordMissing, NameAmbiguous
        When none, or several, bear a name.
    ValueImpossible
        When the kept taxon is a synonym itself, or stands below the other.
    """
    if kind not in MERGED:
        raise errors.BadArgument(
            f"records of kind {kind.replace('_', ' ')} are not merged",
            remedy=f"There are: {', '.join(MERGED)}.",
        )
    names = names_in(book)
    one, two = (standing_record(book, kind, name, names) for name in (kept, other))
    if one.id == two.id:
        raise errors.BadArgument("both names mean the same record", remedy="Name two different ones.")
    if isinstance(one, Taxon):
        _require_mergeable(book, one, two)
    with acting(book, Act(f"merge {kind}", now)):
        moved: dict[str, int] = {}
        doubles: dict[str, int] = {}
        for name in KINDS:
            for column in references(name, kind):
                if (name, column) not in STAYS:
                    _move(book, name, column, (one, two), (moved, doubles))
        if isinstance(one, Taxon):
            _settle_look_alikes(book, one, doubles)
        _end(book, one, two, now)
    remarks = _remarks(book, one, two, names)
    return Answer(Merged(kind, called(one, names), called(two, names), moved, doubles, remarks))


def _require_mergeable(book: Book, kept: Taxon, other: Row) -> None:
    if kept.accepted_id not in (None, other.id):
        raise errors.ValueImpossible(
            f"{kept.scientific_name} is a synonym itself", remedy="Keep the name it stands for."
        )
    at, passed = kept.parent_id, {kept.id}
    while at is not None and at not in passed:
        if at == other.id:
            raise errors.ValueImpossible(
                f"{kept.scientific_name} stands below the other",
                remedy="Change its parent first: `sitebook change taxon NAME parent=`.",
            )
        passed.add(at)
        at = getattr(by_id(book, "taxon", at), "parent_id", None)


def _move(
    book: Book, name: str, column: str, pair: tuple[Row, Row], counted: tuple[dict[str, int], dict[str, int]]
) -> None:
    kept, other = pair
    kind = KINDS[name]
    table = rows.table_for(kind)
    wanted = rows.records(book, kind, table.c[column] == other.id, withdrawn=True)
    if kind is type(kept):
        wanted = [row for row in wanted if row.id not in (kept.id, other.id)]
    moved = [dataclasses.replace(row, **{column: kept.id}) for row in wanted]
    if history.is_link(kind):
        there = {history.row_key(row) for row in rows.records(book, kind, withdrawn=True)}
        fresh = [
            (old, new) for old, new in zip(wanted, moved, strict=True) if history.row_key(new) not in there
        ]
        history.unlink(book, [old for old, _ in fresh])
        history.link(book, [dataclasses.replace(new, id=None) for _, new in fresh])
        _count(counted[1], name, len(wanted) - len(fresh))
        _count(counted[0], name, len(fresh))
    else:
        to_kept: dict[str, object] = {column: kept.id}
        _count(counted[0], name, history.amend_all(book, [(row, to_kept) for row in wanted]))


def _count(counts: dict[str, int], name: str, how_many: int) -> None:
    if how_many:
        counts[name] = counts.get(name, 0) + how_many


def _settle_look_alikes(book: Book, kept: Taxon, doubles: dict[str, int]) -> None:
    """Withdraw pairs of the kept taxon with itself, and pairs said twice in the same words."""
    table = rows.table_for(LookAlike)
    of_kept = rows.records(book, LookAlike, (table.c.taxon_id == kept.id) | (table.c.other_id == kept.id))
    own = [n for n in meanings(LookAlike) if n not in meanings(Standing)]
    seen: set[tuple[object, ...]] = set()
    gone: list[LookAlike] = []
    for pair in of_kept:
        said = tuple(getattr(pair, name) for name in own)
        if pair.taxon_id == pair.other_id or said in seen:
            gone.append(pair)
        seen.add(said)
    act = history.act_of(book)
    end: dict[str, object] = {"withdrawn_at": act.made_at if act else None}
    _count(doubles, "look_alike", history.amend_all(book, [(pair, end) for pair in gone]))


def _end(book: Book, kept: Row, other: Row, now: datetime.datetime) -> None:
    if isinstance(kept, Taxon):
        history.amend(book, kept, {"accepted_id": None})
        history.amend(book, other, {"accepted_id": kept.id})
    else:
        history.amend(book, other, {"withdrawn_at": now, "merged_into": kept.id})


def _remarks(book: Book, kept: Row, other: Row, names: Names) -> tuple[str, ...]:
    if isinstance(kept, Taxon):
        stays = f"{called(other, names)} stays as a synonym: finds named so keep that name"
        return (f"{stays}, and calendars count them to the kept one.",)
    told = [
        f"What {called(other, names)} says of itself stays with it; `sitebook undo` takes the merge back."
    ]
    if not isinstance(kept, HostTree):
        told += _trees_alike(book, kept)
    return tuple(told)


def _trees_alike(book: Book, kept: Row) -> Sequence[str]:
    trees = rows.records(book, HostTree, rows.table_for(HostTree).c.site_id == kept.id)
    tags = [tree.tag.casefold() for tree in trees]
    twice = sorted({tree.tag for tree in trees if tags.count(tree.tag.casefold()) > 1})
    return (
        [f"Trees of one tag stand there now: {', '.join(twice)}; change a tag, or merge them."]
        if twice
        else []
    )
