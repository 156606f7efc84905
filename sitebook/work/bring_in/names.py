"""Finds the record that a person means by a name."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from sitebook.records.find import Find
from sitebook.records.host_tree import HostTree
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.lab_test import LabTest
from sitebook.records.map_data import Extract
from sitebook.records.outing import Track, Visit
from sitebook.records.person import Person
from sitebook.records.photo import Photo
from sitebook.records.site import Permission, Site
from sitebook.records.spraying import Spraying
from sitebook.records.standing import Row
from sitebook.records.taxon import Taxon, VernacularName
from sitebook.records.weather import WeatherStation
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.former_names import earlier_values, merged_records

NAMED: tuple[type[Row], ...] = (
    Person,
    Taxon,
    VernacularName,
    Site,
    Permission,
    HostTree,
    Track,
    Visit,
    Find,
    Extract,
    WeatherStation,
    Photo,
    Spraying,
    LabTest,
)
"""Kinds that others refer to by a name, each after those its own name is made of."""


_VISIT = re.compile(r"(?P<site>.*)@\d{4}-\d{2}-\d{2}(@\d{2}:\d{2})?")

_TREE = re.compile(r"(?P<site>[^|]*)\|[^|]*")


def site_of_visit(name: str) -> str:
    """Give the site in a visit's name, as `Mill Park` in `Mill Park@2025-09-14@08:30`."""
    found = _VISIT.fullmatch(name)
    return found["site"] if found else name


def folded(name: str) -> str:
    """Give a name as it is compared: without case and without doubled blanks."""
    return " ".join(name.split()).casefold()


@dataclass
class Names:
    """Every name in the book and among the rows on their way, by table.

    Parameters
    ----------
    ids
        Table to folded name to the ids that bear it.
    shown
        Table to id to the name it is called by in other names.
    """

    ids: dict[str, dict[str, set[int]]] = field(default_factory=dict)
    shown: dict[str, dict[int, str]] = field(default_factory=dict)

    def add(self, kind: str, key: int, values: Mapping[str, object], *more: str) -> None:
        """Let a record be found by its natural names, by its UUID and by any further ones."""
        table = "taxon" if kind == "vernacular_name" else kind
        found = natural_names(kind, values, self)
        target = _int(values.get("taxon_id")) if kind == "vernacular_name" else key
        self.call(table, target, *found, *more)
        if kind != "vernacular_name" and isinstance(values.get("uuid"), str):
            self.call(table, target, str(values["uuid"]))
        if found and kind != "vernacular_name":
            self.shown.setdefault(kind, {})[key] = found[0]

    def call(self, kind: str, key: int, *names: str) -> None:
        """Let a record be found by further names."""
        for name in names:
            self.ids.setdefault(kind, {}).setdefault(folded(name), set()).add(key)

    def find(self, kind: str, name: str) -> set[int]:
        """Give the ids that bear a name: none, one, or several.

        A visit or tree is also found by what its site was called before it was renamed or merged.
        """
        found = self.ids.get(kind, {}).get(folded(name), set())
        today = self._site_named_anew(kind, name) if not found else None
        return found if today is None else self.ids.get(kind, {}).get(folded(today), set())

    def _site_named_anew(self, kind: str, name: str) -> str | None:
        parts = _VISIT.fullmatch(name) if kind == "visit" else None
        parts = _TREE.fullmatch(name) if kind == "host_tree" else parts
        sites = self.find("site", parts["site"]) if parts else set()
        if len(sites) != 1 or parts is None:
            return None
        shown = self.shown.get("site", {}).get(next(iter(sites)))
        return None if shown is None else shown + name[parts.end("site") :]

    def called_now(self, kind: str, key: object) -> str | None:
        """Give what a record is called in other names; None for a key that names nothing."""
        return self.shown.get(kind, {}).get(_int(key))

    def near(self, kind: str, name: str, *, alike: float = 0.7) -> str | None:
        """Give the nearest name of a kind, for a hint; None where nothing is near."""
        close = difflib.get_close_matches(folded(name), self.ids.get(kind, {}), n=1, cutoff=alike)
        if not close:
            return None
        (key, *_) = self.ids[kind][close[0]]
        return self.shown.get(kind, {}).get(key, close[0])


def natural_names(kind: str, values: Mapping[str, object], names: Names) -> tuple[str, ...]:
    """Give what a person calls a record, the commonest name first."""
    one = {
        "site": "name",
        "taxon": "scientific_name",
        "vernacular_name": "vernacular",
        "weather_station": "code",
        "permission": "manager",
        "lab_test": "report_number",
    }
    if kind in one:
        return (str(values[one[kind]]),)
    two = {"person": ("initials", "name"), "photo": ("file_name", "sha256")}
    if kind in two:
        return tuple(str(values[column]) for column in two[kind])
    if kind == "host_tree":
        site = names.shown.get("site", {}).get(_int(values.get("site_id")))
        tag = str(values["tag"])
        return (tag, f"{site}|{tag}", f"{site}/{tag}") if site else (tag,)
    if kind in ("visit", "spraying"):
        return _visit_names(values, names) if kind == "visit" else _spraying_names(values)
    number = values.get("collection_number")
    if kind == "find" and number is not None:
        initials = names.shown.get("person", {}).get(_int(values["collector_id"]))
        return (f"{initials} {number}",)
    return ()


def _visit_names(values: Mapping[str, object], names: Names) -> tuple[str, ...]:
    site = names.shown.get("site", {}).get(_int(values.get("site_id")))
    if site is None:
        return ()
    day, began = f"{site}@{values['local_date']}", values.get("started_at")
    if isinstance(began, datetime.datetime):
        return day, f"{day}@{began.astimezone(datetime.UTC):%H:%M}"
    return (day,)


def _spraying_names(values: Mapping[str, object]) -> tuple[str, ...]:
    ground, day = str(values["ground"]), values.get("applied_on")
    return (ground,) if day is None else (f"{ground}@{day}", ground)


def _int(value: object) -> int:
    return value if isinstance(value, int) else -1


def names_in(book: Book) -> Names:
    """Gather the names of every record that stands in the book.

    A name that a record had before it was renamed or merged leads to it too, unless another bears it now.
    """
    names = Names()
    for kind in NAMED:
        table = table_name(kind)
        for record in rows.records(book, kind):
            add_record(names, table, record)
        for record in rows.records(book, kind, rows.out_of_view(table), withdrawn=True):
            _show_only(names, table, record)
        _add_former(book, names, table)
    return names


def names_of_withdrawn(book: Book, kind: str) -> Names:
    """Gather the names of the records of one kind that were withdrawn."""
    names, away = Names(shown=names_in(book).shown), rows.table_for(KINDS[kind]).c.withdrawn_at.is_not(None)
    for record in rows.records(book, KINDS[kind], away, withdrawn=True):
        add_record(names, kind, record)
    return names


def _show_only(names: Names, table: str, record: Row) -> None:
    """Let a record that is out of view be called by its name where another one speaks of it."""
    found = natural_names(table, rows.values_of(record), names)
    if found and record.id is not None and table != "vernacular_name":
        names.shown.setdefault(table, {})[record.id] = found[0]


def _add_former(book: Book, names: Names, table: str) -> None:
    former: dict[str, set[int]] = {}
    places = [(key, rows.values_of(record)) for key, record in merged_records(book, table)]
    for key, values in (*places, *earlier_values(book, table)):
        for name in natural_names(table, values, names):
            former.setdefault(name, set()).add(key)
    for name, keys in former.items():
        if not names.ids.get(table, {}).get(folded(name)):
            for key in keys:
                names.call(table, key, name)


def add_record(names: Names, table: str, record: Row, more: Iterable[str] = ()) -> None:
    """Let a kept record be found by its names."""
    if record.id is not None:
        names.add(table, record.id, rows.values_of(record), *more)
