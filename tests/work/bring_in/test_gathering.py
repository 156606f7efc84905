"""Tests that rows of several files stand in one order, and that each line is counted once."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitebook.work.answer import silent
from sitebook.work.bring_in.gathering import gather
from sitebook.work.bring_in.reading import read_all
from tests.work import books
from tests.work.bring_in import town

SITES = st.sampled_from(["Mill Park", "mill park", "Quay Wood", "Mil Park", ""])
DAYS = st.sampled_from(
    ["2025-09-01", "2025-09-02", "2025-02-30", "Sept", "", "1994", "2025-09-01/2025-09-03"]
)
MINUTES = st.sampled_from(["", "10", "12,5", "-4", "many"])
REASONS = st.sampled_from(["planned", "passing", "because", ""])
LINES = st.lists(st.tuples(SITES, DAYS, MINUTES, REASONS), max_size=12)


def _visits(folder: Path, lines: list[tuple[str, str, str, str]], name: str = "visit") -> Path:
    rows = (";".join(cells) for cells in lines)
    return books.table(folder, "visit", "site;local_date;search_minutes;reason", *rows, name=name)


@given(LINES)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=8, deadline=None)
def test_each_line_is_kept_or_left_out_or_refused(lines: list[tuple[str, str, str, str]]) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = books.fresh(folder)
        town.bring(book, town.sites(folder))
        report = town.bring(book, _visits(folder, lines), accept_rest=True)
        (file,) = report.files
        kept = file.added.get("visit", 0)
        told = [line for line in file.sorted_lines if line.line_number is not None]
        filled = [cells for cells in lines if any(cells)]
        assert kept + file.already + len(told) == len(filled)
        assert books.only(book, "SELECT count(*) FROM visit") == (kept,)
        listed = books.only(book, "SELECT count(*) FROM refused_line")
        assert listed == (len(file.sorted_lines),)
        assert len({line.line_number for line in told}) == len(told)
        for line in told:
            assert line.sorting in {"left out", "refused"}
            assert line.reason.strip()


@given(LINES, LINES)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=5, deadline=None)
def test_two_tables_give_the_same_in_either_order(
    one: list[tuple[str, str, str, str]], other: list[tuple[str, str, str, str]]
) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        files = [town.sites(folder), _visits(folder, one, "one"), _visits(folder, other, "other")]
        kept = []
        for number, order in enumerate((files, files[::-1])):
            book = books.fresh(folder, f"{number}.gpkg")
            report = town.bring(book, *order, accept_rest=True)
            kept.append((books.contents(book), report))
        assert kept[0] == kept[1]


def _read(*paths: Path) -> dict[str, list[str]]:
    files = read_all(paths, zone="UTC", kind=None, waypoints="finds", progress=silent)
    return {
        kind: [a.draft.identity for a in arrivals] for kind, arrivals in gather(files, "OV").arrivals.items()
    }


def test_tables_stand_in_the_order_they_can_be_written(tmp_path: Path) -> None:
    files = [*town.tables(tmp_path), town.old_map(tmp_path)]
    order = list(_read(*files))
    assert order == list(_read(*files[::-1]))
    for first, second in [("person", "visit"), ("site", "host_tree"), ("visit", "look"), ("extract", "way")]:
        assert order.index(first) < order.index(second)


def test_two_files_say_more_together_than_each(tmp_path: Path) -> None:
    book = books.fresh(tmp_path)
    head = "site,tag,lon,lat,girth_cm,note"
    one = books.table(tmp_path, "host_tree", head, "Mill Park,X,-19.4,48.602,118,", name="one")
    two = books.table(tmp_path, "host_tree", head, "Mill Park,X,-19.4,48.602,,leans", name="two")
    report = town.bring(book, town.sites(tmp_path), one, two)
    assert books.asked(book, "SELECT girth_cm, note FROM host_tree") == [(118.0, "leans")]
    assert sum(file.already for file in report.files) == 1


def test_two_files_that_contradict_each_other_are_told(tmp_path: Path) -> None:
    book = books.fresh(tmp_path)
    head = "site,tag,lon,lat,girth_cm"
    one = books.table(tmp_path, "host_tree", head, "Mill Park,X,-19.4,48.602,118", name="one")
    two = books.table(tmp_path, "host_tree", head, "Mill Park,X,-19.4,48.602,131", name="two")
    report = town.bring(book, town.sites(tmp_path), two, one)
    assert books.asked(book, "SELECT girth_cm FROM host_tree") == [(118.0,)]
    (line,) = town.lines_of(report)
    assert (line.sorting, line.line_number) == ("left out", 3)


def test_a_find_with_and_without_its_collector_is_one(tmp_path: Path) -> None:
    book = books.fresh(tmp_path)
    head = "site,found_on,collector,collection_number,note"
    one = books.table(tmp_path, "find", head, "Mill Park,2025-09-01,,1,", name="one")
    two = books.table(tmp_path, "find", head, "Mill Park,2025-09-01,OV,1,under the birch", name="two")
    town.bring(book, town.sites(tmp_path), one, two)
    assert books.asked(book, "SELECT note FROM find") == [("under the birch",)]


def test_a_find_with_and_without_its_collector_has_one_name(tmp_path: Path) -> None:
    book = books.fresh(tmp_path)
    head = "site,found_on,collector,collection_number,name"
    one = books.table(tmp_path, "find", head, "Mill Park,2025-09-01,,1,Boletus edulis", name="one")
    two = books.table(tmp_path, "find", head, "Mill Park,2025-09-01,OV,1,Boletus edulis", name="two")
    town.bring(book, town.sites(tmp_path), one, two)
    assert books.only(book, "SELECT count(*) FROM find") == (1,)
    assert books.asked(book, "SELECT verbatim_name FROM determination") == [("Boletus edulis",)]
