"""Walks from an empty folder to a map, a calendar and reviews, with the demo's files as her own."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS

if TYPE_CHECKING:
    from tests.conftest import Island, Sitebook

NEW = ("new", "--owner", "Ane Corvell", "--initials", "AC", "--zone", "Etc/GMT+1")
PASSING = {"id", "created_at", "changed_at", "batch_id", "entered_by"}
RECKONED = {"derived", "surface", "surface_cells", "surface_contour"}
NOT_COMPARED = {"import_batch", "refused_line", "book", "setting", "change"} | RECKONED


def _files(repository: Path) -> list[Path]:
    return sorted(p for p in (repository / "demo_data" / "files").iterdir() if p.is_file())


def _contents(book: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give each table's rows, with ids replaced by the UUIDs they stand for."""
    with closing(sqlite3.connect(book)) as connection:
        connection.row_factory = sqlite3.Row
        uuids = {
            table: dict(connection.execute(f"SELECT id, uuid FROM {table}").fetchall())  # noqa: S608
            for table, kind in KINDS.items()
            if "uuid" in meanings(kind)
        }
        return {t: _rows(connection, t, uuids) for t in KINDS if t not in NOT_COMPARED}


def _rows(
    connection: sqlite3.Connection, table: str, uuids: dict[str, dict[int, str]]
) -> list[tuple[object, ...]]:
    said = {name: m.refers for name, m in meanings(KINDS[table]).items() if name not in PASSING}
    found = connection.execute(f"SELECT * FROM {table}").fetchall()  # noqa: S608
    rows = [
        tuple(uuids[to].get(row[n]) if to in uuids else row[n] for n, to in said.items()) for row in found
    ]
    return sorted(rows, key=repr)


@pytest.fixture(scope="module")
def own(sitebook: Sitebook, repository: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a book of the demo's files as a person would, and give its folder."""
    folder = tmp_path_factory.mktemp("own")
    sitebook(*NEW, folder=folder)
    sitebook("import", *_files(repository), folder=folder)
    return folder


def test_own_book_lies_in_the_folder(own: Path) -> None:
    assert (own / "sitebook.gpkg").is_file()


def test_demo_has_what_it_promises(island: Island) -> None:
    assert island.counts["find"] >= 60
    assert island.counts["site"] >= 15
    assert island.counts["host_tree"] >= 20
    assert island.counts["weather_day"] > 1000
    assert all(page.is_file() for page in island.pages)
    words = {w for p in island.pages for w in p.stem.replace("-", " ").split()}
    assert {"map", "calendar", "contamination"} <= words


def test_most_visits_of_the_demo_found_nothing(island: Island) -> None:
    with closing(sqlite3.connect(island.book)) as book:
        ((looks, found),) = book.execute("SELECT count(*), sum(outcome = 'found') FROM look")
    assert looks > 100
    assert found < looks / 2


def test_own_book_equals_the_demos(own: Path, island: Island) -> None:
    mine = {table: len(rows) for table, rows in _contents(own / "sitebook.gpkg").items()}
    theirs = {table: len(rows) for table, rows in _contents(island.book).items()}
    assert mine == theirs


@pytest.mark.parametrize("kind", ["site", "host_tree", "find", "visit", "taxon"])
def test_list_names_every_record(kind: str, own: Path, sitebook: Sitebook) -> None:
    rows = json.loads(sitebook("list", kind, "--json", folder=own).stdout)
    with closing(sqlite3.connect(own / "sitebook.gpkg")) as book:
        (kept,) = book.execute(f"SELECT count(*) FROM {kind}").fetchone()  # noqa: S608
    assert len(rows) == kept
    assert sitebook("list", kind, folder=own).stdout.strip()


def test_show_tells_one_record(own: Path, sitebook: Sitebook) -> None:
    with closing(sqlite3.connect(own / "sitebook.gpkg")) as book:
        (name,) = book.execute("SELECT name FROM site ORDER BY id").fetchone()
    assert name in sitebook("show", "site", name, folder=own).stdout


def _flag_is_whole(flag: dict[str, Any]) -> None:
    assert {"class", "could_be", "unknown", "traffic_index", "hazards", "words"} <= set(flag)
    index = flag["traffic_index"]
    assert index is None or index["low"] <= index["central"] <= index["high"]
    for hazard in flag["hazards"]:
        assert {"kind", "name", "distance_m", "value", "low", "high", "reason", "source"} <= set(hazard)


def test_every_site_has_a_road_flag(own: Path, sitebook: Sitebook) -> None:
    flags = json.loads(sitebook("contamination", "--all", "--json", folder=own).stdout)
    with closing(sqlite3.connect(own / "sitebook.gpkg")) as book:
        names = {name for (name,) in book.execute("SELECT name FROM site")}
    assert {flag["name"] for flag in flags} == names
    for flag in flags:
        _flag_is_whole(flag)
    assert len({flag["traffic_index"]["central"] for flag in flags}) > len(flags) / 2
    assert len({flag["class"] for flag in flags}) > 1


def test_a_place_off_the_map_is_not_known(own: Path, sitebook: Sitebook) -> None:
    far = json.loads(sitebook("contamination", "--at", "-25.0,40.0", "--json", folder=own).stdout)
    _flag_is_whole(far)
    assert far["unknown"]


def test_pages_are_written_where_she_stands(own: Path, sitebook: Sitebook) -> None:
    for command in ("calendar", "map"):
        told = json.loads(sitebook(command, "--json", folder=own).stdout)
        page = own / told["page"]
        assert page.stat().st_size > 10_000
        assert "private" in page.name.lower()


def test_own_book_is_found_in_order(own: Path, sitebook: Sitebook) -> None:
    sitebook("check", folder=own)
    sitebook("upgrade", folder=own)


def test_same_files_again_change_nothing(own: Path, repository: Path, sitebook: Sitebook) -> None:
    before = _contents(own / "sitebook.gpkg")
    sitebook("import", *_files(repository), folder=own)
    assert _contents(own / "sitebook.gpkg") == before


def test_dry_run_keeps_nothing(tmp_path: Path, repository: Path, sitebook: Sitebook) -> None:
    sitebook(*NEW, folder=tmp_path)
    before = (tmp_path / "sitebook.gpkg").read_bytes()
    sitebook("import", "--dry-run", *_files(repository), folder=tmp_path)
    assert (tmp_path / "sitebook.gpkg").read_bytes() == before


@pytest.mark.parametrize("turn", ["reversed", "every other", "from the middle"])
def test_order_of_files_does_not_matter(
    turn: str, own: Path, tmp_path: Path, repository: Path, sitebook: Sitebook
) -> None:
    files = _files(repository)
    middle = len(files) // 2
    orders = {
        "reversed": files[::-1],
        "every other": files[1::2] + files[::2],
        "from the middle": files[middle:] + files[:middle],
    }
    assert orders[turn] != files
    sitebook(*NEW, folder=tmp_path)
    sitebook("import", *orders[turn], folder=tmp_path)
    mine, theirs = _contents(tmp_path / "sitebook.gpkg"), _contents(own / "sitebook.gpkg")
    assert {t: len(rows) for t, rows in mine.items()} == {t: len(rows) for t, rows in theirs.items()}
    assert mine == theirs
