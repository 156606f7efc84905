"""Tests that files come in whole or not at all, in any order, and never twice."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.work import opened
from sitebook.work.bring_in import bring_in
from tests.work import books
from tests.work.bring_in import town

WALK = [(-19.4000, 48.6020, 12.0), (-19.3920, 48.6080, 9.0)]


def _all_files(folder: Path) -> list[Path]:
    folder.mkdir(exist_ok=True)
    walked = town.walk(
        folder / "walk.gpx", WALK, waypoints=[("ink caps", -19.39995, 48.60201, "2025-09-01T09:05:00Z")]
    )
    return [*town.tables(folder), town.old_map(folder), town.new_map(folder), walked]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return books.fresh(tmp_path)


def test_every_file_gives_its_rows(book: Path, tmp_path: Path) -> None:
    report = town.bring(book, *_all_files(tmp_path / "files"))
    assert not [line for line in town.lines_of(report) if line.sorting == "refused"]
    found = town.added(report)
    wanted = {"site": 2, "host_tree": 3, "look": 2, "find": 4, "traffic_count": 1, "weather_day": 2}
    assert {kind: found.get(kind) for kind in wanted} == wanted
    assert {kind: found.get(kind) for kind in ("extract", "track", "visit_person")} == {
        "extract": 2,
        "track": 1,
        "visit_person": 3,
    }


def test_the_order_of_files_does_not_matter(tmp_path: Path) -> None:
    files = _all_files(tmp_path / "files")
    shuffled = random.Random(7)  # noqa: S311
    orders = [files, files[::-1], *(shuffled.sample(files, len(files)) for _ in range(3))]
    kept = []
    for number, order in enumerate(orders):
        path = books.fresh(tmp_path, f"{number}.gpkg")
        town.bring(path, *order)
        kept.append(books.contents(path))
    for other in kept[1:]:
        assert other == kept[0]


def test_the_report_does_not_depend_on_the_order_either(tmp_path: Path) -> None:
    files = _all_files(tmp_path / "files")
    one = town.bring(books.fresh(tmp_path, "one.gpkg"), *files)
    assert town.bring(books.fresh(tmp_path, "other.gpkg"), *files[::-1]) == one


def test_the_same_files_again_change_nothing(book: Path, tmp_path: Path) -> None:
    files = _all_files(tmp_path / "files")
    town.bring(book, *files)
    before = book.read_bytes()
    report = town.bring(book, *files, now=books.LATER)
    assert all(file.seen_before for file in report.files)
    assert book.read_bytes() == before


def test_the_same_file_under_two_names_is_read_once(book: Path, tmp_path: Path) -> None:
    one = town.sites(tmp_path)
    other = Path(shutil.copyfile(one, tmp_path / "copy.csv"))
    report = town.bring(book, one, other, one)
    assert town.added(report)["site"] == 2
    assert books.only(book, "SELECT count(*) FROM import_batch") == (1,)


def test_a_file_that_overlaps_doubles_nothing(book: Path, tmp_path: Path) -> None:
    files = _all_files(tmp_path / "files")
    town.bring(book, *files)
    before = books.uuids(book)
    again = [_with_a_comment(path) for path in files if path.suffix == ".csv"]
    report = town.bring(book, *again, now=books.LATER)
    assert not [line for line in town.lines_of(report) if line.sorting == "refused"]
    assert town.added(report) == {}
    after = books.uuids(book)
    assert {t: u for t, u in after.items() if t != "import_batch"} == {
        t: u for t, u in before.items() if t != "import_batch"
    }
    assert books.only(book, "SELECT count(*) FROM weather_day") == (2,)
    assert books.only(book, "SELECT count(*) FROM visit_person") == (3,)


def _with_a_comment(path: Path) -> Path:
    path.write_text(path.read_text("utf-8") + "# nothing new below\n", "utf-8")
    return path


def test_a_fuller_file_brings_what_is_new_alone(book: Path, tmp_path: Path) -> None:
    town.bring(book, town.sites(tmp_path))
    more = town.sites(tmp_path, "more_sites")
    more.write_text(more.read_text("utf-8") + "Dune Hollow,-19.41,48.595,25\n", "utf-8")
    report = town.bring(book, more, now=books.LATER)
    (file,) = report.files
    assert (dict(file.added), file.already) == ({"site": 1}, 2)


def test_a_trial_reports_the_same_and_keeps_nothing(book: Path, tmp_path: Path) -> None:
    files = _all_files(tmp_path / "files")
    before = book.read_bytes()
    trial = town.bring(book, *files, dry_run=True)
    assert trial.dry_run
    assert book.read_bytes() == before
    real = town.bring(book, *files)
    assert (real.files, real.made, real.remarks) == (trial.files, trial.made, trial.remarks)


def test_one_impossible_line_keeps_all_files_out(book: Path, tmp_path: Path) -> None:
    good = town.sites(tmp_path)
    bad = books.table(tmp_path, "visit", "site,local_date,reason", "Mill Park,2025-02-30,planned")
    before = book.read_bytes()
    with pytest.raises(errors.LinesRefused, match=r"visit\.csv line 3"):
        town.bring(book, good, bad)
    assert book.read_bytes() == before


def test_the_rest_comes_in_where_she_accepts_it(book: Path, tmp_path: Path) -> None:
    bad = books.table(
        tmp_path,
        "visit",
        "site,local_date,reason",
        "Mill Park,2025-02-30,planned",
        "Mill Park,2025-03-01,planned",
        "Mil Park,2025-03-02,planned",
    )
    report = town.bring(book, town.sites(tmp_path), bad, accept_rest=True)
    assert town.added(report) == {"site": 2, "visit": 1}
    assert [line.line_number for line in town.lines_of(report)] == [3, 5]
    asked = "SELECT line_number, sorted_as FROM refused_line ORDER BY line_number"
    assert books.asked(book, asked) == [(3, "refused"), (5, "refused")]


def test_many_refused_lines_are_told_in_one(book: Path, tmp_path: Path) -> None:
    rows = [f"Mill Park,2025-02-{day},planned" for day in range(30, 40)]
    bad = books.table(tmp_path, "visit", "site,local_date,reason", *rows)
    with pytest.raises(errors.LinesRefused, match="and 7 more") as told:
        town.bring(book, bad)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("trouble", ["missing", "unknown", "broken"])
def test_a_file_that_cannot_be_used_keeps_the_others_out(trouble: str, book: Path, tmp_path: Path) -> None:
    path = tmp_path / "trouble.gpx"
    if trouble == "unknown":
        path.write_text("Dear diary")
    elif trouble == "broken":
        path.write_text('<?xml version="1.0"?><gpx version="1.1"><wpt')
    before = book.read_bytes()
    with pytest.raises(errors.SitebookError):
        town.bring(book, town.sites(tmp_path), path)
    assert book.read_bytes() == before


def test_one_command_is_one_revision(book: Path, tmp_path: Path) -> None:
    before = books.revision(book)
    town.bring(book, *_all_files(tmp_path / "files"))
    assert books.revision(book) == before + 1


def test_every_row_knows_its_file(book: Path, tmp_path: Path) -> None:
    town.bring(book, *_all_files(tmp_path / "files"))
    asked = "SELECT DISTINCT b.file_name FROM {} r LEFT JOIN import_batch b ON b.id = r.batch_id"
    for table in ("site", "visit", "find", "host_tree", "look", "hazard", "extract", "weather_day"):
        names = {row[0] for row in books.asked(book, asked.format(table))}
        assert None not in names, table


def test_progress_is_told_and_ends(book: Path, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []

    def listen(_: str, done: int, steps: int) -> None:
        told.append((done, steps))

    with opened(book) as found:
        bring_in(found, [town.sites(tmp_path)], now=books.NOW, progress=listen)
    assert told[-1][0] == told[-1][1]
    assert all(0 <= done <= steps for done, steps in told)


def test_visits_made_for_finds_and_for_tracks_are_both_counted(book: Path, tmp_path: Path) -> None:
    find = books.table(
        tmp_path, "find", "site,found_on,collection_number,name", "Mill Park,2025-08-20,1,Boletus edulis"
    )
    walked = town.walk(tmp_path / "walk.gpx", WALK)
    report = town.bring(book, town.sites(tmp_path), find, walked)
    assert books.only(book, "SELECT count(*) FROM visit") == (3,)
    assert report.made["visit"] == 3
