"""Tests that a new book has its owner, its row and its starter names, or is not there at all."""

from __future__ import annotations

from pathlib import Path

import pytest

import sitebook
from sitebook import errors
from sitebook.store import check
from sitebook.work import beginning, opened
from sitebook.work.beginning import new_book
from sitebook.work.opening import book_row, owner
from tests.work import books


def _new(path: Path, **more: str) -> Path:
    said = {"title": "Vennaray", "owner": "Orla Vennar", "initials": "OV", "zone": books.ZONE} | more
    new_book(path, now=books.NOW, **said)
    return path


def test_a_new_book_says_whose_it_is(tmp_path: Path) -> None:
    with opened(_new(tmp_path / "new.gpkg")) as book:
        row = book_row(book)
        assert (row.title, row.zone, row.units) == ("Vennaray", books.ZONE, "metric")
        assert row.made_with == sitebook.__version__
        assert (owner(book).name, owner(book).initials) == ("Orla Vennar", "OV")
        assert not [line for line in check.look_over(book) if line.faults]


def test_starter_names_say_how_well_they_are_known(tmp_path: Path) -> None:
    path = _new(tmp_path / "new.gpkg")
    (marked,) = books.only(path, "SELECT count(*) FROM taxon_trait WHERE source_key <> '' AND mark <> ''")
    (traits,) = books.only(path, "SELECT count(*) FROM taxon_trait")
    assert marked == traits
    assert isinstance(traits, int)
    assert traits > 0


def test_the_same_instant_gives_the_same_book(tmp_path: Path) -> None:
    one, other = _new(tmp_path / "one.gpkg"), _new(tmp_path / "other.gpkg")
    assert books.contents(one) == books.contents(other)


@pytest.mark.parametrize("zone", ["Middle/Earth", "", "../etc/passwd", "/etc/localtime", "Europe"])
def test_a_zone_nobody_knows_makes_no_book(zone: str, tmp_path: Path) -> None:
    with pytest.raises(errors.BadArgument, match="time zone"):
        _new(tmp_path / "new.gpkg", zone=zone)
    assert not list(tmp_path.iterdir())


def test_units_nobody_knows_make_no_book(tmp_path: Path) -> None:
    with pytest.raises(errors.BadArgument, match="units"):
        _new(tmp_path / "new.gpkg", units="cubits")
    assert not list(tmp_path.iterdir())


def test_nothing_is_left_when_it_fails_halfway(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise KeyError

    monkeypatch.setattr(beginning, "keep_starter", fail)
    with pytest.raises(KeyError):
        _new(tmp_path / "new.gpkg")
    assert not list(tmp_path.iterdir())


def test_what_lies_there_is_never_written_over(tmp_path: Path) -> None:
    path = _new(tmp_path / "new.gpkg")
    before = path.read_bytes()
    with pytest.raises(errors.BookExists):
        _new(path)
    assert path.read_bytes() == before
