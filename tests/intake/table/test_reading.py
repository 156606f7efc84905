"""Tests that every line of a table is kept, left out or refused, and that each says why."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitebook import errors
from sitebook.intake.table import read_table
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.records.columns import column_types
from sitebook.records.incoming import Draft, Reading
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Standing

Read = Callable[..., Reading]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Give a function that reads text, or bytes, as a table."""

    def from_text(text: str | bytes, **how: str) -> Reading:
        path = tmp_path / "table.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_table(path, **how)

    return from_text


def _only(reading: Reading) -> Draft:
    assert reading.sorted_lines == ()
    (draft,) = reading.drafts
    return draft


def _reasons(reading: Reading) -> list[str]:
    return [f"{line.line_number}: {line.reason}" for line in reading.refused]


def test_a_visit_becomes_a_draft_with_final_values(read: Read) -> None:
    text = (
        "site,local_date,started_at,search_minutes,reason,looked_for_all,companions\n"
        "Old orchard,3.10.2024,9:30,45,Planned,no,AB CD\n"
    )
    visit, *companions = read(text, zone="Europe/Lisbon").drafts
    assert visit.values == {
        "local_date": datetime.date(2024, 10, 3),
        "started_at": datetime.datetime(2024, 10, 3, 8, 30, tzinfo=datetime.UTC),
        "search_minutes": 45.0,
        "reason": "planned",
        "looked_for_all": False,
    }
    assert visit.refers == {"site_id": "Old orchard"}
    assert [(c.kind, dict(c.refers)) for c in companions] == [
        ("visit_person", {"visit_id": visit.identity, "person_id": "AB"}),
        ("visit_person", {"visit_id": visit.identity, "person_id": "CD"}),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffsite,tag,lon,lat\nPark,Birch 1,-19.4,48.6\n".encode(),
        b"# sitebook table: host_tree\nsite;tag;lon;lat\nPark;Birch 1;-19,4;48,6\n",
        b"# sitebook table: host_tree\r\nLat\tLon\tTag\tSite\r\n48.6\t-19.4\tBirch 1\tPark\r\n",
    ],
    ids=["byte order mark", "semicolons and decimal commas", "tabs in another order"],
)
def test_each_way_of_writing_gives_the_same_tree(read: Read, text: bytes) -> None:
    draft = _only(read(text))
    assert draft.kind == "host_tree"
    assert draft.identity == "host_tree:Park|Birch 1"
    assert draft.values["geom"].wkt == "POINT (-19.4 48.6)"  # type: ignore[attr-defined]


def test_windows_text_is_read_and_said_so(read: Read) -> None:
    reading = read("name,initials\nZoë Müller,ZM\n".encode("cp1252"))
    (draft,) = reading.drafts
    assert draft.values["name"] == "Zoë Müller"
    (note,) = reading.sorted_lines
    assert note.sorting == "left out"
    assert "cp1252" in note.reason


def test_text_stays_as_it_stands(read: Read) -> None:
    note = '=cmd|"/C calc"!A0 <script>alert(1)</script> @SUM +1 {{ x }}'
    cell = '"' + note.replace('"', '""') + '"'
    draft = _only(read(f"name,lon,lat,radius_m,note\nPark,-19.4,48.6,30,{cell}\n"))
    assert draft.values["note"] == note


def test_every_bad_cell_of_a_line_is_told_with_what_is_allowed(read: Read) -> None:
    text = (
        "# sitebook table: visit\n"
        "site,local_date,reason,searchers,search_minutes,looked_for_all\n"
        "Park,3/10/2024,because,0,-5,perhaps\n"
    )
    (said,) = _reasons(read(text))
    assert said.startswith("3: local_date: '3/10/2024'")
    assert "reason: 'because' is not one of: planned, passing, seen first, told" in said
    assert "searchers: '0' must be at least 1" in said
    assert "search_minutes: '-5' must be at least 0" in said
    assert "looked_for_all: 'perhaps' is neither yes nor no" in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,lon,lat,radius_m\nPark,-19.4,,30\n", "lon and lat go together"),
        ("name,lon,lat,radius_m\nPark,-19.4,48.6,\n", "radius_m is empty"),
        ("name,lon,lat,radius_m\nPark,,,\n", "where is it?"),
        ("name,lon,lat,radius_m\nPark,48.6,-119.4,30\n", "swapped"),
        ("name,lon,lat,radius_m\n,48.6,-19.4,30\n", "name is empty; it must be filled"),
        ('name,lon,lat,radius_m\nPark,"-19,4",48.6,30\n', "decimal comma is taken only where semicolons"),
        ("name,lon,lat,radius_m\nPark,-19.4,48.6,inf\n", "not a number"),
        ("code,name,zone\nA,Gauge,Nowhere/Land\n", "Nowhere/Land"),
        ("kind,origin,source,lon,lat\nmoonshine,told,MV,-19.4,48.6\n", "words for hazard kind; none is near"),
        ("taxon,other,source_key,mark\nFagus,Fagus,ours,memory\n", "taken for itself"),
        ("find,role\nMV 3,under\n", "fill host_tree or taxon"),
        ("manager,basis,daily_limit\nTown,permit,2\n", "limit_unit is empty"),
        ("manager,basis,closed_weekdays\nTown,permit,Mon Someday\n", "'Someday' is no weekday"),
        ("manager,basis,valid_from,valid_to\nTown,permit,2024-10-03,2024-10-01\n", "comes before"),
        ("taxon,vernacular,language\nFagus,beech,in English\n", "language code"),
        ("scientific_name\npenny bun\n", "is no scientific name"),
        ("scientific_name\nBoletus cf. edulis\n", "carries no qualifier"),
        ("name,initials,uuid\nM V,MV,123\n", "not a UUID"),
        ("name,initials\nM\x07V,MV\n", "control signs"),
    ],
)
def test_what_cannot_be_is_refused_in_words(read: Read, text: str, said: str) -> None:
    reading = read(text)
    assert reading.drafts == ()
    (reason,) = _reasons(reading)
    assert said in reason
    assert reason.startswith("2: ")


def test_a_column_of_no_kind_is_left_out_once(read: Read) -> None:
    reading = read("name,initials,shoe_size\nM V,MV,38\nA B,AB,41\n")
    assert len(reading.drafts) == 2
    (note,) = reading.sorted_lines
    assert (note.sorting, note.line_number) == ("left out", None)
    assert "'shoe_size' is left out" in note.reason


def test_the_same_line_twice_is_left_out_and_another_of_its_key_refused(read: Read) -> None:
    reading = read("name,initials\nM V,MV\nM V,MV\nMary V,MV\n")
    assert len(reading.drafts) == 1
    assert [(line.sorting, line.line_number) for line in reading.sorted_lines] == [
        ("left out", 3),
        ("refused", 4),
    ]


def test_a_uuid_of_its_own_is_the_identity(read: Read) -> None:
    own = "6f1f64a2-7a0e-4f8e-9c9b-0f9a3f1c2d3e"
    assert _only(read(f"name,initials,uuid\nM V,MV,{own.upper()}\n")).identity == f"uuid:{own}"


def test_a_look_belongs_to_the_visit_of_its_site_and_date(read: Read) -> None:
    text = (
        "site,local_date,started_at,host_tree,taxon,outcome\n"
        "Park,2024-10-03,9:30,Birch 1,Suillus luteus (L.) Roussel,not seen\n"
    )
    assert _only(read(text, zone="Atlantic/Azores")).refers == {
        "visit_id": "Park@2024-10-03@09:30",
        "host_tree_id": "Birch 1",
        "taxon_id": "Suillus luteus",
    }


def test_a_permission_comes_with_its_sites_and_closed_days(read: Read) -> None:
    text = (
        "manager,basis,sites,closed_weekdays,closed_dates\nTown,permit,Park | Old orchard,Mon 7,2024-12-24\n"
    )
    permission, *hung = read(text).drafts
    assert [(d.kind, d.refers.get("site_id"), dict(d.values)) for d in hung] == [
        ("permission_site", "Park", {}),
        ("permission_site", "Old orchard", {}),
        ("permission_closed_day", None, {"weekday": 1}),
        ("permission_closed_day", None, {"weekday": 7}),
        ("permission_closed_day", None, {"closed_on": datetime.date(2024, 12, 24)}),
    ]
    assert {d.refers["permission_id"] for d in hung} == {permission.identity}


def test_a_determination_takes_its_taxon_from_the_name(read: Read) -> None:
    draft = _only(read("find,name,determined_by\nMV 3,Leccinum cf. scabrum,AB\n"))
    assert draft.values == {"verbatim_name": "Leccinum cf. scabrum", "qualifier": "cf."}
    assert draft.refers == {"find_id": "MV 3", "taxon_id": "Leccinum scabrum", "determined_by": "AB"}


def test_a_trait_in_months_may_run_over_the_turn_of_the_year(read: Read) -> None:
    row = "taxon,trait,value_text,low,high,unit,source_key,mark\nFagus,{},x,10,4,{},ours,our choice\n"
    assert _only(read(row.format("fruiting months", "month"))).values["high"] == 4.0
    assert "comes before" in _reasons(read(row.format("spore length", "µm")))[0]


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        ("", errors.FileUnreadable, "empty"),
        ("\n\n", errors.FileUnreadable, "does not name the columns"),
        ("moon,tide\n1,2\n", errors.FileNotRecognised, "--as KIND"),
        ("# sitebook table: dream\nname\nx\n", errors.FileNotRecognised, "table of dream"),
        (
            "# sitebook table: visit\nsite,local_date\nPark,2024-10-03\n",
            errors.FileUnreadable,
            "column reason",
        ),
        (
            "lon,lat,source,kind,origin,vehicles_per_day,counts_directions,heavy_share\n",
            errors.FileNotRecognised,
            "traffic_count, hazard",
        ),
    ],
)
def test_a_file_that_is_no_table_is_an_error(
    read: Read, text: str, error: type[errors.SitebookError], said: str
) -> None:
    with pytest.raises(error, match=said):
        read(text)


def test_a_wrong_kind_or_zone_is_an_error(read: Read) -> None:
    with pytest.raises(errors.BadArgument, match="Kinds of table"):
        read("name,initials\n", kind="dream")
    with pytest.raises(errors.BadArgument, match="Nowhere"):
        read("name,initials\n", zone="Nowhere")


def test_only_a_header_is_an_empty_table(read: Read) -> None:
    assert read("name,initials\n").drafts == ()


SINGLE_LINE = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Zl", "Zp"]), max_size=8)
CELLS = (
    st.one_of(st.sampled_from(["", "Park", "=A1", "<script>", "été", "a|b", "two\nlines"]), SINGLE_LINE),
    st.sampled_from(["2024-10-03", "Oct 1994", "autumn 1994", "3/4/2024", "", "=1+1"]),
    st.sampled_from(["", "5", "-1", "x", "1e9", "2,5"]),
    st.sampled_from(["planned", "told", "seen first", "why", ""]),
    SINGLE_LINE,
)
HEADER = ("site", "local_date", "search_minutes", "reason", "remarks")


def _written(rows: list[tuple[str, ...]], delimiter: str) -> tuple[str, list[int]]:
    """Write a table; gives its text and the line numbers of the rows that say something."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\n")
    writer.writerow(HEADER)
    starts = []
    for row in rows:
        start = text.getvalue().count("\n") + 1
        before = text.tell()
        writer.writerow(row)
        line = text.getvalue()[before:].strip()
        if line.strip('",;\t ') and not line.startswith("#"):
            starts.append(start)
    return text.getvalue(), starts


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(rows=st.lists(st.tuples(*CELLS), max_size=12), delimiter=st.sampled_from([",", ";", "\t"]))
def test_each_line_is_kept_left_out_or_refused_and_only_one(
    tmp_path: Path, rows: list[tuple[str, ...]], delimiter: str
) -> None:
    text, starts = _written(rows, delimiter)
    path = tmp_path / "visits.csv"
    path.write_text(text, encoding="utf-8", newline="")
    reading = read_table(path)
    kept = {draft.line_number for draft in reading.drafts}
    sorted_at = [line.line_number for line in reading.sorted_lines]
    assert kept.isdisjoint(sorted_at)
    assert len(sorted_at) == len(set(sorted_at))
    assert kept | set(sorted_at) == set(starts)
    assert all(line.reason and line.line_text for line in reading.sorted_lines)


@pytest.mark.parametrize("kind", list(LAYOUTS))
def test_no_table_asks_for_a_standing_column(kind: str) -> None:
    fields = {c.record_field for c in LAYOUTS[kind].columns if c.record_field}
    assert fields <= set(column_types(KINDS[kind])) - set(column_types(Standing))
