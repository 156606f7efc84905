"""Refuses a change that does not go with other records, and says what else she may want to change."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.find import Find
from sitebook.records.host_tree import HostTree
from sitebook.records.kinds import table_name
from sitebook.records.outing import Visit
from sitebook.records.site import Site
from sitebook.records.standing import Row
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.names import Names, folded
from sitebook.work.corrections.finding import by_id, visit_at, words


def require(book: Book, record: Row, values: Mapping[str, object], names: Names) -> None:
    """Refuse what another record forbids.

    Raises
    ------
    ValueImpossible
        When a key is taken, a find would lie on no day of its visit, or nothing says any more where it was.
    """
    whole = rows.values_of(record) | dict(values)
    _require_key_free(book, record, whole, values)
    require_name_free(book, record, whole, values)
    _require_no_circle(book, record, values)
    if isinstance(record, Find):
        _require_place(whole)
        _require_day_of_visit(book, whole, names)
    if isinstance(record, Visit) and "local_date" in values and "started_at" not in values:
        _require_hour_of_day(record, whole)


def _impossible(what: str, remedy: str) -> errors.ValueImpossible:
    return errors.ValueImpossible(what, remedy=f"{remedy} Nothing was changed.")


def _require_key_free(
    book: Book, record: Row, whole: Mapping[str, object], values: Mapping[str, object]
) -> None:
    kind = type(record)
    unique = [(name,) for name, meaning in meanings(kind).items() if meaning.unique and name != "uuid"]
    for group in (*unique, *kind.GROUPS_UNIQUE):
        if not set(group) & set(values):
            continue
        holder = rows.ids_by(book, kind, group).get(tuple(whole[name] for name in group))
        if holder is not None and holder != record.id:
            said = " ".join(str(whole[name]) for name in group if not name.endswith("_id"))
            raise _impossible(
                f"another {words(table_name(kind))} holds {group[-1]} {said}",
                "A withdrawn one keeps its own; choose another.",
            )


def require_name_free(
    book: Book, record: Row, whole: Mapping[str, object], values: Mapping[str, object]
) -> None:
    """Let no two sites, and no two trees of a site, be called alike.

    Raises
    ------
    ValueImpossible
        When another one in view bears the name.
    """
    if isinstance(record, Site) and "name" in values:
        bearers = [s.id for s in rows.records(book, Site) if _alike(s.name, whole["name"])]
    elif isinstance(record, HostTree) and {"tag", "site_id"} & set(values):
        in_site = rows.table_for(HostTree).c.site_id == whole["site_id"]
        bearers = [t.id for t in rows.records(book, HostTree, in_site) if _alike(t.tag, whole["tag"])]
    else:
        return
    if set(bearers) - {record.id}:
        kind = table_name(type(record))
        raise _impossible(
            f"another {words(kind)} is called so",
            f"If the two are one, `sitebook merge {kind} KEPT OTHER` makes them one.",
        )


def _alike(one: str, other: object) -> bool:
    return folded(one) == folded(str(other))


def _require_no_circle(book: Book, record: Row, values: Mapping[str, object]) -> None:
    for column, meaning in meanings(type(record)).items():
        if meaning.refers != table_name(type(record)) or not isinstance(values.get(column), int):
            continue
        at, passed = values[column], set()
        while isinstance(at, int) and at not in passed:
            if at == record.id:
                raise _impossible(f"{column.removesuffix('_id')} leads back to itself", "Name another.")
            passed.add(at)
            at = getattr(by_id(book, table_name(type(record)), at), column)


def _require_place(whole: Mapping[str, object]) -> None:
    if whole["visit_id"] is None and whole["geom"] is None:
        raise _impossible("nothing would say where it was found", "Keep its site, or give lon and lat.")


def _require_day_of_visit(book: Book, whole: Mapping[str, object], names: Names) -> None:
    first, last = whole["found_on"], whole["found_on_end"] or whole["found_on"]
    if not isinstance(whole["visit_id"], int) or not isinstance(first, datetime.date):
        return
    visit = visit_at(book, whole["visit_id"])
    end = visit.local_date_end or visit.local_date
    if isinstance(last, datetime.date) and (last < visit.local_date or first > end):
        called = names.shown.get("visit", {}).get(whole["visit_id"], visit.local_date.isoformat())
        raise _impossible(
            f"found_on {first} is no day of its visit {called}",
            "Say site=NAME too to move it to the visit of that day, or site= to take it off its visit.",
        )


def _require_hour_of_day(record: Visit, whole: Mapping[str, object]) -> None:
    if record.started_at is not None and whole["local_date"] != record.local_date:
        raise _impossible(
            "started_at is an hour of the day it had before",
            "Give started_at too, or empty it with started_at=.",
        )


def remarks(book: Book, record: Row, values: Mapping[str, object]) -> tuple[str, ...]:
    """Say which finds of a visit keep another day than the visit has now."""
    if not isinstance(record, Visit) or "local_date" not in values:
        return ()
    finds = rows.records(book, Find, rows.table_for(Find).c.visit_id == record.id)
    first, last = values["local_date"], values.get("local_date_end") or values["local_date"]
    other = [f for f in finds if f.found_on and not first <= f.found_on <= last]  # type: ignore[operator]
    if not other:
        return ()
    return (f"{len(other)} finds of this visit still say another day; change their found_on too.",)
