"""Tests that fields are changed under the rules of their table, and refused in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook import errors
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.work import opened
from sitebook.work.corrections.changing import field_names
from sitebook.work.season_baseline import of_book
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

OUTLINE = "POLYGON ((-19.401 48.601, -19.399 48.601, -19.399 48.603, -19.401 48.601))"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_a_field_is_changed_and_what_stood_before_is_kept(book: Path) -> None:
    done = doing.change(book, "site", "mill park", radius_m="75", note="by the weir")
    assert [(c.column, c.old, c.new) for c in done.columns] == [
        ("radius_m", "60", "75"),
        ("note", "empty", "by the weir"),
    ]
    asked = "SELECT radius_m, note FROM site WHERE name = 'Mill Park'"
    assert books.only(book, asked) == (75.0, "by the weir")
    asked = "SELECT old_value, new_value FROM change WHERE column_name = 'radius_m'"
    assert books.asked(book, asked) == [("60.0", "75.0")]


def test_saying_the_same_again_changes_nothing(book: Path) -> None:
    before = books.revision(book)
    assert doing.change(book, "site", "Mill Park", radius_m="60").columns == ()
    assert books.revision(book) == before


def test_an_empty_text_empties_a_field(book: Path) -> None:
    doing.change(book, "visit", "Mill Park@2025-09-01", search_minutes="")
    asked = "SELECT search_minutes FROM visit WHERE local_date = '2025-09-01'"
    assert books.only(book, asked) == (None,)


@pytest.mark.parametrize(
    ("kind", "name", "cells", "said"),
    [
        ("site", "Mill Park", {"name": ""}, "name must not be empty"),
        ("site", "Mill Park", {"sensitivity": ""}, "sensitivity must not be empty"),
        ("site", "Mill Park", {"radius_m": "wide"}, "radius_m"),
        ("site", "Mill Park", {"lat": "91"}, "latitude 91"),
        ("site", "Mill Park", {"lon": "48.6", "lat": "-19.4"}, "swapped"),
        ("site", "Mill Park", {"name": "Quay Wood"}, "sitebook merge site"),
        ("host_tree", "O2", {"tag": "B1"}, "sitebook merge host_tree"),
        ("site", "Mill Park", {"outline_wkt": OUTLINE}, "radius_m goes with lon and lat"),
        ("visit", "Mill Park@2025-09-01", {"local_date": "2025-02-30"}, "does not exist"),
        ("find", "OV 1", {"collection_number": "2"}, "another find holds collection_number 2"),
        ("find", "OV 1", {"found_on": "2025-09-02"}, "no day of its visit Mill Park@2025-09-01"),
        ("find", "OV 2", {"site": ""}, "where it was found"),
        ("find", "OV 1", {"substrate": "cheese"}, "is not one of"),
        ("taxon", "Boletus", {"parent": "Boletus edulis"}, "leads back to itself"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_nothing_changed(
    kind: str, name: str, cells: dict[str, str], said: str, book: Path
) -> None:
    before = book.read_bytes()
    if kind == "taxon":
        doing.change(book, "taxon", "Boletus edulis", parent="Boletus")
        before = book.read_bytes()
    with pytest.raises(errors.ValueImpossible, match=said):
        doing.change(book, kind, name, **cells)
    assert book.read_bytes() == before


@pytest.mark.parametrize(
    ("kind", "name", "cells", "said"),
    [
        ("determination", "1", {"verbatim_name": "Boletus"}, "add determination"),
        ("find", "OV 1", {"name": "Boletus"}, "add determination"),
        ("find", "OV 1", {"host_tree": "B1"}, "add find_host"),
        ("site", "Mill Park", {"uuid": "1"}, "has no field 'uuid'"),
        ("site", "Mill Park", {"created_at": "2025-01-01"}, "has no field 'created_at'"),
        ("site", "Mill Park", {}, "no field is named"),
        ("way", "1", {"name": "x"}, "newer extract"),
        ("setting", "1", {"value_text": "x"}, "sitebook settings"),
        ("nothing", "1", {"name": "x"}, "no kind of record"),
    ],
)
def test_what_is_corrected_another_way_says_how(
    kind: str, name: str, cells: dict[str, str], said: str, book: Path
) -> None:
    with pytest.raises(errors.BadArgument, match=said):
        doing.change(book, kind, name, **cells)


@pytest.mark.parametrize(("name", "said"), [("Mill Prak", "Did you mean 'Mill Park'"), ("9", "list site")])
def test_a_record_that_is_not_there_is_told(name: str, said: str, book: Path) -> None:
    with pytest.raises(errors.RecordMissing, match=said):
        doing.change(book, "site", name, note="x")


def test_references_are_given_by_name(book: Path) -> None:
    doing.change(book, "host_tree", "Quay Wood|B1", taxon="Quercus robur", site="Mill Park", tag="B7")
    asked = (
        "SELECT s.name, t.scientific_name FROM host_tree h JOIN site s ON s.id = h.site_id "
        "JOIN taxon t ON t.id = h.taxon_id WHERE h.tag = 'B7'"
    )
    assert books.only(book, asked) == ("Mill Park", "Quercus robur")


def test_a_find_moves_to_the_visit_of_its_new_day(book: Path) -> None:
    doing.change(book, "find", "OV 1", found_on="2025-09-08", site="Mill Park")
    asked = "SELECT v.local_date FROM find f JOIN visit v ON v.id = f.visit_id WHERE f.collection_number = 1"
    assert books.asked(book, asked) == [("2025-09-08",), ("2025-09-08",)]


def test_a_find_goes_to_no_visit_that_is_not_there(book: Path) -> None:
    with pytest.raises(errors.RecordMissing, match="no visit is called"):
        doing.change(book, "find", "OV 1", found_on="2025-09-09", site="Mill Park")


def test_an_interval_sets_both_its_days_and_a_day_ends_it(book: Path) -> None:
    asked = "SELECT found_on, found_on_end FROM find WHERE collection_number = 2"
    doing.change(book, "visit", "Quay Wood@2025-09-20", local_date="2025-09")
    doing.change(book, "find", "OV 2", found_on="2025-09")
    assert books.only(book, asked) == ("2025-09-01", "2025-09-30")
    doing.change(book, "find", "OV 2", found_on="2025-09-03")
    assert books.only(book, asked) == ("2025-09-03", None)


def test_a_visit_of_another_day_tells_of_its_finds(book: Path) -> None:
    done = doing.change(book, "visit", "Quay Wood@2025-09-20", local_date="2025-09-21")
    assert "1 finds of this visit still say another day" in done.remarks[0]


def test_half_a_position_keeps_the_other_half(book: Path) -> None:
    doing.change(book, "find", "OV 1", lat="48.6022")
    assert doing.state(book)["find", _uuid(book, "find", 1)]["geom"] == "POINT (-19.4001 48.6022)"


def _uuid(book: Path, kind: str, key: int) -> str:
    return str(books.only(book, f"SELECT uuid FROM {kind} WHERE id = ?", key)[0])  # noqa: S608


def test_a_site_becomes_an_outline(book: Path) -> None:
    doing.change(book, "site", "Mill Park", outline_wkt=OUTLINE, radius_m="")
    assert books.only(book, "SELECT radius_m FROM site WHERE name = 'Mill Park'") == (None,)
    doing.change(book, "site", "Mill Park", outline_wkt="", lon="-19.4", lat="48.602", radius_m="40")
    assert books.only(book, "SELECT radius_m FROM site WHERE name = 'Mill Park'") == (40.0,)
    assert doing.faults(book) == []


def test_an_hour_alone_belongs_to_the_records_day(book: Path) -> None:
    doing.change(book, "find", "OV 1", found_at="09:30")
    asked = "SELECT found_at FROM find WHERE id = 1"
    assert books.only(book, asked) == ("2025-09-01T10:30:00.000Z",)


def test_companions_are_set_as_a_list(book: Path) -> None:
    asked = (
        "SELECT p.initials FROM visit_person vp JOIN person p ON p.id = vp.person_id JOIN visit v "
        "ON v.id = vp.visit_id WHERE v.local_date = '2025-09-01' ORDER BY 1"
    )
    done = doing.change(book, "visit", "Mill Park@2025-09-01", companions="MD OV")
    assert [(c.old, c.new) for c in done.columns] == [("MD, TH", "MD, OV")]
    assert books.asked(book, asked) == [("MD",), ("OV",)]
    doing.undo(book)
    assert books.asked(book, asked) == [("MD",), ("TH",)]
    doing.change(book, "visit", "Mill Park@2025-09-01", companions="")
    assert books.asked(book, asked) == []


def test_sites_and_closed_days_of_a_permission_are_set_as_lists(book: Path) -> None:
    doing.add(
        book, "permission", manager="Forestry", basis="permit", sites="Mill Park", closed_weekdays="Sat Sun"
    )
    doing.change(book, "permission", "Forestry", sites="Mill Park; Quay Wood", closed_weekdays="Sun")
    assert books.only(book, "SELECT count(*) FROM permission_site") == (2,)
    assert books.asked(book, "SELECT weekday FROM permission_closed_day") == [(7,)]
    doing.undo(book)
    assert books.only(book, "SELECT count(*) FROM permission_site") == (1,)
    assert books.asked(book, "SELECT weekday FROM permission_closed_day ORDER BY 1") == [(6,), (7,)]


def test_the_name_before_leads_to_the_record(book: Path, tmp_path: Path) -> None:
    doing.change(book, "site", "Mill Park", name="Weir Park")
    more = books.table(
        tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-10-02,planned", name="later"
    )
    town.bring(book, more)
    asked = "SELECT s.name FROM visit v JOIN site s ON s.id = v.site_id WHERE v.local_date = '2025-10-02'"
    assert books.only(book, asked) == ("Weir Park",)


def test_another_site_may_take_the_name_before(book: Path) -> None:
    doing.change(book, "site", "Mill Park", name="Weir Park")
    doing.change(book, "site", "Quay Wood", name="Mill Park")
    doing.add(book, "visit", site="Mill Park", local_date="2025-10-02", reason="planned")
    asked = "SELECT v.site_id FROM visit v WHERE v.local_date = '2025-10-02'"
    assert books.only(book, asked) == books.only(book, "SELECT id FROM site WHERE name = 'Mill Park'")


def test_calendars_follow_a_change(book: Path) -> None:
    def looked() -> list[float]:
        with opened(book) as found:
            return [row.looks for row in of_book(found).rows if row.taxon_name == "Leccinum scabrum"]

    before = looked()
    doing.change(book, "visit", "Mill Park@2025-09-08", reason="told")
    assert sum(looked()) < sum(before)


def test_every_field_of_every_kind_is_changed_or_says_what_to_do() -> None:
    for kind, layout in LAYOUTS.items():
        if kind not in ("determination", "setting"):
            assert set(field_names(kind)) <= {column.header for column in layout.columns}
            assert field_names(kind)
