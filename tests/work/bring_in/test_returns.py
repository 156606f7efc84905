"""Tests that what comes home from sheets merges whatever way it comes, and that nothing she said is lost."""

from __future__ import annotations

import datetime
import random
from collections.abc import Sequence
from pathlib import Path

import pytest

from sitebook.errors import LinesRefused
from sitebook.work import opened
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.corrections.changing import change
from sitebook.work.corrections.deciding import decide
from sitebook.work.corrections.withdrawing import withdraw
from tests.intake.field_return import made_lines
from tests.intake.field_return.made_lines import as_file, key
from tests.work import books
from tests.work.bring_in import town

STEP = datetime.timedelta(minutes=7)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Give a book with one site and two trees."""
    path = books.fresh(tmp_path)
    sites = books.table(tmp_path, "site", "name,lon,lat,radius_m", "Harbour wood,-19.41,48.61,60")
    trees = books.table(
        tmp_path,
        "host_tree",
        "site,tag,taxon,lon,lat",
        "Harbour wood,E1,Quercus robur,-19.41,48.61",
        "Harbour wood,E2,Quercus robur,-19.411,48.61",
    )
    town.bring(path, sites, trees)
    return path


def _book_uuid(book: Path) -> str:
    (found,) = books.only(book, "SELECT uuid FROM book")
    return str(found)


class _Sheet:
    """Writes lines for one book and brings files of them in, each later than the one before."""

    def __init__(self, book: Path) -> None:
        self.book, self.uuid, self.now, self.files = book, _book_uuid(book), books.NOW, 0

    def visit(self, *words: object, **says: object) -> str:
        return made_lines.visit(*words, book=self.uuid, **says)  # type: ignore[arg-type]

    def look(self, *words: object, **says: object) -> str:
        return made_lines.look(*words, book=self.uuid, **says)  # type: ignore[arg-type]

    def find(self, *words: object, **says: object) -> str:
        return made_lines.find(*words, book=self.uuid, **says)  # type: ignore[arg-type]

    def end(self, lines: int) -> str:
        return made_lines.line("end", "end", book=self.uuid, lines=lines)

    def bring(self, *files: Sequence[str], **wish: object) -> list[str]:
        """Bring files of lines in as one command; gives what was left out or refused."""
        paths = []
        for lines in files:
            self.files += 1
            path = self.book.parent / f"entries{self.files}.jsonl"
            path.write_bytes(as_file(*lines))
            paths.append(path)
        self.now += STEP
        report = town.bring(self.book, *paths, now=self.now, **wish)
        return [line.reason for line in town.lines_of(report) if "lacks its end" not in line.reason]


@pytest.fixture
def sheet(book: Path) -> _Sheet:
    """Give a sheet of the book."""
    return _Sheet(book)


def _rows(book: Path) -> dict[str, list[tuple[object, ...]]]:
    """Give what stands of the entries, without keys and instants of keeping."""
    return {
        "visit": books.asked(
            book, "SELECT uuid, local_date, search_minutes FROM visit WHERE withdrawn_at IS NULL ORDER BY 1"
        ),
        "look": books.asked(
            book,
            "SELECT look.uuid, visit.uuid, tag, outcome FROM look JOIN visit ON visit.id = visit_id "
            "LEFT JOIN host_tree ON host_tree.id = host_tree_id WHERE look.withdrawn_at IS NULL ORDER BY 1",
        ),
        "find": books.asked(
            book,
            "SELECT find.uuid, visit.uuid, collection_number, individual_count, note FROM find "
            "JOIN visit ON visit.id = visit_id WHERE find.withdrawn_at IS NULL ORDER BY 1",
        ),
        "name": books.asked(
            book,
            "SELECT find.uuid, verbatim_name, qualifier FROM determination d JOIN find ON find.id = find_id "
            "WHERE d.withdrawn_at IS NULL ORDER BY 1, 2",
        ),
        "host": books.asked(
            book,
            "SELECT find.uuid, tag FROM find_host h JOIN find ON find.id = find_id "
            "JOIN host_tree t ON t.id = host_tree_id WHERE h.withdrawn_at IS NULL ORDER BY 1, 2",
        ),
    }


def _finds(book: Path) -> list[tuple[object, ...]]:
    return books.asked(
        book, "SELECT collection_number, individual_count, note, withdrawn_at IS NULL FROM find ORDER BY uuid"
    )


def test_the_same_file_twice_changes_nothing(sheet: _Sheet) -> None:
    lines = [sheet.visit(), sheet.look("none", host_tree="E1"), sheet.find("one", name="Boletus edulis")]
    assert sheet.bring(lines) == []
    before = books.contents(sheet.book)
    assert sheet.bring(lines) == []
    assert books.contents(sheet.book) == before
    sheet.bring([*lines, lines[0]])
    after = books.contents(sheet.book)
    for table in ("visit", "look", "find", "determination", "entry_line"):
        assert after[table] == before[table]


def test_rows_carry_the_uuids_of_their_entries(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.look("none"), sheet.find("one")])
    found = books.uuids(sheet.book)
    assert (found["visit"], found["look"], found["find"]) == ([key("visit")], [key("none")], [key("one")])


def _story(sheet: _Sheet) -> list[str]:
    return [
        sheet.visit(),
        sheet.visit("visit", 2, search_minutes=25),
        sheet.visit("second", started_at="2025-10-04T11:00:00-01:00"),
        sheet.look("tree", host_tree="E1"),
        sheet.look("tree", 2, host_tree="E1", outcome="found"),
        sheet.look("gone"),
        sheet.look("gone", 2, withdrawn=True),
        sheet.find("one", collection_number=1, name="Boletus edulis", host_tree="E1"),
        sheet.find("one", 2, collection_number=2, name="Boletus cf. edulis", individual_count=4),
        sheet.find("two", collection_number=2, individual_count=1),
        sheet.find("two", 2, of="second", collection_number=1, host_tree="E2"),
        sheet.find("three", name="Suillus luteus"),
        sheet.find("three", 2, withdrawn=True),
        sheet.find("three", 3, name="Suillus luteus", note="put back"),
        sheet.find("four", note="ne'er named"),
        sheet.find("four", 2, withdrawn=True),
    ]


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4, 18, 59, 80])
def test_halves_in_any_order_give_what_the_whole_gives(seed: int, tmp_path: Path, book: Path) -> None:
    whole = _Sheet(book)
    story = _story(whole)
    (tmp_path / "other").mkdir()
    other = tmp_path / "other" / "sitebook.gpkg"
    other.write_bytes(book.read_bytes())
    whole.bring(story)
    parts = _Sheet(other)
    chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
    shuffled = [*story, *chance.sample(story, 4)]
    chance.shuffle(shuffled)
    first, second = sorted(chance.sample(range(len(shuffled)), 2))
    pieces = [part for part in (shuffled[:first], shuffled[first:second], shuffled[second:]) if part]
    if chance.random() < 0.5:
        parts.bring(*pieces)
    else:
        for piece in pieces:
            parts.bring(piece)
    assert _rows(parts.book) == _rows(whole.book)
    texts = "SELECT line_text FROM entry_line ORDER BY line_text"
    assert books.asked(other, texts) == books.asked(book, texts)


def test_a_find_that_changed_only_in_the_field_is_set_anew(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", individual_count=3, note="first")])
    assert sheet.bring([sheet.find("one", 2, individual_count=5)]) == []
    assert _finds(sheet.book) == [(None, 5, None, 1)]
    changes = "SELECT old_value, new_value FROM change WHERE column_name = 'individual_count'"
    assert books.only(sheet.book, changes) == ("3", "5")


def test_what_both_changed_is_kept_for_her_to_decide(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", individual_count=3, note="first")])
    with opened(sheet.book) as book:
        change(book, "find", key("one"), {"individual_count": "4"}, now=sheet.now + STEP / 2)
    (told,) = sheet.bring([sheet.find("one", 2, individual_count=5, note="second")])
    assert "individual_count changed both in the book and in the field" in told
    assert _finds(sheet.book) == [(None, 4, "second", 1)]
    conflict = "SELECT row_uuid, column_name, base_value, our_value, their_value, decided FROM conflict"
    assert books.only(sheet.book, conflict) == (key("one"), "individual_count", "3", "4", "5", None)


def test_what_she_changed_at_home_alone_stays(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", individual_count=3)])
    with opened(sheet.book) as book:
        change(book, "find", key("one"), {"note": "at home"}, now=sheet.now + STEP / 2)
    assert sheet.bring([sheet.find("one", 2, individual_count=5)]) == []
    assert _finds(sheet.book) == [(None, 5, "at home", 1)]


def test_a_new_name_stands_in_place_of_the_old_one(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", name="Boletus edulis")])
    sheet.bring([sheet.find("one", 2, name="Suillus luteus")])
    assert _rows(sheet.book)["name"] == [(key("one"), "Suillus luteus", None)]
    assert books.only(sheet.book, "SELECT count(*) FROM determination") == (2,)


def test_a_name_taken_back_and_given_again_stands(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", name="Boletus edulis")])
    sheet.bring([sheet.find("one", 2, withdrawn=True)])
    assert _rows(sheet.book)["find"] == []
    sheet.bring([sheet.find("one", 3, name="Suillus luteus")])
    sheet.bring([sheet.find("one", 4, name="Boletus edulis")])
    assert _rows(sheet.book)["name"] == [(key("one"), "Boletus edulis", None)]


def test_a_number_given_twice_stays_with_the_find_that_has_it(sheet: _Sheet) -> None:
    finds = books.table(
        sheet.book.parent, "find", "site,found_on,collection_number", "Harbour wood,2025-09-01,7"
    )
    town.bring(sheet.book, finds)
    told = sheet.bring([sheet.visit(), sheet.find("one", collection_number=7), sheet.find("two", note="x")])
    assert told == ["number 7 stands on another find; this one is kept as a draft without a number"]
    assert books.only(sheet.book, "SELECT collection_number, note FROM find WHERE uuid = ?", key("one")) == (
        None,
        "tag 7",
    )


def test_two_copies_of_a_sheet_lose_neither_line(sheet: _Sheet) -> None:
    one = sheet.find("one", 2, individual_count=5, minute=1)
    two = sheet.find("one", 2, individual_count=6, minute=2, pad="00000001")
    (told,) = sheet.bring([sheet.visit(), sheet.find("one"), one], [two])
    assert "two copies of the sheet changed the same find" in told
    assert [row[1] for row in _finds(sheet.book)] == [6]
    assert books.only(sheet.book, "SELECT count(*) FROM entry_line") == (4,)


CONFLICTS = "SELECT column_name, base_value, our_value, their_value, decided FROM conflict ORDER BY 1"


@pytest.mark.parametrize("parts", [[0, 1, 2], [0, 2, 1], [1, 0, 2], [2, 1, 0]])
def test_what_the_other_copy_changed_waits_for_a_decision_also_where_one_was_written_on(
    sheet: _Sheet, parts: list[int]
) -> None:
    files = [
        [sheet.visit(), sheet.find("one", individual_count=3, note="both")],
        [
            sheet.find("one", 2, individual_count=5, note="both", minute=1),
            sheet.find("one", 3, individual_count=6, note="both", minute=3),
        ],
        [sheet.find("one", 2, individual_count=3, note="other", fresh_mass_g=40, minute=2, pad="00000001")],
    ]
    for part in parts:
        sheet.bring(files[part])
    assert _finds(sheet.book) == [(None, 6, "both", 1)]
    waiting = {row[0]: row[1:] for row in books.asked(sheet.book, CONFLICTS)}
    assert waiting["note"] == ("both" if parts[-1] else None, "both", "other", None)
    assert waiting["fresh_mass_g"] == (None, None, "40.0", None)
    assert ("individual_count" in waiting) == (not parts[-1])
    with opened(sheet.book) as book:
        (number,) = books.only(sheet.book, "SELECT id FROM conflict WHERE column_name = 'note'")
        decide(book, int(str(number)), "theirs", now=sheet.now + STEP / 2)
    assert _finds(sheet.book) == [(None, 6, "other", 1)]
    decided = books.asked(sheet.book, CONFLICTS)
    sheet.bring([*files[0], *files[1], *files[2]])
    assert books.asked(sheet.book, CONFLICTS) == decided
    assert _finds(sheet.book) == [(None, 6, "other", 1)]


def test_what_one_copy_took_back_and_the_other_changed_is_told(sheet: _Sheet) -> None:
    lines = [sheet.visit(), sheet.find("one", individual_count=3)]
    changed = sheet.find("one", 2, individual_count=5, minute=1, pad="00000001")
    (told,) = sheet.bring([*lines, sheet.find("one", 2, withdrawn=True, minute=2)], [changed])
    assert "kept in entry_line" in told
    assert books.asked(sheet.book, CONFLICTS) == []


def test_a_line_of_another_book_is_refused_and_the_rest_can_come_in(sheet: _Sheet) -> None:
    foreign = made_lines.find("foreign")
    with pytest.raises(LinesRefused, match="another book"):
        sheet.bring([sheet.visit(), foreign])
    assert books.only(sheet.book, "SELECT count(*) FROM visit") == (0,)
    sheet.bring([sheet.visit(), foreign, sheet.find("one")], accept_rest=True)
    assert books.only(sheet.book, "SELECT count(*) FROM find") == (1,)
    assert books.only(sheet.book, "SELECT count(*) FROM entry_line") == (2,)


def test_a_find_withdrawn_at_home_stays_withdrawn(sheet: _Sheet) -> None:
    sheet.bring([sheet.visit(), sheet.find("one", individual_count=3)])
    with opened(sheet.book) as book:
        withdraw(book, "find", key("one"), now=sheet.now + STEP / 2)
    (told,) = sheet.bring([sheet.find("one", 2, individual_count=5)])
    assert "was withdrawn in the book and stays so" in told
    assert _finds(sheet.book) == [(None, 3, None, 0)]


def test_a_renamed_site_is_found_by_its_uuid(sheet: _Sheet) -> None:
    (site,) = books.only(sheet.book, "SELECT uuid FROM site")
    with opened(sheet.book) as book:
        change(book, "site", "Harbour wood", {"name": "Old wood"}, now=sheet.now)
    assert sheet.bring([sheet.visit(site_uuid=site), sheet.find("one", site_uuid=site)]) == []
    assert len(_finds(sheet.book)) == 1


def test_a_trial_keeps_nothing(sheet: _Sheet) -> None:
    before = books.contents(sheet.book)
    sheet.bring([sheet.visit(), sheet.find("one"), sheet.end(2)], dry_run=True)
    assert books.contents(sheet.book) == before


def test_a_sheet_beside_a_table_of_the_same_day(sheet: _Sheet) -> None:
    looks = books.table(
        sheet.book.parent, "find", "site,found_on,name", "Harbour wood,2025-10-04,Boletus edulis"
    )
    path = sheet.book.parent / "entries.jsonl"
    path.write_bytes(as_file(sheet.visit(), sheet.find("one"), sheet.end(2)))
    with opened(sheet.book) as book:
        bring_in(book, [path, looks], now=books.LATER, wish=Wish())
    visits = books.asked(sheet.book, "SELECT DISTINCT visit_id FROM find")
    assert len(visits) == len(books.asked(sheet.book, "SELECT id FROM visit"))
