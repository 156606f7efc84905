"""Turns the records of a book into the rows of its tables, references written as names."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.intake.table.columns import header_of
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.map_data import Hazard
from sitebook.records.outing import VisitPerson
from sitebook.records.photo import Photo, PhotoLink
from sitebook.records.site import PermissionClosedDay, PermissionSite
from sitebook.records.standing import Row
from sitebook.records.weather import WeatherDay, WeatherStation
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.export.naming import Naming

Cells = dict[str, object]
"""Value by header."""

LIST_SIGNS = ";|"
PART = "; "
NOT_SHOWN = ("photo", "person", "import_batch")
"""Kinds that a photo's link refers to without showing them."""


@dataclass
class Tables:
    """Rows by kind of table; what hangs on something withdrawn is out of view with it.

    Parameters
    ----------
    rows
        Rows by kind, kinds without a row left out.
    emptied
        How many references to something withdrawn were left empty, by kind.
    """

    rows: dict[str, list[Cells]] = field(default_factory=dict)
    emptied: Counter[str] = field(default_factory=Counter)


def tables_of(book: Book, naming: Naming) -> Tables:
    """Give the rows of every kind of table but tracks, which go out as GPX."""
    tables = Tables()
    hung: dict[str, Callable[[], Mapping[int, Cells]]] = {
        "visit": lambda: _companions(book, naming),
        "permission": lambda: _sites_and_closed_days(book, naming),
    }
    for kind in LAYOUTS:
        if kind == "person" and not naming.with_people:
            continue
        more = hung[kind]() if kind in hung else {}
        found = [record for record in rows.records(book, KINDS[kind]) if _goes_out(record)]
        if found:
            tables.rows[kind] = [_row(kind, r, naming, tables, more.get(r.id or 0, {})) for r in found]
    for kind, found_rows in (("weather", _weather(book)), ("photo", _photos(book, naming))):
        if found_rows:
            tables.rows[kind] = found_rows
    return tables


def _goes_out(record: Row) -> bool:
    """Leave to the map extract what came with it."""
    return not (isinstance(record, Hazard) and record.osm_ref is not None)


def _row(kind: str, record: Row, naming: Naming, tables: Tables, more: Cells) -> Cells:
    known = LAYOUTS[kind].by_header
    cells: Cells = {}
    for name, meaning in meanings(type(record)).items():
        value = getattr(record, name)
        header = header_of(name, meaning)
        if meaning.geometry:
            cells |= place_cells(value)
        elif header in known and meaning.refers and value is not None:
            if naming.stands(meaning.refers, value):
                cells[header] = naming.called(meaning.refers, value)
            else:
                tables.emptied[kind] += 1
        elif header in known:
            cells[header] = value
    return cells | more


def place_cells(shape: BaseGeometry | None) -> Cells:
    """Give the cells of a place: lon and lat of a point, else its outline with every digit."""
    if shape is None:
        return {}
    if isinstance(shape, shapely.Point):
        return {"lon": shape.x, "lat": shape.y}
    return {"outline_wkt": shapely.to_wkt(shape, rounding_precision=-1)}


def _companions(book: Book, naming: Naming) -> dict[int, Cells]:
    came: defaultdict[int, list[str]] = defaultdict(list)
    for row in rows.records(book, VisitPerson):
        came[row.visit_id].append(naming.called("person", row.person_id, apart=LIST_SIGNS))
    return {visit_id: {"companions": PART.join(initials)} for visit_id, initials in came.items()}


def _sites_and_closed_days(book: Book, naming: Naming) -> dict[int, Cells]:
    sites: defaultdict[int, list[str]] = defaultdict(list)
    for row in rows.records(book, PermissionSite):
        if naming.stands("site", row.site_id):
            sites[row.permission_id].append(naming.called("site", row.site_id, apart=LIST_SIGNS))
    weekdays: defaultdict[int, list[str]] = defaultdict(list)
    dates: defaultdict[int, list[str]] = defaultdict(list)
    for closed in rows.records(book, PermissionClosedDay):
        if closed.weekday is not None:
            weekdays[closed.permission_id].append(str(closed.weekday))
        if closed.closed_on is not None:
            dates[closed.permission_id].append(closed.closed_on.isoformat())
    return {
        key: {
            header: joined
            for header, joined in (
                ("sites", PART.join(sites.get(key, ()))),
                ("closed_weekdays", " ".join(weekdays.get(key, ()))),
                ("closed_dates", " ".join(dates.get(key, ()))),
            )
            if joined
        }
        for key in {*sites, *weekdays, *dates}
    }


def _weather(book: Book) -> list[Cells]:
    codes = {station.id: station.code for station in rows.records(book, WeatherStation)}
    days = [day for day in rows.records(book, WeatherDay) if day.station_id in codes]
    columns = [name for name in meanings(WeatherDay) if name not in ("id", "station_id", "batch_id")]
    return [
        {"station": codes[day.station_id], **{column: getattr(day, column) for column in columns}}
        for day in days
    ]


def _photos(book: Book, naming: Naming) -> list[Cells]:
    shows: defaultdict[int, list[str]] = defaultdict(list)
    for link in rows.records(book, PhotoLink):
        shows[link.photo_id] += _shown(link, naming)
    told = ("file_name", "sha256", "media_type", "camera", "taken_at", "tag_number")
    return [
        {name: getattr(photo, name) for name in told}
        | place_cells(photo.geom)
        | {"shows": PART.join(shows.get(photo.id or 0, ()))}
        for photo in rows.records(book, Photo)
    ]


def _shown(link: PhotoLink, naming: Naming) -> Iterable[str]:
    for name, meaning in meanings(PhotoLink).items():
        key = getattr(link, name)
        kind = meaning.refers or "photo"
        if kind not in NOT_SHOWN and isinstance(key, int) and naming.stands(kind, key):
            yield f"{kind.replace('_', ' ')} {naming.called(kind, key)}"
