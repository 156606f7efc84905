"""Tests of `contamination --surface`: what it prints, its JSON, and its one line where there is nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.commands.surface_words import share_words, surface_lines
from tests.commands.running import run
from tests.pages.sample_surface import sample_surface
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def test_it_says_cells_error_and_levels(book: Path) -> None:
    first = run("contamination", "--surface", "--book", str(book))
    assert first.status == 0
    assert "cells of 5 m" in first.out
    assert "reckoned now" in first.out
    assert "from 3,000 cells drawn by chance" in first.out
    assert first.out.count("of the covered ground") == 4
    assert "roads alone" in first.out
    assert "near that edge it may be too low" in first.out
    assert "kept, " in run("contamination", "--surface", "--book", str(book)).out


def test_json_has_the_documented_shape(book: Path) -> None:
    told = run("contamination", "--surface", "--json", "--book", str(book)).json
    assert set(told) == {"speaks_of", "made_anew", "left_out_km2", "grounds"}
    (ground,) = told["grounds"]
    assert ground["error_points"] == 3000
    assert ground["error_median"] < 0.0005
    assert ground["error_p99"] < 0.003
    assert [level["level"] for level in ground["levels"]] == [0.005, 0.05, 0.3, 1.0]


def test_a_book_without_a_map_gets_one_line(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    ran = run("contamination", "--surface", "--book", str(path))
    assert ran.status == 2
    assert "no map yet" in ran.err
    assert len(ran.err.strip().splitlines()) == 1


def test_it_goes_with_no_other_question(book: Path) -> None:
    ran = run("contamination", "--surface", "--all", "--book", str(book))
    assert ran.status == 2
    assert "--surface" in ran.err


def test_what_is_left_out_is_said() -> None:
    assert any("12.5 km²" in line for line in surface_lines(sample_surface(left_out_km2=12.5)))
    assert not any("Left out" in line for line in surface_lines(sample_surface()))


@pytest.mark.parametrize(
    ("share", "said"), [(0.0, "none"), (1e-6, "less than 0.1 %"), (0.0134, "1.3 %"), (1.0, "100.0 %")]
)
def test_a_small_share_is_not_none(share: float, said: str) -> None:
    assert share_words(share) == said
