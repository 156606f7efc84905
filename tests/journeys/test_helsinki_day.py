"""Plans a day over the parks of a real town as a person would, from the map's file to what is taken along."""

from __future__ import annotations

import datetime
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import osmium
import pytest

from tests.commands.running import run
from tests.journeys import helsinki_parks
from tests.pages.sheet_driving import saved, tap

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.conftest import BrowserLog, Sitebook

DAY = ("--on", helsinki_parks.SATURDAY.isoformat(), "--from", "24.9410,60.1720")
MORNING = ("--start", "09:00", "--end", "13:00")
BARRED = {"Mare green"}
"""Sites where what the map shows beside them forbids gathering."""


@pytest.fixture(scope="module")
def folder(
    sitebook: Sitebook, shared_file: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """Give a folder with a book of a real town and invented sites in its parks."""
    made = tmp_path_factory.mktemp("parks")
    tables = helsinki_parks.write(made)
    sitebook("new", "--owner", "Orla Vennar", "--initials", "OV", "--zone", "Europe/Helsinki", folder=made)
    sitebook("import", shared_file("osm/Helsinki.osm.pbf"), *tables, folder=made)
    return made


@pytest.fixture(scope="module")
def planned(folder: Path, sitebook: Sitebook) -> Any:  # noqa: ANN401 - any JSON value
    """Plan a morning on foot, and write all that the command can write of it."""
    files = ("--to", "plan.html", "--gpx", "route.gpx", "--ics", "day.ics")
    return json.loads(sitebook("plan", *DAY, *MORNING, *files, "--json", folder=folder).stdout)


def _sites(plan: Any) -> list[str]:  # noqa: ANN401 - the same
    return [stop["site"] for stop in plan["stops"]]


def test_the_morning_is_proved_best_and_holds_its_hours(planned: Any) -> None:  # noqa: ANN401
    stops = planned["stops"]
    assert len(stops) >= 3
    assert planned["proved"]
    assert planned["bound"]["score"] == pytest.approx(planned["score"])
    clock = 540.0
    for stop in stops:
        assert stop["arrives_min"] == pytest.approx(clock + stop["travel_min"], abs=1.0)
        assert stop["leaves_min"] > stop["begins_min"] >= stop["arrives_min"]
        clock = stop["leaves_min"]
    assert clock < planned["ends_min"] <= 780.0
    assert [leg["minutes"] for leg in planned["legs"][:-1]] == pytest.approx(
        [stop["travel_min"] for stop in stops], abs=1.0
    )


def test_what_is_found_there_in_september_is_expected_and_sites_beside_rails_are_left_out(
    planned: Any,  # noqa: ANN401
) -> None:
    for stop in planned["stops"]:
        name, expected = stop["site"], [one["taxon_name"] for one in stop["place"]["expected"]]
        if name in helsinki_parks.FOUND_AT:
            assert helsinki_parks.FOUND_AT[name][0] in expected
    out = {one["spot"]["site_name"]: one for one in planned["excluded"]}
    assert set(out) >= BARRED
    assert not BARRED & set(_sites(planned))
    for name in BARRED:
        assert out[name]["rule"] == "contamination"
        assert "class 3" in out[name]["reason"]


@pytest.mark.source(
    item="",
    what="every corner of the ways of a day planned over Helsinki, but where they leave the ways",
    value="a node of the extract",
    source="osmium alone, reading the same file",
    mark="computed",
)
def test_every_leg_runs_along_mapped_ways(planned: Any, shared_file: Callable[[str], Path]) -> None:  # noqa: ANN401
    nodes = set(_nodes(shared_file("osm/Helsinki.osm.pbf")))
    corners = 0
    for leg in planned["legs"]:
        for part in leg["parts"]:
            assert not part["unmapped"]
            line = [(round(lon, 7), round(lat, 7)) for lon, lat in part["lonlat"]]
            assert set(line[2:-2]) <= nodes
            corners += len(line[2:-2])
    assert corners > 100
    assert planned["travel"]


def _nodes(extract: Path) -> Iterator[tuple[float, float]]:
    found: Any = osmium.FileProcessor(str(extract), osmium.osm.NODE)
    for node in found:
        yield round(node.lon, 7), round(node.lat, 7)


def test_the_plan_is_kept_with_its_stops_and_its_graph_of_ways(planned: Any, folder: Path) -> None:  # noqa: ANN401
    with closing(sqlite3.connect(folder / "sitebook.gpkg")) as book:
        kept = book.execute(
            "SELECT s.name FROM foray_stop f JOIN site s ON s.id = f.site_id"
            " JOIN foray d ON d.id = f.foray_id WHERE d.uuid = ? ORDER BY f.turn",
            (planned["foray"],),
        ).fetchall()
        graphs = book.execute("SELECT count(*) FROM derived WHERE kind = 'graph of ways'").fetchone()
    assert [name for (name,) in kept] == _sites(planned)
    assert graphs == (1,)


def test_at_noon_the_rest_is_planned_by_car_from_where_one_stands(planned: Any, folder: Path) -> None:  # noqa: ANN401
    first, *_ = _sites(planned)
    lon, lat = helsinki_parks.SITES[first]
    ran = run(
        *("plan", *DAY, "--from", f"{lon},{lat}", "--start", "10:30", "--end", "13:00", "--by", "car"),
        *("--done", first, "--not-kept", "--json"),
        *("--book", folder / "sitebook.gpkg", "--to", folder / "rest.html"),
    )
    assert (ran.status, ran.err) == (0, "")
    rest = ran.json
    assert rest["stops"]
    assert first not in _sites(rest)
    assert rest["stops"][0]["arrives_min"] >= 630.0
    assert {part["mode"] for leg in rest["legs"] for part in leg["parts"]} <= {"foot", "car"}
    assert any("look at the signs" in sentence for sentence in rest["travel"])
    assert not any("look at the signs" in sentence for sentence in planned["travel"])


def test_the_page_opens_without_a_network(
    planned: Any,  # noqa: ANN401
    folder: Path,
    browser_page: Page,
    browser_log: BrowserLog,
) -> None:
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto((folder / "plan.html").as_uri())
    said = browser_page.inner_text("body")
    assert all(site in said for site in _sites(planned))
    assert all(site in said for site in BARRED)
    assert not browser_log.errors
    assert not browser_log.outside
    assert (folder / "route.gpx").read_text("utf-8").count("<rtept") >= len(planned["stops"])
    assert (folder / "day.ics").read_text("utf-8").count("BEGIN:VEVENT") >= 1


def test_what_is_entered_in_the_field_comes_home(
    planned: Any,  # noqa: ANN401
    folder: Path,
    browser_page: Page,
    tmp_path: Path,
) -> None:
    book = folder / "sitebook.gpkg"
    made = run("pack", "--book", book, "--json").json
    assert made["stops"] == _sites(planned)
    assert made["size_bytes"] < 3_000_000
    browser_page.clock.set_fixed_time(datetime.datetime(2025, 9, 13, 7, 30, tzinfo=datetime.UTC))
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto(Path(made["page"]).as_uri())
    browser_page.wait_for_selector("html[data-ready=yes]")
    first, *_ = _sites(planned)
    browser_page.locator("[data-show=places]").click()
    tap(browser_page, f"I am at {first}")
    for grams in ("80", "95"):
        tap(browser_page, "+ Find")
        browser_page.get_by_label("Fresh mass taken, in grams").fill(grams)
        tap(browser_page, "Keep this find")
    came = run("import", saved(browser_page, tmp_path), "--book", book, "--json").json
    assert came["files"][0]["sorted_lines"] == []
    done = run("foray", "--book", book, "--to", folder / "done.html", "--json").json["foray"]
    stops = {stop["spot"]["site_name"]: len(stop["finds"]) for stop in done["stops"]}
    assert stops == {site: 2 * (site == first) for site in _sites(planned)}
    assert done["planned_kilometres"] == pytest.approx(
        sum(leg["metres"] for leg in planned["legs"]) / 1000.0, rel=0.01
    )
