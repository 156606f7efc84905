"""Properties of the merge: whatever way lines come home, every whole one is kept and nothing said is lost."""

from __future__ import annotations

import datetime
import functools
import itertools
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sitebook.work import opened
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.corrections.changing import change
from tests.intake.field_return import made_lines
from tests.intake.field_return.made_lines import key
from tests.work import books, made_forays
from tests.work.bring_in import town

FEW = settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.too_slow])
STEP = datetime.timedelta(minutes=7)
PHONES = ("00000001", "00000002")


@functools.cache
def _book() -> tuple[bytes, str]:
    """Give a book with a site, two trees and a foray to the site, and its UUID."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = books.fresh(folder)
        site = books.table(folder, "site", "name,lon,lat,radius_m", "Harbour wood,-19.41,48.61,60")
        trees = ("Harbour wood,E1,Quercus robur,-19.41,48.61", "Harbour wood,E2,Quercus robur,-19.411,48.61")
        town.bring(path, site, books.table(folder, "host_tree", "site,tag,taxon,lon,lat", *trees))
        made_forays.keep(path, "Harbour wood", now=books.NOW + STEP)
        (uuid,) = books.only(path, "SELECT uuid FROM book")
        return path.read_bytes(), str(uuid)


def _one_phone() -> list[str]:
    """Write what one telephone says, with changes of mind."""
    of: dict[str, Any] = {"book": _book()[1], "pad": PHONES[0]}
    return [
        made_lines.visit(**of),
        made_lines.visit("visit", 2, search_minutes=25, **of),
        made_lines.look("tree", host_tree="E1", **of),
        made_lines.look("tree", 2, host_tree="E1", outcome="found", **of),
        made_lines.look("gone", **of),
        made_lines.look("gone", 2, withdrawn=True, **of),
        made_lines.find("one", individual_count=3, note="im Grün", **of),
        made_lines.find("one", 2, individual_count=4, note="im Grün", minute=1, **of),
        made_lines.find("two", name="Boletus edulis", host_tree="E2", **of),
        made_lines.find("two", 2, name="Suillus luteus", host_tree="E2", **of),
    ]


def _other_phone() -> list[str]:
    """Write what a copy of the same sheet says on another telephone, begun with the same first turns."""
    of: dict[str, Any] = {"book": _book()[1], "pad": PHONES[1]}
    return [
        made_lines.find("one", 2, individual_count=9, note="other", minute=2, **of),
        made_lines.visit("later", started_at="2025-10-04T14:00:00-01:00", **of),
        made_lines.find("three", of="later", collection_number=8, **of),
        made_lines.look("bare", of="later", **of),
    ]


@dataclass(frozen=True)
class _Homecoming:
    """Files as they come home, each a list of bytes cut from lines, and how many come with one command."""

    files: tuple[bytes, ...]
    commands: tuple[int, ...]


@st.composite
def homecomings(draw: st.DrawFn) -> _Homecoming:
    """Interleave the lines of both telephones, repeat some, part them into files and cut the files' ends."""
    lines = [*_one_phone(), *_other_phone()]
    order = draw(st.permutations(lines))
    again = draw(st.lists(st.sampled_from(lines), max_size=5))
    mixed = [*order, *again]
    cuts = sorted(draw(st.lists(st.integers(1, len(mixed) - 1), max_size=2, unique=True)))
    files = []
    for first, last in itertools.pairwise([0, *cuts, len(mixed)]):
        whole = made_lines.as_file(*mixed[first:last])
        front, back = draw(st.integers(0, 350)), draw(st.integers(0, 350))
        if draw(st.booleans()):
            front, back = 0, 0
        files.append(whole[front : len(whole) - back])
    return _Homecoming(tuple(files), tuple(draw(st.sampled_from([(3,), (1, 2), (1, 1, 1)]))))


def _whole_lines(files: Sequence[bytes]) -> set[str]:
    """Give the lines that stand whole in files, found without the reader: by their own text."""
    every = [*_one_phone(), *_other_phone()]
    return {line for line in every if any(line.encode() in raw for raw in files)}


def _come_home(book: Path, home: _Homecoming, *, between: bool = False) -> None:
    """Bring files in, command by command; `between` the first and the second somebody changes a find."""
    files = [raw for raw in home.files if _whole_lines([raw])]
    now = books.LATER
    at = 0
    for number, size in enumerate(home.commands):
        paths: list[Path] = []
        for raw in files[at : at + size]:
            paths.append(book.parent / f"entries{number}-{len(paths)}.jsonl")
            paths[-1].write_bytes(raw)
        at += size
        with opened(book) as open_book:
            if paths:
                bring_in(open_book, paths, now=now, wish=Wish())
            if between and number == 0 and books.asked(book, "SELECT 1 FROM find WHERE uuid = ?", key("one")):
                change(open_book, "find", key("one"), {"individual_count": "70"}, now=now + STEP / 2)
        now += STEP


def _fresh(folder: str, name: str) -> Path:
    (Path(folder) / name).mkdir()
    path = Path(folder) / name / "sitebook.gpkg"
    path.write_bytes(_book()[0])
    return path


STANDING = """
SELECT v.uuid, local_date, search_minutes, s.turn FROM visit v LEFT JOIN foray_stop s ON s.visit_id = v.id
    WHERE v.withdrawn_at IS NULL ORDER BY 1;
SELECT look.uuid, visit.uuid, tag, outcome FROM look JOIN visit ON visit.id = visit_id
    LEFT JOIN host_tree ON host_tree.id = host_tree_id WHERE look.withdrawn_at IS NULL ORDER BY 1;
SELECT find.uuid, visit.uuid, collection_number, individual_count, note FROM find
    JOIN visit ON visit.id = visit_id WHERE find.withdrawn_at IS NULL ORDER BY 1;
SELECT find.uuid, verbatim_name FROM determination d JOIN find ON find.id = find_id
    WHERE d.withdrawn_at IS NULL ORDER BY 1, 2;
SELECT find.uuid, tag FROM find_host h JOIN find ON find.id = find_id
    JOIN host_tree t ON t.id = host_tree_id WHERE h.withdrawn_at IS NULL ORDER BY 1, 2
"""


def _standing(book: Path) -> list[list[tuple[object, ...]]]:
    return [books.asked(book, statement) for statement in STANDING.split(";")]


def _kept(book: Path) -> set[object]:
    return {text for (text,) in books.asked(book, "SELECT line_text FROM entry_line")}


@FEW
@given(homecomings())
def test_any_interleaving_duplication_and_truncation_keeps_every_whole_line(home: _Homecoming) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book, plain = _fresh(folder, "merged"), _fresh(folder, "plain")
        _come_home(book, home)
        whole = _whole_lines(home.files)
        assert _kept(book) == whole
        _come_home(plain, _Homecoming((made_lines.as_file(*sorted(whole)),) if whole else (), (1,)))
        assert _standing(book) == _standing(plain)
        before = books.contents(book)
        _come_home(book, home)
        assert books.contents(book) == before


@FEW
@given(homecomings())
def test_what_was_said_on_both_telephones_and_at_home_stands_or_waits(home: _Homecoming) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = _fresh(folder, "merged")
        _come_home(book, home, between=True)
        whole = _whole_lines(home.files)
        assert _kept(book) == whole
        found = books.asked(book, "SELECT individual_count FROM find WHERE uuid = ?", key("one"))
        waiting = {
            int(str(value))
            for (value,) in books.asked(
                book, "SELECT their_value FROM conflict WHERE column_name = 'individual_count'"
            )
        }
        said = {9: _other_phone()[0], 4: _one_phone()[7]}
        last = {count for count, line in said.items() if line in whole}
        changed = books.asked(book, "SELECT 1 FROM change WHERE new_value = '70' AND column_name = ?", _COUNT)
        for count in last:
            known = _before_home(book, count)
            assert (count,) in found or count in waiting or known, (count, found, waiting)
        assert not changed or found == [(70,)]


_COUNT = "individual_count"


def _before_home(book: Path, count: int) -> bool:
    """Whether somebody at home saw a count and replaced it."""
    seen = "SELECT 1 FROM change WHERE column_name = ? AND old_value = ? AND new_value = '70'"
    return bool(books.asked(book, seen, _COUNT, str(count)))
