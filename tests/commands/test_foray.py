"""Tests the command that tells what became of a day out."""

from __future__ import annotations

from pathlib import Path

from tests.commands.running import run
from tests.work import books, made_forays
from tests.work.bring_in import town


def test_a_foray_is_listed_told_and_given_as_json(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    empty = run("foray", "--book", path)
    assert empty.status == 2
    assert "no foray is kept" in empty.told
    assert "No foray is kept" in run("foray", "--list", "--book", path).out
    uuid = made_forays.keep(path, "Mill Park")
    header = "site,local_date,started_at,search_minutes,reason"
    lines = ("Mill Park,2025-10-04,2025-10-04T10:30:00Z,40,planned", "Quay Wood,2025-10-04,,,passing")
    town.bring(path, books.table(tmp_path, "visit", header, *lines), now=books.LATER)
    told = run("foray", "2025-10-04", "--book", path).out
    assert "1 of 1 planned stops visited, 0 finds, no track" in told
    assert "  1 Mill Park: Visited as planned." in told
    assert "  + Quay Wood: Not planned, visited all the same." in told
    page = tmp_path / "foray-2025-10-04-private.html"
    assert "Mill Park" in page.read_text("utf-8")
    listed = run("foray", "--list", "--json", "--book", path).json["forays"]
    assert [(line["foray_uuid"], line["visited"], line["unplanned"]) for line in listed] == [(uuid, 1, 1)]
    assert uuid[:8] in run("foray", "--list", "--book", path).out
    answer = run("foray", uuid[:8], "--json", "--to", tmp_path / "x.html", "--book", path).json
    assert set(answer) == {"page", "foray"}
    assert [stop["turn"] for stop in answer["foray"]["stops"]] == [1, None]
    assert (tmp_path / "x.html").exists()
    assert run("foray", "2024-01-01", "--book", path).told.startswith("sitebook: ")
