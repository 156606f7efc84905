"""Tests of the reader of the cited tables."""

from __future__ import annotations

import pytest

from sitebook.citations import Cited
from sitebook.reference import reader


def test_every_table_can_be_read_and_has_rows() -> None:
    assert "traffic_by_class" in reader.tables()
    for table in reader.tables():
        assert reader.rows(table)


def test_a_row_cannot_be_changed_for_the_next_reader() -> None:
    reader.rows("roads_model")[0]["value"] = "spoilt"
    assert reader.rows("roads_model")[0]["value"] != "spoilt"


def test_an_unknown_table_is_named() -> None:
    with pytest.raises(KeyError, match="no cited table 'nowhere'"):
        reader.rows("nowhere")


def test_a_cell_takes_the_source_of_its_row() -> None:
    row = {"value": "3", "unit": "m", "source_key": "someone2001", "locator": "Table 2", "mark": "confirmed"}
    assert reader.cited(row) == Cited(3.0, "m", "someone2001", "confirmed", "Table 2")


def test_a_cell_may_bring_a_source_of_its_own() -> None:
    row = {
        "value": "3",
        "unit": "m",
        "source_key": "someone2001",
        "locator": "",
        "mark": "confirmed",
        "width_m": "7",
        "width_m_source_key": "ours",
        "width_m_mark": "our choice",
    }
    assert reader.cited(row, "width_m") == Cited(7.0, "m", "ours", "our choice")


def test_a_missing_unit_is_a_pure_number() -> None:
    row = {"value": "0.5", "unit": "", "source_key": "ours", "locator": "", "mark": "our choice"}
    assert reader.cited(row).unit == "1"


def test_an_unknown_mark_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown mark 'surely'"):
        reader.cited({"value": "1", "unit": "m", "source_key": "x", "locator": "", "mark": "surely"})


def test_parameters_are_found_by_name() -> None:
    assert reader.parameters("roads_model")["reach"] == Cited(1000.0, "m", "ours", "our choice")
