"""Tests that all record kinds are listed, each after those it refers to."""

from __future__ import annotations

import importlib
import inspect
import pkgutil

import pytest

import sitebook.records
from sitebook.records.columns import meanings
from sitebook.records.kinds import CALLED_TOO, KINDS, kind_meant, table_name
from sitebook.records.standing import Mapped, Row, Standing

LATER = {("person", "batch_id"), ("person", "entered_by")}
"""References that are empty when a row is written first, and so may point forward."""


def _declared() -> set[type[Row]]:
    found: set[type[Row]] = set()
    for module in pkgutil.iter_modules(sitebook.records.__path__, "sitebook.records."):
        for _, kind in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
            if issubclass(kind, Row) and kind.__module__ == module.name:
                found.add(kind)
    return found - {Row, Standing, Mapped}


def test_every_record_kind_is_listed() -> None:
    assert set(KINDS.values()) == _declared()


@pytest.mark.parametrize(("name", "kind"), [(name, kind) for name, kind in KINDS.items()], ids=list(KINDS))
def test_a_table_is_called_as_its_record(name: str, kind: type[Row]) -> None:
    assert table_name(kind) == name
    assert name.replace("_", "") == kind.__name__.lower()


def test_each_kind_comes_after_those_it_refers_to() -> None:
    order = {name: place for place, name in enumerate(KINDS)}
    early = {
        (name, column)
        for name, kind in KINDS.items()
        for column, meaning in meanings(kind).items()
        if meaning.refers and order[meaning.refers] > order[name]
    }
    assert early <= LATER


def test_every_reference_is_to_a_kind_there_is() -> None:
    referred = {m.refers for kind in KINDS.values() for m in meanings(kind).values() if m.refers}
    assert referred <= set(KINDS)


def test_groups_that_are_unique_are_of_columns_there_are() -> None:
    for kind in KINDS.values():
        assert {name for group in kind.GROUPS_UNIQUE for name in group} <= set(meanings(kind))


@pytest.mark.parametrize(("word", "kind"), CALLED_TOO.items())
def test_a_shorter_word_means_a_kind_and_is_none_itself(word: str, kind: str) -> None:
    assert kind_meant(word) == kind
    assert kind in KINDS
    assert word not in KINDS
    assert kind_meant("visit") == "visit"
