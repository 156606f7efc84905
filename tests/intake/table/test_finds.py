"""Tests that a line of a table of finds gives a find, its name and its host."""

from __future__ import annotations

import csv
import datetime
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from sitebook.intake.table import read_table
from sitebook.records.incoming import Draft, Reading

Read = Callable[..., Reading]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Give a function that reads text as a table of finds."""

    def from_text(text: str, **how: str) -> Reading:
        path = tmp_path / "finds.csv"
        path.write_text(text, encoding="utf-8")
        return read_table(path, kind="find", **how)

    return from_text


def _by_kind(reading: Reading) -> dict[str, Draft]:
    assert reading.refused == ()
    return {draft.kind: draft for draft in reading.drafts}


def test_a_line_gives_find_name_and_host(read: Read) -> None:
    drafts = _by_kind(
        read(
            "site,found_on,collector,collection_number,name,determined_on,verification_level,"
            "host_tree,host_role,host_distance_m\n"
            "Park,Oct 1994,MV,12,Leccinum cf. scabrum (Bull.) Gray,1994-10-09,2,Birch 1,under,2.5\n"
        )
    )
    find, name, host = drafts["find"], drafts["determination"], drafts["find_host"]
    assert find.identity == "find:MV|12"
    assert find.values == {
        "collection_number": 12,
        "found_on": datetime.date(1994, 10, 1),
        "found_on_end": datetime.date(1994, 10, 31),
    }
    assert find.refers == {"collector_id": "MV", "visit_id": "Park@1994-10-01"}
    assert name.values == {
        "verbatim_name": "Leccinum cf. scabrum (Bull.) Gray",
        "qualifier": "cf.",
        "determined_on": datetime.date(1994, 10, 9),
        "verification_level": "2",
    }
    assert name.refers == {
        "find_id": find.identity,
        "taxon_id": "Leccinum scabrum",
        "determined_by": "MV",
    }
    assert host.values == {"role": "under", "distance_m": 2.5}
    assert host.refers == {"find_id": find.identity, "host_tree_id": "Birch 1"}


def test_a_host_without_a_role_is_possible_and_an_owner_needs_no_name(read: Read) -> None:
    drafts = _by_kind(
        read("found_on,lon,lat,name,host_taxon\n2024-10-03,-19.4,48.6,Boletus edulis,Fagus sylvatica L.\n")
    )
    assert drafts["find"].refers == {}
    assert drafts["find"].values["position_source"] == "typed"
    assert "determined_by" not in drafts["determination"].refers
    assert drafts["find_host"].values == {"role": "possible"}
    assert drafts["find_host"].refers["taxon_id"] == "Fagus sylvatica"


def test_a_foray_list_is_many_names_of_one_visit(read: Read) -> None:
    lines = "Park,2024-10-03,Russula sp.\nPark,2024-10-03,Boletus edulis agg.\nPark,2024-10-03,Russula sp.\n"
    reading = read(f"site,found_on,name\n{lines}")
    finds = [d for d in reading.drafts if d.kind == "find"]
    names = [d for d in reading.drafts if d.kind == "determination"]
    assert {f.refers["visit_id"] for f in finds} == {"Park@2024-10-03"}
    assert len({f.identity for f in finds}) == 3
    assert [n.refers["find_id"] for n in names] == [f.identity for f in finds]
    assert len({n.identity for n in names}) == 3
    assert [n.values["qualifier"] for n in names] == ["sp.", "group", "sp."]


def test_reading_twice_gives_the_same_identities(read: Read) -> None:
    text = "site,found_on,name\n" + "Park,2024-10-03,Russula sp.\n" * 3
    assert [d.identity for d in read(text).drafts] == [d.identity for d in read(text).drafts]


def test_names_of_darwin_core_are_read(read: Read) -> None:
    reading = read(
        "occurrenceStatus,eventDate,recordedBy,recordNumber,scientificName,identificationQualifier,"
        "decimalLatitude,decimalLongitude,habitat,occurrenceRemarks,individualCount\n"
        "present,2024-10-03T10:15:00,MV,7,Boletus edulis,cf.,48.6,-19.4,LAWN,by the path,3\n"
        "absent,2024-10-03,MV,8,Boletus edulis,,48.6,-19.4,,,\n"
        "present,2024-10-03T00:00:00,MV,9,Boletus edulis,,48.6,-19.4,mossy bank,by the path,\n",
        zone="UTC",
    )
    first, third = (d for d in reading.drafts if d.kind == "find")
    assert first.values["found_at"] == datetime.datetime(2024, 10, 3, 10, 15, tzinfo=datetime.UTC)
    assert (first.values["substrate"], first.values["note"]) == ("lawn", "by the path")
    assert (first.values["individual_count"], first.values["collection_number"]) == (3, 7)
    assert "found_at" not in third.values
    assert third.values["note"] == "by the path; habitat: mossy bank"
    assert [(s.sorting, s.line_number) for s in reading.sorted_lines] == [("left out", 3)]


def test_a_site_without_a_date_is_kept_in_the_note(read: Read) -> None:
    find = _by_kind(read("site,found_on,lon,lat\nPark,,-19.4,48.6\n"))["find"]
    assert find.values["note"] == "site: Park"
    assert "visit_id" not in find.refers


def test_an_hour_gives_the_date_it_falls_on(read: Read) -> None:
    text = "found_on,found_at,lon,lat\n,2024-10-03T00:30Z,-19.4,48.6\n"
    find = _by_kind(read(text, zone="Etc/GMT+1"))["find"]
    assert find.values["found_on"] == datetime.date(2024, 10, 2)


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (",2024-10-03,,,,,", "where was it?"),
        ("Park,,,,,,", "needs found_on"),
        ("Park,2024-10-03,2024-10-05T10:00,,,,", "is not on the date"),
        ("Park,Oct 1994,10:00,,,,", "needs a single date"),
        ("Park,2024-10-03,,Boletus cf. edulis,aff.,,", "the name says 'cf.', the column says 'aff.'"),
        ("Park,2024-10-03,,Boletus edulis,,under,", "neither host_tree nor host_taxon"),
        ("Park,2024-10-03,,,,,0", "must be at least 1"),
    ],
)
def test_what_makes_no_find_is_refused_in_words(read: Read, cells: str, said: str) -> None:
    header = "site,found_on,found_at,name,qualifier,host_role,individual_count"
    reading = read(f"{header}\n{cells}\n")
    assert reading.drafts == ()
    (line,) = reading.refused
    assert said in line.reason


@pytest.mark.source(
    item="",
    what="fungarium specimens with coordinates, of which a find is made",
    value="7,898 rows, 4,086 with coordinates",
    source="agaricales_usa, example data of the R package fungarium",
    mark="confirmed",
)
def test_real_specimens_become_finds(shared_data: Path) -> None:
    path = shared_data / "specimens" / "agaricales_usa.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    placed = [row for row in rows if row["decimalLatitude"] and row["decimalLongitude"]]
    yearless = [r for r in placed if r["eventDate"].startswith("0000") and r["eventDate"] != "0000-00-00"]
    reading = read_table(path)
    kinds = Counter(d.kind for d in reading.drafts)
    assert (len(rows), len(placed)) == (7898, 4086)
    assert kinds["find"] + len(yearless) == 4086
    assert kinds["find"] == kinds["determination"]
    assert kinds["find"] + len(reading.refused) == 7898
