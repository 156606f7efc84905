"""Tests that the entry sheet holds what it needs, escaped, and stays small."""

from __future__ import annotations

import dataclasses
import json
import re

from sitebook import vocabulary
from sitebook.pages.entry_sheet import SCRIPTS, draw_entry_sheet
from sitebook.pages.own_parts import PARTS
from sitebook.records.results.entry_sheet import SheetTaxon
from tests.pages.sample_sheet import BAD, sample_sheet

MEGABYTE = 1_000_000
LONGEST_PART = 400


def _data(html: str) -> dict[str, object]:
    found = re.search(r'id="page-data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    data = json.loads(found[1])
    assert isinstance(data, dict)
    return data


def test_names_cannot_leave_their_place() -> None:
    html = draw_entry_sheet(sample_sheet())
    assert "<script>window.broken" not in html
    assert "<img" not in html
    assert html.count("<script") == len(SCRIPTS) + 1
    people = _data(html)["people"]
    assert isinstance(people, list)
    assert people[1]["name"] == f"Bea {BAD}"


def test_every_word_of_the_lists_is_offered() -> None:
    words = _data(draw_entry_sheet(sample_sheet()))["words"]
    assert isinstance(words, dict)
    assert tuple(word for word, _, _ in words["growth_stage"]) == vocabulary.GROWTH_STAGE.all
    assert tuple(word for word, _, _ in words["substrate"]) == vocabulary.SUBSTRATE.all
    assert tuple(word for word, _, _ in words["qualifier"]) == vocabulary.QUALIFIER.all


def test_a_sheet_of_sixty_sites_and_all_names_stays_under_a_megabyte() -> None:
    sheet = sample_sheet()
    wood = sheet.sites[0]
    trees = tuple(dataclasses.replace(wood.trees[0], tag=f"E{n}", uuid=f"{n:036d}") for n in range(20))
    sites = tuple(
        dataclasses.replace(wood, name=f"Harbour wood {n}", uuid=f"{n:036d}", trees=trees) for n in range(60)
    )
    taxa = tuple(
        SheetTaxon(f"{n:036d}", f"Cortinarius vennarayensis {n}", "web cap", ()) for n in range(1500)
    )
    full = dataclasses.replace(sheet, sites=sites, taxa=taxa, last_number=520)
    assert len(draw_entry_sheet(full).encode("utf-8")) < MEGABYTE


def test_a_sheet_without_numbers_has_blank_ones_on_paper() -> None:
    sheet = dataclasses.replace(sample_sheet(), first_number=None, last_number=None)
    html = draw_entry_sheet(sheet)
    assert _data(html)["numbers"] is None
    assert html.count("<h3>No.</h3>") == 12


def test_every_own_part_keeps_its_length() -> None:
    parts = [path for path in PARTS.glob("entry_*") if path.suffix in (".js", ".css", ".j2")]
    assert len(parts) == len(SCRIPTS) + 4
    long = [path.name for path in parts if len(path.read_text("utf-8").splitlines()) > LONGEST_PART]
    assert not long
