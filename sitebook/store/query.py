"""Asks the book in SQL with the functions of SpatiaLite, and never writes."""

from __future__ import annotations

import itertools
import json
import re
import sqlite3
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import closing, contextmanager
from os import close, dup, dup2
from pathlib import Path
from typing import IO

import pyogrio
import shapely
from pyogrio.errors import DataLayerError, DataSourceError

from sitebook import errors
from sitebook.records.results.going_out import QueryAnswer
from sitebook.store.accidents import told_in_words
from sitebook.store.book import Book

READING = {
    sqlite3.SQLITE_SELECT,
    sqlite3.SQLITE_READ,
    sqlite3.SQLITE_FUNCTION,
    sqlite3.SQLITE_RECURSIVE,
}
"""What a question may do; all else is refused by SQLite itself before anything runs."""

REACHES_OUT = re.compile(r"file|export|import|load_extension|eval|dxf|shp|dbf|http", re.IGNORECASE)
"""Functions of SpatiaLite and SQLite that would read or write other files."""

ASIDE = re.compile(r"(?:\s+|--[^\n]*(?:\n|$)|/\*.*?(?:\*/|$))*", re.DOTALL)
UNKNOWN_FUNCTION = re.compile(r"no such function: (\S+)")
MOST_FUNCTIONS = 100
FIRST = "a first row, since the driver takes an answer without rows for a fault"
MOST_REMARKS = 5
STDERR = 2
NO_SYSTEM = re.compile(r"unknown SRID: \d+\s+<no such table: spatial_ref_sys>")
"""What SpatiaLite says when it reckons on an ellipsoid without knowing the book's reference system."""

INEXACT = (
    "A distance on the ellipsoid, as ST_Distance(one, other, 1) gives it, is several percent off here: "
    "turn both into metres with ST_Transform, as docs/queries.md shows."
)


def ask(book: Book, sql: str, *, most_rows: int) -> QueryAnswer:
    """Answer one SELECT on the book.

    Parameters
    ----------
    book
        The open book, not held for writing; its file is asked, and its own connection lets go of it.
    sql
        One statement that begins with SELECT or WITH.
    most_rows
        Rows beyond this many are cut off, and the answer says so.

    Raises
    ------
    QueryRefused
        When it is no question, several statements, or would reach beyond the book.
    QueryFailed
        When it cannot be understood or run.
    BookBusy
        When another program is writing.
    """
    statement = _one_question(sql)
    book.connection.rollback()
    with told_in_words(book.path):
        columns = _columns(book.path, statement)
    found, remarks = _run(book.path, _wrapped(statement, len(columns)), most_rows + 1)
    rows = tuple(tuple(map(_value, pairs[::2], pairs[1::2])) for pairs in map(json.loads, found[:most_rows]))
    return QueryAnswer(columns, rows, cut_off=len(found) > most_rows, remarks=remarks)


def _one_question(sql: str) -> str:
    statement = sql[_aside_end(sql, 0) :].rstrip().rstrip(";").rstrip()
    word = re.match(r"\w*", statement)
    if word is None or word[0].upper() not in {"SELECT", "WITH"}:
        raise errors.QueryRefused(
            "only questions are answered: a query begins with SELECT or WITH",
            remedy="To change something use sitebook's own commands; nothing was done.",
        )
    return statement


def _aside_end(sql: str, start: int) -> int:
    found = ASIDE.match(sql, start)
    return found.end() if found else start


def _columns(path: Path, statement: str) -> tuple[str, ...]:
    """Let SQLite look the statement over, and give the names of its columns."""
    denied: list[str] = []
    address = f"{path.resolve().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True, timeout=1.0)) as book:
        book.set_authorizer(lambda action, one, two, *_: _allowed(action, one, two, denied))
        for _ in range(MOST_FUNCTIONS):
            try:
                book.execute(f"EXPLAIN {statement}")
                cursor = book.execute(f"SELECT * FROM (\n{statement}\n) LIMIT 0")  # noqa: S608 - checked above
                return tuple(str(column[0]) for column in cursor.description)
            except (sqlite3.OperationalError, sqlite3.ProgrammingError, sqlite3.Warning) as error:
                unknown = UNKNOWN_FUNCTION.search(str(error))
                if unknown is None or denied:
                    raise _in_words(error, denied) from error
                book.create_function(unknown[1].strip("'\""), -1, _stand_in)
            except sqlite3.DatabaseError as error:
                raise _in_words(error, denied) from error
    raise errors.QueryFailed("too many functions in one query", remedy="Ask in smaller steps.")


def _stand_in(*_: object) -> None:
    """Stand for a function of SpatiaLite while a statement is only looked over."""


def _allowed(action: int, one: str | None, two: str | None, denied: list[str]) -> int:
    if action not in READING:
        denied.append("it would change the book, or reach beyond it")
    elif action == sqlite3.SQLITE_FUNCTION and REACHES_OUT.search(two or one or ""):
        denied.append(f"the function {two or one} reaches beyond the book")
    else:
        return sqlite3.SQLITE_OK
    return sqlite3.SQLITE_DENY


def _in_words(error: Exception, denied: list[str]) -> Exception:
    said = " ".join(str(error).split())
    if denied:
        return errors.QueryRefused(denied[0], remedy="A query only asks; nothing was done.")
    if "one statement" in said:
        return errors.QueryRefused("there are several statements", remedy="Ask one question at a time.")
    if "locked" in said or "busy" in said or "malformed" in said or "not a database" in said:
        return error
    return _failed(said)


def _failed(said: str) -> errors.QueryFailed:
    return errors.QueryFailed(
        f"the query cannot be answered ({said})",
        remedy="Tables and columns stand in docs/schema.md, examples in docs/queries.md.",
    )


def _wrapped(statement: str, how_many: int) -> str:
    """Let each row come as one JSON text of type and value in turn.

    The driver takes a column's type from its first row and would cut later numbers down to it.
    """
    names = [f"c{place}" for place in range(how_many)]
    pairs = ", ".join(f"{_type(name)}, {_text(name)}" for name in names)
    return (
        f"WITH asked({', '.join(names)}) AS (\n{statement}\n) "  # noqa: S608 - checked above
        f"SELECT '{FIRST}' AS answered UNION ALL SELECT json_array({pairs}) FROM asked"
    )


def _type(name: str) -> str:
    is_shape = f"typeof({name}) = 'blob' AND ST_AsBinary({name}) NOTNULL"
    return f"CASE WHEN {is_shape} THEN 'shape' ELSE typeof({name}) END"


def _text(name: str) -> str:
    return (
        f"CASE typeof({name}) WHEN 'real' THEN printf('%!.17g', {name}) "
        f"WHEN 'blob' THEN coalesce(nullif(hex(ST_AsBinary({name})), ''), length({name})) "
        f"ELSE CAST({name} AS TEXT) END"
    )


def _run(path: Path, statement: str, most_rows: int) -> tuple[list[str], tuple[str, ...]]:
    with _overheard() as said, warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        try:
            *_, data = pyogrio.raw.read(
                path, sql=statement, sql_dialect="SQLITE", max_features=most_rows + 1, read_geometry=False
            )
        except (DataLayerError, DataSourceError) as error:
            raise _driver_error(str(error), path) from error
        lines = _lines_of(said)
    heard = dict.fromkeys([*lines, *(" ".join(str(w.message).split()) for w in warned)])
    remarks = dict.fromkeys(
        INEXACT if NO_SYSTEM.search(line) else f"The engine says: {line}" for line in heard
    )
    return [str(text) for text in data[0][1:]], tuple(itertools.islice(remarks, MOST_REMARKS))


def _driver_error(said: str, path: Path) -> errors.SitebookError:
    reason = " ".join(said.rpartition("): ")[2].rpartition("sqlite3_step() :")[2].split())
    if "locked" in reason:
        return errors.BookBusy(
            "another program is writing in the book", where=str(path), remedy="Wait a moment, then ask again."
        )
    return _failed(reason)


@contextmanager
def _overheard() -> Iterator[IO[bytes]]:
    """Catch what the engine writes past Python to the terminal."""
    with tempfile.TemporaryFile() as heard:
        terminal = dup(STDERR)
        dup2(heard.fileno(), STDERR)
        try:
            yield heard
        finally:
            dup2(terminal, STDERR)
            close(terminal)


def _lines_of(heard: IO[bytes]) -> list[str]:
    heard.seek(0)
    lines = heard.read(1 << 20).decode("utf-8", errors="replace").splitlines()
    return list(dict.fromkeys(" ".join(line.split()) for line in lines if line.strip()))


def _value(kind: str, text: str | None) -> object:
    if text is None or kind == "null":
        return None
    if kind == "integer":
        return int(text)
    if kind == "real":
        return float(text)
    if kind == "shape":
        return shapely.from_wkb(bytes.fromhex(text))
    return f"{text} bytes" if kind == "blob" else text
