"""Tests that a record says of each column what it holds and what empty means."""

from __future__ import annotations

import datetime
from dataclasses import FrozenInstanceError, dataclass, fields

import pytest
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column, column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Mapped, Row, Standing
from sitebook.vocabulary import Words


@dataclass(frozen=True, kw_only=True)
class Basket(Row):
    """A record kind of this test."""

    made_of: str = column("what it is woven of")
    width_cm: float | None = column("width", null="not measured", unit="cm")
    lined: bool = column("whether it is lined", default=False)
    geom: Point = column("where it hangs", geometry="POINT")


def test_meanings_come_in_order_with_all_that_was_said() -> None:
    said = meanings(Basket)
    assert list(said) == ["id", "made_of", "width_cm", "lined", "geom"]
    assert said["width_cm"].null == "not measured"
    assert said["width_cm"].unit == "cm"
    assert said["geom"].geometry == "POINT"


def test_types_say_what_may_be_empty() -> None:
    kinds = column_types(Basket)
    assert (kinds["width_cm"].python, kinds["width_cm"].nullable) == (float, True)
    assert (kinds["made_of"].python, kinds["made_of"].nullable) == (str, False)
    assert kinds["geom"].python is BaseGeometry


def test_a_column_that_may_be_empty_starts_empty_and_others_must_be_given() -> None:
    basket = Basket(made_of="willow", geom=Point(0, 0))
    assert basket.width_cm is None
    assert basket.lined is False
    with pytest.raises(TypeError, match="made_of"):
        Basket(geom=Point(0, 0))


def test_a_record_cannot_be_written_over() -> None:
    basket = Basket(made_of="willow", geom=Point(0, 0))
    with pytest.raises(FrozenInstanceError):
        basket.made_of = "wire"  # type: ignore[misc]


def test_an_annotation_and_its_meaning_must_agree() -> None:
    @dataclass(frozen=True, kw_only=True)
    class Silent(Row):
        """A record kind that does not say what empty means."""

        width_cm: float | None = column("width")

    with pytest.raises(TypeError, match="say what empty means"):
        column_types(Silent)


@pytest.mark.parametrize("name", list(KINDS))
def test_every_column_is_described(name: str) -> None:
    for column_name, meaning in meanings(KINDS[name]).items():
        assert meaning.doc.strip(), column_name
        assert meaning.null is None or meaning.null.strip(), column_name
        assert meaning.null != "unknown", column_name


@pytest.mark.parametrize("name", list(KINDS))
def test_a_default_stands_in_its_list_of_words(name: str) -> None:
    for field in fields(KINDS[name]):
        words = field.metadata["meaning"].words
        if isinstance(words, Words) and isinstance(field.default, str):
            assert field.default in words.all, field.name


def test_a_number_with_a_unit_carries_it_in_its_name() -> None:
    endings: dict[str | None, str | tuple[str, ...]] = {
        "m": "_m",
        "cm": "_cm",
        "g": "_g",
        "kg": "_kg",
        "deg": "_deg",
        "°C": "_degc",
        "d": ("_d", "_days"),
    }
    lacking = [
        f"{name}.{column_name}"
        for name, kind in KINDS.items()
        for column_name, meaning in meanings(kind).items()
        if meaning.unit in endings
        and not column_name.endswith(endings[meaning.unit])
        and not column_name.startswith("covers_")
    ]
    assert not lacking


def test_what_is_hers_can_be_withdrawn_and_what_is_mapped_ends() -> None:
    assert "withdrawn_at" in meanings(Standing)
    assert "valid_to" in meanings(Mapped)
    instants = [n for n, kind in column_types(Standing).items() if kind.python is datetime.datetime]
    assert instants == ["created_at", "changed_at", "withdrawn_at"]
