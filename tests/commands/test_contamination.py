"""Tests of `contamination`: its lines, its JSON, its page, and one line for what cannot be answered."""

from __future__ import annotations

import dataclasses
import json
import re
from pathlib import Path
from typing import Any

import pytest

from sitebook.commands.contamination_words import lines_of
from sitebook.records.results.contamination import Band
from sitebook.records.results.review import Spread
from tests.commands.running import run
from tests.house.judging_words import JUDGING
from tests.pages.sample_review import full_review
from tests.work import books, told_book

KEYS = {
    "name", "class", "could_be", "because", "could_because", "unknown", "questions", "traffic_index",
    "effects", "area_term", "spread", "speaks_of", "range_of", "hazards", "other_sources", "sprayings",
    "trees", "tests", "species", "evidence", "looked_for", "words", "lon", "lat", "reach_m",
    "uncertainty_m", "data_date", "points_looked_at",
}  # fmt: skip
ROAD = {
    "kind", "name", "distance_m", "value", "low", "high", "vehicles_per_day", "reason", "source", "mark",
    "vehicles_low", "vehicles_high", "edge_m", "direction",
}  # fmt: skip
TEST = {"report_number", "laboratory", "sampled_on", "of_what", "material", "results", "unknown", "words"}
RESULT = {"analyte", "value", "unit", "below_limit", "written", "comparisons", "intakes", "remarks"}
SPECIES_LINE = {"element", "what", "value_text", "unit", "place", "source", "mark", "spread", "samples"}
ASKED = (
    ("--site", "Mill Park"),
    ("--site", "Quay Wood"),
    ("--find", "OV 31"),
    ("--find", "OV 34"),
    ("--at", "-19.4,48.602"),
    ("--at", "-25,40"),
    ("--at", "-19.4,48.602", "--within", "40"),
)
WRONG_PLURAL = re.compile(
    r"\b1 (?:points|roads|sources|kinds|reasons|things|times|takes|sites|trees|metres|vehicles)\b"
    r"|\b(?:[2-9]|[1-9]\d+) (?:point|road|source|kind|reason|thing|take|site|tree|metre|vehicle)\b(?! of)"
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    told_book.told(tmp_path)
    return tmp_path


def _json(*words: str) -> Any:  # noqa: ANN401 - any JSON value
    ran = run("contamination", *words, "--json")
    assert (ran.status, ran.err) == (0, "")
    return ran.json


def _whole(value: object) -> bool:
    """Whether every number in an answer is one that JSON knows."""
    return "Infinity" not in json.dumps(value) and "NaN" not in json.dumps(value)


@pytest.mark.parametrize("words", ASKED)
def test_json_has_the_documented_shape(words: tuple[str, ...], folder: Path) -> None:
    told = _json(*words)
    assert folder.is_dir()
    assert set(told) == KEYS
    assert _whole(told)
    assert told["unknown"] == [question["what"] for question in told["questions"]]
    assert all(set(road) == ROAD for road in told["hazards"])
    assert all(set(reason) == {"place_class", "words", "mark"} for reason in told["because"])
    for test in told["tests"]:
        assert set(test) >= TEST
        assert all(set(result) == RESULT for result in test["results"])
    for species in told["species"]:
        assert set(species) == {"taxon_name", "lines", "words"}
        assert all(set(line) >= SPECIES_LINE for line in species["lines"])
    assert _json(*words) == told


def test_json_of_all_is_a_list_of_the_same(folder: Path) -> None:
    told = _json("--all")
    assert [review["name"] for review in told] == ["Mill Park", "Quay Wood"]
    assert told == [_json("--site", name) for name in ("Mill Park", "Quay Wood")]
    assert folder.is_dir()


def test_json_holds_tests_and_species(folder: Path) -> None:
    told = _json("--site", "Mill Park")
    assert [test["report_number"] for test in told["tests"]] == ["R3", "R2", "R1"]
    assert told["tests"][0]["results"][1]["written"].startswith("<")
    assert "Agaricus campestris" in [species["taxon_name"] for species in told["species"]]
    assert folder.is_dir()


@pytest.mark.parametrize("words", [*ASKED, ("--all",)])
def test_lines_judge_nothing_and_count_rightly(words: tuple[str, ...], folder: Path) -> None:
    ran = run("contamination", *words)
    assert (ran.status, ran.err) == (0, "")
    assert not [match.group() for match in JUDGING.finditer(ran.out)]
    assert not [match.group() for match in WRONG_PLURAL.finditer(ran.out)]
    assert not re.search(r"\b(?:inf|nan|None)\b", ran.out)
    assert not re.search(r"\de[-+]\d", ran.out), "a number written by a power of ten"
    assert folder.is_dir()


def test_an_index_too_small_to_be_resolved_is_written_as_on_the_page() -> None:
    index = Band(5.5e-9, 1e-12, 0.0021)
    review = dataclasses.replace(full_review(), traffic_index=index, spread=Spread(0.0, 5.5e-9, 0.0021, 3))
    said = "\n".join(lines_of(review, shortly=False))
    assert "no amount of metal: under 0.0005 (under 0.0005 to 0.0021, 90 % band" in said
    assert "lowest under 0.0005, median under 0.0005, highest 0.0021" in said


def test_tests_are_told_before_the_reasons(folder: Path) -> None:
    lines = run("contamination", "--site", "Mill Park").out.splitlines()
    first_reason = next(number for number, line in enumerate(lines) if line.startswith("  class "))
    assert max(n for n, line in enumerate(lines) if line.startswith("  measured: ")) < first_reason
    assert folder.is_dir()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Say one of --at LON,LAT"),
        (("--site", "Mill Park", "--all"), "Say one of"),
        (("--find", "OV 31", "--at", "-19.4,48.6"), "Say one of"),
        (("--within", "5", "--site", "Mill Park"), "--within goes with --at"),
        (("--at", "-19.4,48.6", "--within", "-5"), "'-5' is no distance"),
        (("--at", "-19.4,48.6", "--within", "inf"), "'inf' is no distance"),
        (("--at", "-19.4,48.6", "--within", "nan"), "'nan' is no distance"),
        (("--at", "-19.4,48.6", "--within", "near"), "'near' is no distance"),
        (("--at", "-19.4"), "is no position"),
        (("--at", "-19.4,95"), "not a place on the globe"),
        (("--at", "nan,48.6"), "not a place on the globe"),
        (("--site", "Mil Park"), "Did you mean 'Mill Park'?"),
        (("--find", "OV 999"), "no find is called 'OV 999'"),
        (("--all", "--on", "tomorrow"), "is no date"),
        (("--all", "--to", "there/is/a/file.txt/page.html"), ""),
        (("--all", "--book", "missing.gpkg"), "missing.gpkg"),
    ],
)
def test_what_cannot_be_answered_gets_one_line(words: tuple[str, ...], said: str, folder: Path) -> None:
    if "--to" in words:
        (folder / "there" / "is" / "a").mkdir(parents=True)
        (folder / "there" / "is" / "a" / "file.txt").write_text("kept", "utf-8")
    before = sorted(path.name for path in folder.rglob("*"))
    ran = run("contamination", *words)
    assert ran.status == 2
    assert said in ran.told
    assert ran.out == ""
    assert sorted(path.name for path in folder.rglob("*")) == before


def test_a_page_is_drawn_beside_the_book_or_where_it_is_wanted(folder: Path) -> None:
    ran = run("contamination", "--site", "Mill Park", "--page")
    page = folder / "contamination-private.html"
    assert "keep it to yourself" in ran.out
    assert "Mill Park" in page.read_text("utf-8")
    run("contamination", "--all", "--to", "deep/all.html")
    text = (folder / "deep" / "all.html").read_text("utf-8")
    assert "Mill Park" in text
    assert "Quay Wood" in text
    assert text.rstrip().endswith("</html>")
    assert not [path for path in folder.rglob("*") if path.suffix in {".tmp", ".part"}]


def test_a_page_that_failed_leaves_the_one_before_it(folder: Path) -> None:
    run("contamination", "--site", "Mill Park", "--page")
    before = (folder / "contamination-private.html").read_bytes()
    assert run("contamination", "--site", "No Such", "--page").status == 2
    assert (folder / "contamination-private.html").read_bytes() == before


def test_no_page_is_drawn_unless_asked(folder: Path) -> None:
    run("contamination", "--all")
    assert not list(folder.glob("*.html"))


def test_a_book_without_sites_says_what_to_do(tmp_path: Path) -> None:
    ran = run("contamination", "--all", "--book", books.fresh(tmp_path))
    assert ran.status == 2
    assert "sitebook import" in ran.told
