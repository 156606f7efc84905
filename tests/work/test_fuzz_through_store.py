"""Imports five hundred spoilt files into one book: each comes in whole or leaves the book as it was."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from sitebook.errors import SitebookError
from sitebook.work import opened, upkeep
from sitebook.work.bring_in import Wish, bring_in
from sitebook.work.opening import Book
from tests.intake.mutations import samples, spoilt
from tests.work.books import NOW, asked, fresh

ROUNDS, EACH = 5, 100
FIRST_SEED = 1_000_000
"""Other seeds than those of the readers alone, so that other files are tried."""

UNSPOILT = ("site", "tree", "visit", "find", "plain", "gpx", "osm")


def _begun(held: Book, folder: Path) -> None:
    for name in UNSPOILT:
        path = folder / f"{name}.file"
        path.write_bytes(samples()[name])
        bring_in(held, [path], now=NOW)


def _came_in(held: Book, path: Path, wish: Wish) -> bool:
    try:
        bring_in(held, [path], now=NOW, wish=wish)
    except SitebookError:
        return False
    return True


@pytest.mark.parametrize("round_number", range(ROUNDS))
def test_a_spoilt_file_comes_in_whole_or_not_at_all(tmp_path: Path, round_number: int) -> None:
    book, path = fresh(tmp_path), tmp_path / "spoilt.file"
    came_in = 0
    with opened(book) as held:
        _begun(held, tmp_path)
        for seed in range(FIRST_SEED + round_number * EACH, FIRST_SEED + (round_number + 1) * EACH):
            name, content = spoilt(seed)
            path.write_bytes(content)
            chance = random.Random(seed)  # noqa: S311 - the same each time, and no secret
            wish = Wish(accept_rest=chance.random() < 0.5, far=chance.random() < 0.5)
            before = book.read_bytes()
            try:
                kept = _came_in(held, path, wish)
            except Exception as fault:  # noqa: BLE001 - whatever it is, the seed must be told
                pytest.fail(f"seed {seed}, a spoilt {name}: {type(fault).__name__}: {fault}")
            assert kept or book.read_bytes() == before, f"seed {seed}, a spoilt {name}, came in by half"
            came_in += kept
    assert 0 < came_in < EACH
    with opened(book) as held:
        faults = [line for line in upkeep.look_over(held).result if line.faults]
    assert faults == []
    ((imports,),) = asked(book, "SELECT count(*) FROM import_batch")
    assert isinstance(imports, int)
    assert imports <= len(UNSPOILT) + came_in
