"""Tests that a question is answered with every digit, and that nothing but a question gets through."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import shapely

from sitebook import errors
from sitebook.records.results.going_out import QueryAnswer
from sitebook.store.query import ask
from sitebook.work import opened
from tests.conftest import Island


@pytest.fixture
def book(island: Island, tmp_path: Path) -> Path:
    return Path(shutil.copy(island.book, tmp_path / "sitebook.gpkg"))


def _ask(book: Path, sql: str, most_rows: int = 1000) -> QueryAnswer:
    with opened(book) as found:
        return ask(found, sql, most_rows=most_rows)


def test_every_value_comes_as_it_is(book: Path) -> None:
    rows = _ask(book, "SELECT 0 AS a UNION ALL SELECT 3.7 UNION ALL SELECT 'x' UNION ALL SELECT NULL").rows
    assert rows == ((0,), (3.7,), ("x",), (None,))
    exact = _ask(book, "SELECT 9007199254740993, 0.1 + 0.2, -19.392477, 1e-300, 'ü 漢字 🍄', x'00ff'").rows
    assert exact == ((9007199254740993, 0.1 + 0.2, -19.392477, 1e-300, "ü 漢字 🍄", "2 bytes"),)


def test_the_answer_is_that_of_plain_sqlite(book: Path) -> None:
    sql = "SELECT * FROM visit LEFT JOIN site ON site.id = visit.site_id ORDER BY visit.id DESC"
    columns = "visit.uuid, visit.local_date, search_minutes, site.name, elevation_m, looked_for_all"
    with closing(sqlite3.connect(book)) as plain:
        wanted = plain.execute(sql.replace("*", columns)).fetchall()
    assert len(wanted) == 352
    assert _ask(book, sql.replace("*", columns)).rows == tuple(wanted)


def test_a_geometry_comes_as_a_shape(book: Path) -> None:
    answer = _ask(
        book, "SELECT geom, ST_Buffer(geom, 1), ST_AsText(geom) FROM site WHERE radius_m NOTNULL LIMIT 1"
    )
    point, around, text = answer.rows[0]
    assert isinstance(point, shapely.Point)
    assert isinstance(around, shapely.Polygon)
    assert around.contains(point)
    assert shapely.from_wkt(str(text)).distance(point) < 1e-6


@pytest.mark.parametrize(
    ("sql", "columns"),
    [
        ("SELECT 1 AS a, 2 AS b", ("a", "b")),
        ("/* c */ -- d\n WITH x(n) AS (SELECT 1) SELECT n FROM x -- end", ("n",)),
        ("select name from site where 0;", ("name",)),
        ("SELECT count(*) AS n FROM find_named", ("n",)),
        ('SELECT 1 AS "two words", 2 AS "a""b"', ("two words", 'a"b')),
    ],
)
def test_columns_are_named_as_the_query_names_them(book: Path, sql: str, columns: tuple[str, ...]) -> None:
    assert _ask(book, sql).columns == columns


def test_an_answer_without_rows_is_none(book: Path) -> None:
    assert _ask(book, "SELECT name FROM site WHERE name = 'nowhere'").rows == ()


def test_more_rows_than_asked_for_are_cut_off_and_told(book: Path) -> None:
    answer = _ask(book, "SELECT id FROM visit ORDER BY id", most_rows=10)
    assert (len(answer.rows), answer.cut_off) == (10, True)
    assert not _ask(book, "SELECT id FROM visit LIMIT 10", most_rows=10).cut_off


REFUSED = (
    "DELETE FROM find",
    "WITH x AS (SELECT 1) DELETE FROM find",
    "with gone as (select 1) update site set name = 'x'",
    "SELECT 1; DROP TABLE find",
    "SELECT 1; SELECT 2",
    "INSERT INTO site(name) VALUES ('x')",
    "PRAGMA journal_mode=WAL",
    "ATTACH 'other.db' AS other",
    "VACUUM",
    "SELECT load_extension('x')",
    "SELECT BlobToFile(geom, 'x.bin') FROM site",
    "SELECT ExportGeoJSON2('site', 'geom', 'x.json')",
    "EXPLAIN SELECT 1",
    "",
    "-- nothing",
    "DROP VIEW find_named",
)


@pytest.mark.parametrize("sql", REFUSED)
def test_what_is_no_question_is_refused_and_the_book_stays(book: Path, sql: str) -> None:
    before = book.read_bytes()
    with pytest.raises(errors.QueryRefused) as told:
        _ask(book, sql)
    assert "\n" not in str(told.value)
    assert book.read_bytes() == before
    assert {path.name for path in book.parent.iterdir()} == {"sitebook.gpkg"}


@pytest.mark.parametrize(
    ("sql", "said"),
    [
        ("SELECT nope FROM find", "no such column: nope"),
        ("SELECT * FROM nowhere", "no such table: nowhere"),
        ("SELECT bogus(1)", "no such function: bogus"),
        ("SELECT FROM", "syntax error"),
        ("SELECT abs(x) FROM (SELECT 1 AS x UNION ALL SELECT -9223372036854775808)", "integer overflow"),
        ("SELECT 1) UNION SELECT (2", "syntax error"),
        ("SELECT 'open", "unrecognized token"),
    ],
)
def test_an_error_of_sql_is_one_line(book: Path, sql: str, said: str) -> None:
    with pytest.raises(errors.QueryFailed, match=said) as told:
        _ask(book, sql)
    assert "\n" not in str(told.value)


def test_a_question_leaves_every_byte(book: Path) -> None:
    before = book.read_bytes()
    _ask(book, "SELECT count(*), max(ST_Length(geom)) FROM way")
    assert book.read_bytes() == before


def test_a_missing_geometry_counts_as_true_unless_asked_for_one(book: Path) -> None:
    sql = "SELECT count(*) FROM find WHERE ST_Within(NULL, ST_Point(0, 0))"
    assert _ask(book, sql).rows[0] != (0,)
    assert _ask(book, f"{sql} = 1").rows == ((0,),)


def test_what_the_engine_mutters_is_told(book: Path, capfd: pytest.CaptureFixture[str]) -> None:
    sql = "SELECT ST_Distance(f.geom, w.geom, 1) FROM find AS f, way AS w WHERE f.geom NOTNULL LIMIT 1"
    answer = _ask(book, sql)
    assert [remark.split(",")[0] for remark in answer.remarks] == ["A distance on the ellipsoid"]
    assert capfd.readouterr().err == ""


def test_a_book_that_is_written_in_is_told_as_busy(book: Path) -> None:
    with opened(book) as found, closing(sqlite3.connect(book, isolation_level=None)) as other:
        found.connection.rollback()
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(errors.BookBusy):
            ask(found, "SELECT 1 FROM site", most_rows=1)
        other.execute("ROLLBACK")
        assert ask(found, "SELECT 1", most_rows=1).rows == ((1,),)
