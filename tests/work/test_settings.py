"""Tests that her values stand in place of built-in ones, and impossible ones are refused."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.records.settings import MEANINGS, Settings
from sitebook.reference import limits
from sitebook.store.book import Book
from sitebook.work import opened
from sitebook.work.settings import list_settings, set_value, settings_of
from tests.work import books


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with opened(books.fresh(tmp_path)) as found:
        yield found


def test_every_setting_has_a_meaning_and_a_built_in_value() -> None:
    assert set(MEANINGS) == set(Settings.__dataclass_fields__)


def test_a_new_book_has_built_in_values(book: Book) -> None:
    assert settings_of(book) == Settings()
    assert all(not line.hers for line in list_settings(book).result)


@pytest.mark.parametrize(("text", "value"), [("350", 350.0), ("12,5", 12.5), (" 1e3 ", 1000.0)])
def test_her_value_is_in_force(text: str, value: float, book: Book) -> None:
    line = set_value(book, "far_km", text).result
    assert settings_of(book).far_km.value == value
    assert (line.hers, line.unit) == (True, "km")
    assert settings_of(book).walking_limit_kmh == Settings().walking_limit_kmh


def test_a_value_set_twice_is_kept_once(book: Book) -> None:
    set_value(book, "far_km", "300")
    set_value(book, "far_km", "400")
    assert books.asked(book.path, "SELECT value_text FROM setting") == [("400",)]


def test_the_built_in_value_comes_back(book: Book) -> None:
    set_value(book, "far_km", "300")
    set_value(book, "far_km", None)
    assert settings_of(book) == Settings()
    assert not books.asked(book.path, "SELECT * FROM setting")


def test_going_back_where_nothing_was_set_changes_nothing(book: Book) -> None:
    before = book.path.read_bytes()
    set_value(book, "far_km", None)
    assert book.path.read_bytes() == before


@pytest.mark.parametrize("text", ["0", "-5", "nan", "inf", "far", "", "1 000"])
def test_a_value_that_cannot_be_is_refused(text: str, book: Book) -> None:
    before = book.path.read_bytes()
    with pytest.raises(errors.ValueImpossible, match="above zero"):
        set_value(book, "far_km", text)
    assert book.path.read_bytes() == before


def test_words_are_kept_as_they_are(book: Book) -> None:
    set_value(book, "poison_centre", "Vennarhaven 112")
    assert settings_of(book).poison_centre == "Vennarhaven 112"


def test_a_setting_nobody_knows_is_refused_with_those_there_are(book: Book) -> None:
    with pytest.raises(errors.RecordMissing, match="far_km"):
        set_value(book, "luck", "7")


def test_a_soil_authority_is_kept_as_the_table_writes_it(book: Book) -> None:
    line = set_value(book, "soil_authority", " german soil  ordinance").result
    assert (line.value, line.hers) == ("German soil ordinance", True)
    assert settings_of(book).soil_authority == "German soil ordinance"
    assert set_value(book, "soil_authority", "").result.value == ""


def test_an_unknown_soil_authority_is_refused_with_those_known(book: Book) -> None:
    with pytest.raises(errors.ValueImpossible, match="does not hold") as refused:
        set_value(book, "soil_authority", "Mordor")
    assert all(name in str(refused.value.remedy) for name in limits.authorities())
    assert not settings_of(book).soil_authority
