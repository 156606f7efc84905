"""Tests that each command's JSON has the shape that docs/commands.md gives, and nothing stands beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sitebook.records.kinds import KINDS
from sitebook.records.settings import MEANINGS
from tests.commands.running import run
from tests.work import books
from tests.work.bring_in import town

FILE = {"file_name", "recognised_as", "seen_before", "added", "changed", "already", "sorted_lines"}
LINE = {"sorting", "reason", "line_number", "line_text", "how_many"}
REVIEW = {
    "class",
    "could_be",
    "unknown",
    "traffic_index",
    "hazards",
    "words",
    "name",
    "lon",
    "lat",
    "reach_m",
}
HAZARD = {
    "kind",
    "name",
    "distance_m",
    "value",
    "low",
    "high",
    "reason",
    "source",
    "mark",
    "vehicles_per_day",
}
WEEK = {"iso_week", "chance", "low", "high", "weight"}
ROW = {"site_id", "site_name", "taxon_id", "taxon_name", "weeks", "looks", "looks_with_find", "finds"}

CHANCE = {"chance", "low", "high", "mostly_from_books"}
SPOT = {"site_id", "tree_id", "site_name", "tag", "host_id", "host_name", "irrigated", "gone"}
FRUITING = {"spot", "weeks", "looks", "looks_with_find", "last_look", "last_find", "at"}
TAXON = {
    "taxon_id",
    "taxon_name",
    "southern",
    "books",
    "from_memory",
    "way",
    "way_said",
    "sites",
    "trees",
    "lasting",
    "spans",
    "told",
}
OUTLOOK_ROW = {
    "taxon_id",
    "taxon_name",
    "spot",
    "days",
    "looks",
    "looks_with_find",
    "weather_said",
    "way",
    "poisoning",
    "picked_on",
}
REVISIT_ROW = {
    "taxon_id",
    "taxon_name",
    "spot",
    "chance",
    "worth",
    "bearing",
    "crop",
    "still_there",
    "scouting",
    "reasons",
    "class_said",
    "permission",
    "poisoning",
}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SITEBOOK_BOOK", raising=False)
    monkeypatch.chdir(tmp_path)
    town.built(tmp_path)
    return tmp_path


def _json(*words: str | Path) -> Any:  # noqa: ANN401 - any JSON value
    ran = run(*words, "--json")
    assert (ran.status, ran.err) == (0, "")
    return ran.json


def test_new(folder: Path) -> None:
    told = _json("new", "--book", "other.gpkg", "--owner", "Mira Dask")
    assert set(told) == {"book", "counts"}
    assert set(told["counts"]) == set(KINDS)
    assert books.only(folder / "other.gpkg", "SELECT initials FROM person") == ("MD",)


def test_import(folder: Path) -> None:
    visits = books.table(
        folder,
        "visit",
        "site,local_date,reason",
        "Mill Park,2025-10-30,planned",
        "Mill Park,x,planned",
        name="v",
    )
    told = _json("import", visits, "--accept-rest")
    assert set(told) >= {"files", "made", "remarks", "dry_run"}
    (file,) = told["files"]
    assert set(file) >= FILE
    assert file["added"] == {"visit": 1}
    assert [set(line) for line in file["sorted_lines"]] == [LINE]
    assert told["dry_run"] is False
    assert _json("import", visits)["files"][0]["seen_before"] is True


def test_add(folder: Path) -> None:
    told = _json("add", "visit", "site=Mill Park", "local_date=2025-10-30", "reason=planned")
    assert told == {"added": {"visit": 1}, "remarks": []}
    assert folder.is_dir()


def test_list(folder: Path) -> None:
    assert set(_json("list")) == set(KINDS)
    sites = _json("list", "site")
    assert [site["name"] for site in sites] == ["Mill Park", "Quay Wood"]
    assert sites[0]["geom"]["type"] == "Point"
    assert folder.is_dir()


@pytest.mark.parametrize("kind", list(KINDS))
def test_every_kind_can_be_said_as_json(kind: str, folder: Path) -> None:
    assert isinstance(_json("list", kind), list)
    assert folder.is_dir()


def test_show(folder: Path) -> None:
    told = _json("show", "find", "OV 1")
    assert set(told) >= {"kind", "called", "values", "parts"}
    assert told["values"]["found_on"] == "2025-09-01"
    for part in told["parts"]:
        assert set(part) >= {"kind", "columns", "rows"}
    assert folder.is_dir()


def test_settings(folder: Path) -> None:
    told = _json("settings")
    assert {line["key"] for line in told} >= set(MEANINGS)
    assert all({"key", "value", "unit", "hers", "mark", "meaning"} <= set(line) for line in told)
    (line,) = _json("settings", "far_km", "350")
    assert (line["value"], line["hers"]) == ("350", True)
    (line,) = _json("settings", "far_km", "--built-in")
    assert line["hers"] is False
    assert folder.is_dir()


def test_map(folder: Path) -> None:
    told = _json("map", "--on", "2025-10-01")
    counts = {k: v for k, v in told.items() if k not in {"page", "review_page"}}
    assert counts == {"sites": 2, "trees": 3, "finds": 3}
    for page in (told["page"], told["review_page"]):
        assert (folder / page).is_file()
        assert "private" in page
    assert _json("map", "--to", "deep/page.html")["page"] == "deep/page.html"


def test_calendar(folder: Path) -> None:
    told = _json("calendar", "--taxon", "Leccinum scabrum")
    assert set(told) == {"page", "calendar"}
    assert set(told["calendar"]) == {"taxa", "today", "choices", "held_out_said", "poisoning"}
    (taxon,) = told["calendar"]["taxa"]
    assert set(taxon) == TAXON
    row = taxon["sites"][0]
    assert set(row) == FRUITING
    assert set(row["spot"]) == SPOT
    assert len(row["weeks"]) == 53
    assert all(set(week) == {"iso_week", "chance", "looks", "looks_with_find"} for week in row["weeks"])
    assert set(row["weeks"][0]["chance"]) == CHANCE
    assert told["page"] == "calendar-leccinum-scabrum-private.html"
    assert (folder / told["page"]).is_file()


def test_first_calendar(folder: Path) -> None:
    told = _json("calendar", "--baseline", "--taxon", "Leccinum scabrum")
    assert set(told["calendar"]) >= {"rows", "first_year", "last_year", "choices"}
    (row,) = told["calendar"]["rows"]
    assert set(row) >= ROW | {"looks_minutes_assumed", "looks_left_out", "looks_undated"}
    assert all(set(week) == WEEK for week in row["weeks"])
    assert "private" in told["page"]
    assert (folder / told["page"]).is_file()


def test_outlook(folder: Path) -> None:
    told = _json("outlook", "--on", "2025-10-01", "--days", "3")
    assert set(told) == {"page", "calendar_file", "calendar_left_out", "outlook"}
    outlook = told["outlook"]
    assert set(outlook) == {"first", "last", "rows", "stations", "not_proposed", "held_out_said"}
    assert (outlook["first"], outlook["last"]) == ("2025-10-01", "2025-10-03")
    row = outlook["rows"][0]
    assert set(row) == OUTLOOK_ROW
    assert [set(day) for day in row["days"]] == [{"on", "chance", "weather_ahead_d", "closed"}] * 3
    assert (folder / told["page"]).is_file()


def test_revisit(folder: Path) -> None:
    told = _json("revisit", "--on", "2025-10-01")
    assert set(told) == {"page", "revisit"}
    assert set(told["revisit"]) == {"on", "rows", "scouting", "not_proposed", "stations", "held_out_said"}
    row = told["revisit"]["rows"][0]
    assert set(row) == REVISIT_ROW
    assert set(row["still_there"]) == {"empty_looks", "last_find", "chance"}
    assert row["reasons"]
    assert (folder / told["page"]).is_file()


def test_contamination(folder: Path) -> None:
    reviews = _json("contamination", "--all")
    assert [review["name"] for review in reviews] == ["Mill Park", "Quay Wood"]
    one = _json("contamination", "--at", "-19.4,48.6")
    assert _json("contamination", "--site", "Mill Park") == reviews[0]
    for review in (*reviews, one):
        assert set(review) >= REVIEW
        assert set(review["traffic_index"]) == {"central", "low", "high"}
        assert isinstance(review["unknown"], list)
        assert all(set(hazard) >= HAZARD for hazard in review["hazards"])
    assert folder.is_dir()


def test_upgrade(folder: Path) -> None:
    assert _json("upgrade") == {"book": "sitebook.gpkg", "copy": None}
    assert folder.is_dir()


def test_check(folder: Path) -> None:
    told = _json("check")
    assert set(told) >= {"book", "faults", "looked_at"}
    assert told["faults"] == 0
    for line in told["looked_at"]:
        assert set(line) >= {"looked_at", "faults"}
        assert line["faults"] == []
    assert folder.is_dir()


def test_a_book_that_is_not_whole_ends_with_2(folder: Path) -> None:
    content = bytearray((folder / "sitebook.gpkg").read_bytes())
    (root,) = books.only(
        folder / "sitebook.gpkg", "SELECT rootpage FROM sqlite_master WHERE name = 'ix_look_alike_other_id'"
    )
    assert isinstance(root, int)
    content[(root - 1) * 4096 + 200 : root * 4096] = bytes(3896)
    (folder / "sitebook.gpkg").write_bytes(bytes(content))
    ran = run("check", "--json")
    assert ran.status == 2
    assert ran.json["faults"] > 0
