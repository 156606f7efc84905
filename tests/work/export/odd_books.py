"""Draws records with odd texts into a book, and tells what is in a book apart from keys and instants."""

from __future__ import annotations

import dataclasses
import datetime
import sqlite3
import uuid
from collections import defaultdict
from contextlib import closing
from pathlib import Path
from typing import Any

import shapely
from hypothesis import strategies as st

from sitebook.intake.table.kinds import LAYOUTS
from sitebook.records.columns import Meaning, column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Row, Standing
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.bring_in.days_ahead import PAST
from tests.work import books

KINDS_DRAWN = (
    "person",
    "taxon",
    "vernacular_name",
    "taxon_trait",
    "look_alike",
    "site",
    "permission",
    "permission_site",
    "permission_closed_day",
    "host_tree",
    "track",
    "visit",
    "visit_person",
    "look",
    "find",
    "find_host",
    "determination",
    "traffic_count",
    "hazard",
    "spraying",
    "spraying_active",
    "lab_test",
    "lab_result",
    "weather_station",
    "weather_day",
    "setting",
)
"""Kinds whose records come back from tables, each after those it refers to."""

ASIDE = frozenset({"id", "created_at", "changed_at", "batch_id", "entered_by"})
"""Columns that belong to one book alone."""

ODD_TEXTS = (
    "=1+1",
    "+351 22",
    "-",
    "@SUM(A1)",
    "'=x",
    "''",
    "'s-Gravenhage",
    "'",
    'say "when"',
    '"',
    "a,b;c|d",
    "Mill@2024-10-03",
    "#1 oak",
    "two\nlines",
    "a\tb",
    "\ufeffmark",
    "ſtraße ẞ İ 漢字 🍄",
    "n" * 9_999,
    "sep=;",
    "# sitebook table: site",
    '=HYPERLINK("http://x")',
    "＝1",
    "Suillus cf. luteus",
    "sp.",
    "null",
    "yes",
    "<script>alert(1)</script>",
    "a  b",
    "A B",
    "\u2028x",
)
ALPHABET = st.characters(exclude_categories=("Cs", "Cc"))
TEXTS = st.one_of(st.sampled_from(ODD_TEXTS), st.text(ALPHABET, min_size=1, max_size=12)).filter(
    lambda text: text.strip() == text and text != ""
)
SHORT_WORDS = st.text("abcXYZ='@#;|é ", min_size=1, max_size=6).filter(
    lambda text: " ".join(text.split()) == text
)
RANGES = {
    "heavy_share": (0.0, 1.0),
    "rain_day_offset_d": (-1, 1),
    "weekday": (1, 7),
    "counted_hour": (0, 23),
    "counted_minutes": (1.0, 1440.0),
    "dry_matter_fraction": (0.1, 1.0),
    "piece": (1, 3),
    "temp_min_degc": (-20.0, 50.0),
    "temp_max_degc": (-20.0, 50.0),
}
SHORT = frozenset({"initials", "code", "flags"})
PLAIN = {
    "zone": st.sampled_from(("UTC", "Europe/Lisbon", "Atlantic/Azores")),
    "country_code": st.sampled_from(("PT", "FI")),
    "language": st.sampled_from(("en", "pt-BR")),
    "opens_at": st.just("08:00"),
    "closes_at": st.just("18:30"),
    "setting_key": st.just("poison_centre"),
}
DEGREES = st.tuples(st.floats(-19.6, -19.2), st.floats(48.4, 48.8))


@dataclasses.dataclass
class Drawn:
    """A book on its way: what was drawn so far, by kind."""

    draw: Any
    book: Book
    ids: dict[str, list[int]] = dataclasses.field(default_factory=lambda: defaultdict(list))
    seen: set[tuple[object, ...]] = dataclasses.field(default_factory=set)


def fill(draw: Any, book: Book) -> None:  # noqa: ANN401 - hypothesis' own
    """Draw up to three records of each kind into a book."""
    drawn = Drawn(draw, book)
    for name in ("person", "taxon"):
        drawn.ids[name] = [r.id for r in rows.records(book, KINDS[name])[:2] if r.id is not None]
    for kind in KINDS_DRAWN:
        made = [_record(drawn, kind) for _ in range(draw(st.integers(0, 3), label=kind))]
        drawn.ids[kind] += rows.insert(book, [record for record in made if record is not None])


def _record(drawn: Drawn, kind: str) -> Row | None:
    record, said, types = KINDS[kind], meanings(KINDS[kind]), column_types(KINDS[kind])
    standing: dict[str, Any] = {}
    if issubclass(record, Standing):
        own = drawn.draw(st.integers(0, 2**128 - 1))
        standing = {"uuid": str(uuid.UUID(int=own)), "created_at": books.NOW, "changed_at": books.NOW}
    aside = set(meanings(Standing)) | {
        "id",
        "geom",
        "merged_into",
        "batch_id",
        "osm_ref",
        "extract_id",
        "raw_tags",
    }
    values: dict[str, Any] = {}
    for name in said:
        if name in aside:
            continue
        if said[name].null is not None and drawn.draw(st.booleans()):
            continue
        value = _value(drawn, kind, name, said[name], types[name].python)
        if value is None and said[name].null is None:
            return None
        values[name] = value
    _fit(drawn, kind, values)
    keys = [tuple(values.get(c) for c in group) for group in record.GROUPS_UNIQUE]
    keys += [(name, values[name]) for name in values if said[name].unique]
    keys += [("uuid", standing["uuid"])] if standing else []
    if not issubclass(record, Standing) and not record.GROUPS_UNIQUE:
        keys.append(tuple(values.values()))
    if any((kind, *key) in drawn.seen for key in keys):
        return None
    drawn.seen |= {(kind, *key) for key in keys}
    return record(**standing, **values)


def _value(drawn: Drawn, kind: str, name: str, meaning: Meaning, python: type) -> object:
    if meaning.refers:
        known = drawn.ids[meaning.refers]
        return drawn.draw(st.sampled_from(known)) if known else None
    column = LAYOUTS[kind].by_header.get(name) if kind in LAYOUTS else None
    words = (column.words if column else None) or meaning.words
    if words:
        return drawn.draw(st.sampled_from(words.all))
    if name in PLAIN:
        return drawn.draw(PLAIN[name])
    if python is str:
        return drawn.draw(SHORT_WORDS if name in SHORT else TEXTS)
    low, high = RANGES.get(name, (1, 100))
    by_type: dict[type, st.SearchStrategy[Any]] = {
        bool: st.booleans(),
        int: st.integers(int(low), int(high)),
        float: st.floats(float(low), float(high)),
        datetime.date: st.dates(datetime.date(1900, 1, 1), _last_day(kind)),
        datetime.datetime: st.integers(400_000_000_000, 4_000_000_000_000).map(_instant),
    }
    return drawn.draw(by_type[python])


def _last_day(kind: str) -> datetime.date:
    """Give the last day to draw: what was done on a day that has not come is refused by every reader."""
    return books.TODAY if kind in PAST else datetime.date(2100, 1, 1)


def _instant(milliseconds: int) -> datetime.datetime:
    return datetime.datetime.fromtimestamp(0, datetime.UTC) + datetime.timedelta(milliseconds=milliseconds)


def _fit(drawn: Drawn, kind: str, values: dict[str, Any]) -> None:
    """Let the columns of one record agree, as every reader sees to it."""
    for first, last in (
        ("local_date", "local_date_end"),
        ("found_on", "found_on_end"),
        ("valid_from", "valid_to"),
        ("applied_on", "applied_on_end"),
        ("applied_on", "closed_on"),
        ("depth_from_cm", "depth_to_cm"),
        ("low", "high"),
        ("temp_min_degc", "temp_max_degc"),
    ):
        if values.get(first) is None or (values.get(last) is not None and values[last] <= values[first]):
            values.pop(last, None)
    if "geom" in meanings(KINDS[kind]):
        values |= _place(drawn, kind)
    if kind == "permission_closed_day" and "weekday" in values:
        values.pop("closed_on", None)
    if kind == "permission_closed_day" and "weekday" not in values:
        values.setdefault("closed_on", datetime.date(2024, 12, 24))
    if kind == "weather_day":
        values.setdefault("rain_mm", 0.0)
    if kind == "track":
        _fit_track(drawn, values)


def _place(drawn: Drawn, kind: str) -> dict[str, Any]:
    meaning = meanings(KINDS[kind])["geom"]
    if meaning.null is not None and drawn.draw(st.booleans()):
        return {}
    lon, lat = drawn.draw(DEGREES)
    square = shapely.box(lon, lat, lon + 0.001, lat + 0.001)
    point = shapely.Point(lon, lat)
    if kind == "site":
        as_point = drawn.draw(st.booleans())
        return {"geom": point, "radius_m": 30.0} if as_point else {"geom": square, "radius_m": None}
    if kind == "permission":
        return {"geom": square}
    if kind == "track":
        return {"geom": shapely.LineString([(lon, lat), (lon + 0.01, lat), (lon + 0.01, lat + 0.01)])}
    return {"geom": point if meaning.geometry == "POINT" else drawn.draw(st.sampled_from((point, square)))}


def _fit_track(drawn: Drawn, values: dict[str, Any]) -> None:
    """Give a track of three points the times and heights its reader writes, and a name with single blanks."""
    timed = values.get("started_at") is not None
    values["ended_at"] = values["started_at"] + datetime.timedelta(seconds=90.5) if timed else None
    values["started_at"] = values["started_at"] if timed else None
    values["point_seconds"] = drawn.draw(st.sampled_from(("0,30,90.5", "0,,90.5"))) if timed else None
    values["point_elevations_m"] = drawn.draw(st.sampled_from((None, "1,,3.25", "-2.5,0,7")))
    if values.get("name"):
        values["name"] = " ".join(values["name"].split())[:50].strip()


def contents(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give every standing row of the kinds that come back, keys replaced by UUIDs, in a fixed order."""
    with closing(sqlite3.connect(path)) as book:
        uuids = {
            (kind, key): own
            for kind, record in KINDS.items()
            if "uuid" in meanings(record)
            for key, own in book.execute(f"SELECT id, uuid FROM {kind}")  # noqa: S608
        }
        return {kind: sorted(_told(book, kind, uuids), key=repr) for kind in KINDS_DRAWN}


def _told(book: sqlite3.Connection, kind: str, uuids: dict[tuple[str, int], str]) -> list[tuple[object, ...]]:
    said = {name: meaning for name, meaning in meanings(KINDS[kind]).items() if name not in ASIDE}
    standing = " WHERE withdrawn_at IS NULL" if "withdrawn_at" in said else ""
    standing += " AND osm_ref IS NULL" if kind == "hazard" else ""
    found = book.execute(f"SELECT {', '.join(said)} FROM {kind}{standing}")  # noqa: S608
    refers = [meaning.refers for meaning in said.values()]
    return [
        tuple(
            uuids.get((str(kind), value), value) if kind else value
            for kind, value in zip(refers, row, strict=True)
        )
        for row in found
    ]
