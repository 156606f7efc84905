"""Tests that a returned file gives every whole line, and tells of every other."""

from __future__ import annotations

import datetime
import random
from pathlib import Path

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sitebook.errors import FileUnreadable
from sitebook.intake.field_return import read_field_return
from sitebook.intake.field_return.drafts import settle
from sitebook.intake.field_return.reading import read_lines
from sitebook.intake.recognise import recognise
from sitebook.records.incoming import Draft, Reading
from tests.intake.field_return import made_lines
from tests.intake.field_return.made_lines import as_file, end, find, key, look, visit

ZONE = "Etc/GMT+1"


def _read(folder: Path, content: bytes) -> Reading:
    path = folder / "entries.jsonl"
    path.write_bytes(content)
    assert recognise(path) == "entries"
    return read_field_return(path, zone=ZONE)


def _of(reading: Reading, kind: str) -> list[Draft]:
    return [draft for draft in reading.drafts if draft.kind == kind]


def test_a_visit_with_a_look_and_a_find_becomes_rows(tmp_path: Path) -> None:
    lines = (
        visit(search_minutes=25.5, companions="BD CE", remarks="drizzle"),
        look("none", host_tree="E1"),
        find(
            "porcini",
            found_at="2025-10-04T08:20:00-01:00",
            collector="OV",
            collection_number=21,
            name="Boletus edulis",
            qualifier="cf.",
            individual_count=3,
            count_of="bodies",
            fresh_mass_g=410.5,
            growth_stage="young",
            substrate="moss",
            host_tree="E2",
            host_role="under",
            photos="412 413",
            base_dug=True,
            smell="nutty",
            lon=-19.412,
            lat=48.611,
            position_source="phone",
            uncertainty_m=6,
            note="by the path",
        ),
    )
    reading = _read(tmp_path, as_file(*lines, end(3)))
    assert reading.recognised_as == "entry sheet"
    assert reading.sorted_lines == ()
    (made,) = _of(reading, "visit")
    assert made.values["uuid"] == key("visit")
    assert made.values["search_minutes"] == 25.5
    assert made.values["started_at"] == datetime.datetime(2025, 10, 4, 9, 5, tzinfo=datetime.UTC)
    assert made.refers == {"site_id": made_lines.SITE}
    assert [d.refers["person_id"] for d in _of(reading, "visit_person")] == ["BD", "CE"]
    (looked,) = _of(reading, "look")
    assert looked.refers == {"visit_id": made.identity, "host_tree_id": f"{made_lines.SITE}|E1"}
    (found,) = _of(reading, "find")
    assert found.values["note"] == "by the path; base dug up: yes; smell: nutty; photos: 412 413"
    assert (found.values["collection_number"], found.values["fresh_mass_g"]) == (21, 410.5)
    assert found.values["geom"] == shapely.Point(-19.412, 48.611)
    assert found.refers == {"visit_id": made.identity, "collector_id": "OV"}
    (named,) = _of(reading, "determination")
    assert (named.values["verbatim_name"], named.values["qualifier"]) == ("Boletus edulis", "cf.")
    assert named.values["determined_on"] == datetime.date(2025, 10, 4)
    (host,) = _of(reading, "find_host")
    assert (host.values["role"], host.values["how_known"]) == ("under", "seen by her")
    assert len(_of(reading, "entry_line")) == 4


def test_a_find_without_name_or_place_is_a_draft_at_its_site(tmp_path: Path) -> None:
    reading = _read(tmp_path, as_file(visit(), find("unknown"), end(2)))
    (found,) = _of(reading, "find")
    assert found.values["position_source"] == "site"
    assert not _of(reading, "determination")


def test_an_hour_on_another_day_in_the_books_zone_goes_to_the_note(tmp_path: Path) -> None:
    late = find("late", found_at="2025-10-05T00:30:00+00:00", local_date="2025-10-05")
    (found,) = _of(_read(tmp_path, as_file(visit(), late)), "find")
    assert "found_at" not in found.values
    assert found.values["note"] == "noted at 2025-10-05T00:30:00+00:00"


def test_the_later_turn_stands_and_a_withdrawn_entry_gives_no_row(tmp_path: Path) -> None:
    lines = [
        visit(),
        find("one", 2, individual_count=5),
        find("one", 1, individual_count=4),
        find("two"),
        find("two", 2, withdrawn=True),
    ]
    reading = _read(tmp_path, as_file(*lines))
    assert [d.values.get("individual_count") for d in _of(reading, "find")] == [5]


def test_a_visit_stays_while_something_hangs_on_it(tmp_path: Path) -> None:
    reading = _read(
        tmp_path, as_file(visit(search_minutes=9), visit("visit", 2, withdrawn=True), find("one"))
    )
    assert len(_of(reading, "visit")) == len(_of(reading, "find")) == 1


def test_a_visit_whose_line_is_lost_is_made_from_its_finds(tmp_path: Path) -> None:
    reading = _read(tmp_path, as_file(find("one")))
    (made,) = _of(reading, "visit")
    assert made.values["uuid"] == key("visit")
    assert made.values["local_date"] == datetime.date(2025, 10, 4)


def test_a_torn_last_line_is_left_out_and_told(tmp_path: Path) -> None:
    whole = as_file(visit(), find("one"), find("zwölf", note="ü" * 40), end(3))
    for cut in range(1, 400, 13):
        reading = _read(tmp_path, whole[:-cut])
        assert reading.refused == ()
        assert len(_of(reading, "find")) >= 1
        if cut > 1:
            assert any("breaks off" in line.reason for line in reading.sorted_lines)


def test_a_line_changed_on_its_way_is_refused_with_its_number(tmp_path: Path) -> None:
    changed = find("one", individual_count=3).replace('"individual_count":3', '"individual_count":4')
    reading = _read(tmp_path, as_file(visit(), changed, find("two"), end(3)))
    (line,) = reading.refused
    assert (line.line_number, "checksum" in line.reason) == (2, True)
    assert len(_of(reading, "find")) == 1
    assert any("saved 3 lines, 2 of them are here" in one.reason for one in reading.sorted_lines)


def test_a_word_no_list_knows_is_refused(tmp_path: Path) -> None:
    reading = _read(tmp_path, as_file(visit(), find("one", growth_stage="huge"), find("two"), end(3)))
    (line,) = reading.refused
    assert "growth_stage" in line.reason
    assert len(_of(reading, "find")) == 1


@pytest.mark.parametrize(
    "says",
    [
        {"lat": 91, "lon": 0},
        {"lat": 0, "lon": 0},
        {"lat": 48.6},
        {"individual_count": -1},
        {"individual_count": {"a": 1}},
        {"local_date": "2201-01-01"},
        {"local_date": None},
        {"note": "a\u0000b"},
        {"visit": None},
    ],
)
def test_impossible_values_are_refused_one_line_each(says: dict[str, object], tmp_path: Path) -> None:
    reading = _read(tmp_path, as_file(visit(), find("one", **says), end(2)))  # type: ignore[arg-type]
    assert len(reading.refused) == 1


def test_members_nobody_reads_are_told(tmp_path: Path) -> None:
    reading = _read(tmp_path, as_file(visit(), find("one", cap_colour="brown"), end(2)))
    assert [line.reason for line in reading.sorted_lines] == ["members that are not read: cap_colour"]


def test_lines_that_run_together_are_parted(tmp_path: Path) -> None:
    run_together = visit() + find("one") + "\n" + find("torn")[:50] + find("two")
    reading = _read(tmp_path, f"{run_together}\n".encode())
    assert len(_of(reading, "find")) == 2
    assert len(reading.refused) == 1


@pytest.mark.parametrize("content", [b'{"v":1,"kind":"visit"', b'{"v":1}\n{"v":1}\n'])
def test_a_file_without_a_whole_line_is_told(content: bytes, tmp_path: Path) -> None:
    with pytest.raises(FileUnreadable, match="no line of this sheet is whole"):
        _read(tmp_path, content)


LINES = [
    visit(),
    visit("visit", 2, search_minutes=20),
    visit("other", started_at="2025-10-04T10:00:00-01:00"),
    look("none"),
    look("none", 2, withdrawn=True),
    look("tree", host_tree="E1"),
    find("one", collection_number=1, name="Boletus edulis"),
    find("one", 2, collection_number=1, name="Suillus luteus"),
    find("two", of="other", note='ends in "sum":"0123456789abcdef"} and {"v":1'),
    find("two", 2, of="other", withdrawn=True),
    find("two", 3, of="other"),
    find("three", name="Ånglika — test"),
    end(12),
]


@given(st.data())
def test_any_order_duplication_and_truncation_keeps_every_whole_line(data: st.DataObject) -> None:
    order = data.draw(st.permutations(range(len(LINES))))
    again = data.draw(st.lists(st.sampled_from(range(len(LINES))), max_size=6))
    lines = [LINES[at] for at in (*order, *again)]
    raw = as_file(*lines)
    cut = data.draw(st.integers(min_value=0, max_value=len(raw)))
    kept = raw[:cut]
    whole = {line for line in lines if f"{line}\n".encode() in kept or kept.endswith(line.encode())}
    read = read_lines(kept)
    assert {line.text for line in read.whole} == whole
    told = [line.sorting for line in read.sorted_lines if line.line_number is not None]
    assert told == ([] if not kept or kept.endswith((b"\n", b"}")) else ["left out"])


@given(st.randoms(use_true_random=False))
def test_the_same_lines_settle_alike_in_any_order(chance: random.Random) -> None:
    shuffled = LINES * 2
    chance.shuffle(shuffled)
    expected = settle(read_lines(as_file(*LINES)).whole, zone=ZONE)
    found = settle(read_lines(as_file(*shuffled)).whole, zone=ZONE)

    def rows(settled: object) -> list[tuple[object, object, object]]:
        return [(d.identity, d.values, d.refers) for _, d in settled.rows]  # type: ignore[attr-defined]

    assert rows(found) == rows(expected)
