"""Adds one record typed on the command line, as one line of its table would."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitebook import errors
from sitebook.intake.cells import CellError
from sitebook.intake.table.columns import TableColumn
from sitebook.intake.table.kinds import LAYOUTS, own_headers
from sitebook.intake.table.typed import read_typed
from sitebook.records.incoming import Reading
from sitebook.records.kinds import KINDS
from sitebook.records.settings import Settings
from sitebook.records.standing import Standing
from sitebook.store import acts, history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer
from sitebook.work.bring_in.completing import complete
from sitebook.work.bring_in.days_ahead import local_day, refuse_ahead
from sitebook.work.bring_in.distances import refuse_far
from sitebook.work.bring_in.gathering import Arrival, Gathered, uuid_for
from sitebook.work.bring_in.keeping import Keeping, keep_kind
from sitebook.work.bring_in.names import names_in
from sitebook.work.bring_in.settling import settle_names
from sitebook.work.bring_in.stops import join_stops
from sitebook.work.opening import book_row, owner
from sitebook.work.photos.words import sort_anew
from sitebook.work.settings import settings_of

TYPED = -1
"""Stands for the file of a row that came with none."""


@dataclass(frozen=True)
class Asked:
    """One field that may be filled.

    Parameters
    ----------
    name
        Header of its column.
    meaning
        What it holds, in words.
    required
        Whether it must be filled.
    words
        What may stand in it; empty where anything may.
    unless
        Where the field may be left away and yet is asked for: the fields, or FIELD=VALUE, that make it
        needless; None where it is not asked for.
    """

    name: str
    meaning: str
    required: bool
    words: tuple[str, ...]
    unless: tuple[str, ...] | None = None

    def is_needless(self, cells: Mapping[str, str]) -> bool:
        """Whether what is filled already makes it needless to ask for the field."""
        said = {name for name, text in cells.items() if text.strip()}
        said |= {f"{name}={text.strip()}" for name, text in cells.items()}
        return self.unless is None or bool(said & {self.name, *self.unless})


PLACED_BY = ("site", "lon", "outline_wkt", "line_wkt")
OFFERED: dict[str, dict[str, tuple[str, ...]]] = {
    "spraying": {
        "applied_on": ("state=never",),
        "actives": ("state=never",),
        "method": ("state=never",),
        "told_on": (),
        "site": PLACED_BY,
        "lon": PLACED_BY,
        "lat": ("site", "outline_wkt", "line_wkt"),
        "ground": ("site",),
    },
    "lab_test": {
        "site": ("host_tree", "find"),
        "host_tree": ("site", "find"),
        "find": ("site", "host_tree"),
        "results": (),
        "depth_from_cm": ("material=mushroom", "material=plant"),
        "depth_to_cm": ("material=mushroom", "material=plant"),
        "dry_matter_fraction": ("material=soil", "material=dust"),
    },
    "hazard": {
        "name": (),
        "past_use": (),
        "site": PLACED_BY,
        "lon": PLACED_BY,
        "lat": ("site", "outline_wkt", "line_wkt"),
    },
    "traffic_count": {
        "counted_vehicles": ("vehicles_per_day",),
        "counted_minutes": ("vehicles_per_day",),
        "counted_hour": ("vehicles_per_day",),
        "vehicles_per_day": ("counted_vehicles",),
        "counted_on": (),
    },
}
"""Fields that a kind can stand without and that weigh much: what makes each of them needless, in turn."""


def fields_of(kind: str) -> tuple[Asked, ...]:
    """Give the fields of a kind, those that must be filled first.

    Raises
    ------
    BadArgument
        When no record of the kind can be typed.
    """
    layout = _layout_of(kind)
    offered = OFFERED.get(kind, {})
    asked = [
        Asked(c.header, c.doc, c.required, c.words.all if c.words else (), offered.get(c.header))
        for c in layout
        if c.header != "uuid" and not c.by_export
    ]
    turn = {name: place for place, name in enumerate(offered)}
    return tuple(sorted(asked, key=lambda field: (not field.required, turn.get(field.name, len(turn)))))


def _layout_of(kind: str) -> Sequence[TableColumn]:
    if kind not in LAYOUTS:
        raise errors.BadArgument(
            f"no record of kind '{kind}' can be typed", remedy=f"There are: {', '.join(LAYOUTS)}."
        )
    return LAYOUTS[kind].columns


def add(
    book: Book,
    kind: str,
    cells: Mapping[str, str],
    *,
    now: datetime.datetime,
    far: bool = False,
    settings: Settings | None = None,
) -> Answer[dict[str, int]]:
    """Add one record; answers how many rows it made of which table.

    Raises
    ------
    BadArgument
        When there is no such kind or field.
    ValueImpossible
        When a value cannot be, a name stands nowhere, or the same record says otherwise.
    """
    known = {column.header for column in _layout_of(kind)}
    cells = _under_own_headers(kind, cells)
    if unknown := sorted(set(cells) - known):
        raise errors.BadArgument(
            f"a {kind.replace('_', ' ')} has no field '{unknown[0]}'",
            remedy=f"Its fields: {', '.join(sorted(known))}.",
        )
    row = book_row(book)
    reading = read_typed(kind, cells, zone=row.zone)
    _require_kept(reading)
    gathered = _gathered(reading, owner(book).initials)
    refuse_ahead(gathered, row.zone, now)
    _require_all_kept(gathered)
    if not far:
        refuse_far(book, gathered, (settings or settings_of(book)).far_km)
    with acting(book, Act(f"add {kind}", now)):
        names = names_in(book)
        settle_names(gathered, names)
        complete(gathered, names, row.zone)
        keeping = Keeping(book, names, gathered, now, row.owner_id, gone=acts.not_standing(book))
        made = {table: ids for table in KINDS if (ids := keep_kind(keeping, table))}
        _require_all_kept(gathered)
        _note_made(book, made)
        if "visit" in made:
            join_stops(book, now=now, gone=keeping.gone)
        if kind == "photo_tag":
            sort_anew(book, (), now=now)
    kept = Counter(keeping.added) + Counter(keeping.changed)
    counts = {table: kept[TYPED, table] for table in KINDS if kept[TYPED, table]}
    return Answer(counts, remarks=tuple(gathered.remarks()))


def _under_own_headers(kind: str, cells: Mapping[str, str]) -> dict[str, str]:
    try:
        return own_headers(kind, cells)
    except CellError as reason:
        raise errors.ValueImpossible(str(reason), remedy="Nothing was kept.") from reason


def _note_made(book: Book, made: Mapping[str, Sequence[int]]) -> None:
    for table, ids in made.items():
        if issubclass(KINDS[table], Standing):
            key = rows.table_for(KINDS[table]).c.id
            history.note_made(book, rows.records(book, KINDS[table], key.in_(ids)))


def _gathered(reading: Reading, initials: str) -> Gathered:
    gathered = Gathered([])
    for draft in reading.drafts:
        gathered.arrivals.setdefault(draft.kind, []).append(Arrival(draft, uuid_for(draft, initials), TYPED))
    return gathered


def _require_kept(reading: Reading) -> None:
    if reading.sorted_lines:
        line = reading.sorted_lines[0]
        raise errors.ValueImpossible(line.reason, remedy="Nothing was kept.")


def _require_all_kept(gathered: Gathered) -> None:
    if lines := gathered.sorted_lines.get(TYPED):
        raise errors.ValueImpossible(lines[0].reason, remedy="Nothing was kept.")
    if gathered.already.get(TYPED):
        raise errors.ValueImpossible("the book holds this record already", remedy="Nothing was kept.")


def local_today(book: Book, now: datetime.datetime) -> datetime.date:
    """Give the local date of an instant in the book's zone."""
    return local_day(book_row(book).zone, now)
