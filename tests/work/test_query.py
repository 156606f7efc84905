"""The questions of docs/queries.md, each answer held to one reckoned another way, and what is no question."""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import shapely

from sitebook import errors
from sitebook.ground.projection import LocalMetres
from sitebook.records.find import Find
from sitebook.records.host_tree import HostTree
from sitebook.records.map_data import Way
from sitebook.records.outing import Look, Visit
from sitebook.records.site import Permission, PermissionSite, Site
from sitebook.records.taxon import Taxon
from sitebook.records.weather import WeatherDay, WeatherStation
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work import opened
from sitebook.work.query import query

Ask = Callable[[int], list[tuple[str, ...]]]


@pytest.fixture(scope="module")
def book(island: Any) -> Iterator[Book]:  # noqa: ANN401 - the fixture's own record
    with opened(island.book) as book:
        yield book


@pytest.fixture(scope="module")
def ask(book: Book, repository: Path) -> Ask:
    text = (repository / "docs" / "queries.md").read_text(encoding="utf-8")
    questions = re.findall(r"```sql\n(.*?)```", text, flags=re.DOTALL)
    assert len(questions) == 5

    def answer(number: int) -> list[tuple[str, ...]]:
        found = query(book, questions[number]).result
        assert not found.remarks
        return [tuple(str(value) for value in row) for row in found.rows]

    return answer


def one_day(find: Find) -> bool:
    return find.found_on is not None and find.found_on_end in (None, find.found_on)


def test_finds_near_a_primary_road(book: Book, ask: Ask) -> None:
    roads = [w for w in rows.records(book, Way) if w.road_class == "primary" and w.valid_to is None]
    near = {}
    for find in rows.records(book, Find):
        if find.geom is None:
            continue
        place = shapely.get_coordinates(find.geom)[0]
        sheet = LocalMetres(float(place[0]), float(place[1]))
        metres = min(shapely.distance(sheet.shape_to_metres(w.geom), shapely.Point(0, 0)) for w in roads)
        if metres <= 50:
            near[str(find.id)] = metres
    answer = {row[0]: float(row[2]) for row in ask(0)}
    assert answer.keys() == near.keys()
    assert near
    assert all(answer[key] == pytest.approx(near[key], abs=0.3) for key in near)


def test_trees_never_looked_at_in_october(book: Book, ask: Ask) -> None:
    october = {v.id for v in rows.records(book, Visit) if v.local_date.month == 10}
    seen = {look.host_tree_id for look in rows.records(book, Look) if look.visit_id in october}
    kinds = {t.id: t.scientific_name for t in rows.records(book, Taxon)}
    left = sorted((t.tag, kinds[t.taxon_id]) for t in rows.records(book, HostTree) if t.id not in seen)
    assert ask(1) == left
    assert left


def test_sites_without_a_permission(book: Book, ask: Ask) -> None:
    asked = {p.id for p in rows.records(book, Permission) if p.basis != "not asked"}
    noted = {link.site_id for link in rows.records(book, PermissionSite) if link.permission_id in asked}
    assert ask(2) == [(n,) for n in sorted(s.name for s in rows.records(book, Site) if s.id not in noted)]


def test_weeks_of_the_taxa_of_one_site(book: Book, ask: Ask) -> None:
    (site,) = [s for s in rows.records(book, Site) if s.name == "Birch row"]
    visits = {v.id for v in rows.records(book, Visit) if v.site_id == site.id}
    names = {d.find_id: d.verbatim_name for d in standing_determinations(book)}
    counted: Counter[tuple[str, int]] = Counter()
    for find in rows.records(book, Find):
        if find.visit_id in visits and find.id in names and one_day(find) and find.found_on is not None:
            counted[names[find.id], int(find.found_on.strftime("%W"))] += 1
    assert ask(3) == [(name, str(week), str(n)) for (name, week), n in sorted(counted.items())]
    assert counted


def test_rain_before_the_finds_of_a_taxon(book: Book, ask: Ask) -> None:
    (taxon,) = [t for t in rows.records(book, Taxon) if t.scientific_name == "Leccinum scabrum"]
    (station,) = [s for s in rows.records(book, WeatherStation) if s.code == "VEN"]
    rain = {d.local_date: d.rain_mm for d in rows.records(book, WeatherDay) if d.station_id == station.id}
    sure = {
        d.find_id for d in standing_determinations(book) if d.taxon_id == taxon.id and d.qualifier is None
    }
    wanted = {}
    for find in rows.records(book, Find):
        if find.id in sure and one_day(find) and find.found_on is not None:
            days = [find.found_on - datetime.timedelta(days=n) for n in range(1, 15)]
            known = [r for day in days if (r := rain.get(day)) is not None]
            wanted[str(find.id)] = (sum(known), len(known))
    answer = {row[0]: (float(row[2]), int(float(row[3]))) for row in ask(4)}
    assert answer.keys() == wanted.keys()
    assert wanted
    for key, (millimetres, days_known) in wanted.items():
        assert answer[key][0] == pytest.approx(millimetres, abs=0.06)
        assert answer[key][1] == days_known


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM find",
        "UPDATE find SET note = 'x'",
        "DROP TABLE find",
        "PRAGMA journal_mode=WAL",
        "ATTACH 'x.db' AS x",
        "SELECT 1; DELETE FROM find",
        "WITH x AS (SELECT 1) DELETE FROM find",
        "INSERT INTO find DEFAULT VALUES",
        "VACUUM",
        "",
        "SELECT load_extension('x')",
    ],
)
def test_what_is_no_question_is_refused_and_changes_nothing(book: Book, statement: str) -> None:
    before = book.path.read_bytes()
    with pytest.raises(errors.QueryRefused):
        query(book, statement)
    assert book.path.read_bytes() == before


@pytest.mark.parametrize("statement", ["SELECT nope FROM find", "SELECT FROM WHERE", "SELECT no_such(1)"])
def test_a_question_that_cannot_be_answered_says_why(book: Book, statement: str) -> None:
    with pytest.raises((errors.QueryFailed, errors.QueryRefused)) as told:
        query(book, statement)
    assert "\n" not in str(told.value)


def test_more_rows_than_wanted_are_cut_and_told(book: Book) -> None:
    found = query(book, "SELECT id FROM way", most_rows=3).result
    assert len(found.rows) == 3
    assert found.cut_off
