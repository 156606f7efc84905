"""Tests that the tables of a book, brought into a new one, give the same records again."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sitebook.store.book import writing
from sitebook.work import opened
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.export import export
from tests.conftest import Island
from tests.work import books
from tests.work.export import odd_books


def _there_and_back(old: Path, folder: Path, *, with_people: bool = True) -> tuple[Path, list[str]]:
    """Export a book's tables and bring them into a new one; gives it and what the export remarked."""
    with opened(old) as book:
        report = export(book, "csv", folder / "out", with_people=with_people).result
    (folder / "new").mkdir()
    new = books.fresh(folder / "new")
    with opened(new) as book:
        told = bring_in(book, sorted((folder / "out").iterdir()), now=books.LATER, wish=Wish()).result
    refused = [line.reason for file in told.files for line in file.sorted_lines if line.sorting == "refused"]
    assert refused == []
    return new, list(report.remarks)


def _copied(island: Island, folder: Path) -> Path:
    return Path(shutil.copy(island.book, folder / "old.gpkg"))


@settings(
    max_examples=8,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.generate],
)
@given(st.data())
def test_export_then_import_is_the_identity(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        old = books.fresh(folder)
        with opened(old) as book, writing(book):
            odd_books.fill(data.draw, book)
        wanted = odd_books.contents(old)
        new, remarks = _there_and_back(old, folder)
        assert len(remarks) == 1, remarks
        assert odd_books.contents(new) == wanted


def test_the_demo_comes_back_whole(island: Island, tmp_path: Path) -> None:
    old = _copied(island, tmp_path)
    new, _ = _there_and_back(old, tmp_path)
    wanted, found = odd_books.contents(old), odd_books.contents(new)
    owner = [row for row in found["person"] if "OV" in row]
    assert sorted([*wanted["person"], *owner], key=repr) == found["person"]
    assert {kind: rows for kind, rows in found.items() if kind != "person"} == {
        kind: rows for kind, rows in wanted.items() if kind != "person"
    }


def test_without_people_only_initials_leave(island: Island, tmp_path: Path) -> None:
    old = _copied(island, tmp_path)
    names = [str(name) for (name,) in books.asked(old, "SELECT name FROM person")]
    contacts = [str(contact) for (contact,) in books.asked(old, "SELECT contact FROM person")]
    assert len(names) == 3
    new, _ = _there_and_back(old, tmp_path, with_people=False)
    told = "".join(path.read_text("utf-8") for path in (tmp_path / "out").iterdir())
    assert not [text for text in (*names, *contacts) if text in told]
    assert "person-private.csv" not in {path.name for path in (tmp_path / "out").iterdir()}
    numbers = (
        "SELECT initials, collection_number FROM find JOIN person ON person.id = collector_id ORDER BY 1, 2"
    )
    assert books.asked(new, numbers) == books.asked(old, numbers)


@pytest.mark.parametrize("again", [1, 2])
def test_coming_in_twice_doubles_nothing(island: Island, tmp_path: Path, again: int) -> None:
    old = _copied(island, tmp_path)
    before = odd_books.contents(old)
    with opened(old) as book:
        export(book, "csv", tmp_path / "out")
    for _ in range(again):
        with opened(old) as book:
            bring_in(book, sorted((tmp_path / "out").iterdir()), now=books.LATER, wish=Wish())
    assert odd_books.contents(old) == before
