"""Which places a day rules out, by permissions that name a site and by the ground they cover."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest

from sitebook.work import closures, felled, opened, revisit
from sitebook.work.closures import Closures
from sitebook.work.permission_words import permission_words
from sitebook.work.seasons import seasons_of
from tests.work import books
from tests.work.bring_in import town

DAY = datetime.date(2025, 9, 20)
GROUND = '"POLYGON((-19.41 48.60,-19.394 48.60,-19.394 48.605,-19.41 48.605,-19.41 48.60))"'
"""Holds Mill Park, and not Quay Wood."""
MILL_PARK, QUAY_WOOD = 1, 2


def _asked(folder: Path, *lines: str, on: datetime.date = DAY) -> Closures:
    path = town.built(folder)
    town.bring(path, books.table(folder, "permission", *lines))
    with opened(path) as book:
        return closures.closures(book, on)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("Town,closed,,2025-07-31", ""),
        ("Town,closed,2025-10-01,", ""),
        ("Town,closed,2025-08-01,2025-09-20", "Town: closed to gathering."),
        ("Town,permit,2024-08-01,2024-11-30",
         "Town: the permission does not hold on this day (valid 2024-08-01 to 2024-11-30)."),
        ("Town,permit,2025-08-01,", ""),
        ("Town,not asked,,", ""),
    ],
)  # fmt: skip
def test_a_permission_closes_by_what_it_says_of_the_day(tmp_path: Path, line: str, reason: str) -> None:
    shut = _asked(tmp_path, "manager,basis,valid_from,valid_to,sites", f"{line},Mill Park")
    assert shut.sites.get(MILL_PARK, "") == reason
    assert shut.rules.get(MILL_PARK, "") == ("permission" if reason else "")
    assert QUAY_WOOD not in shut.sites
    told = shut.to_heed[MILL_PARK] == (closures.NOT_ASKED,)
    assert told is (not reason and "permit" not in line)


def test_of_several_any_that_closes_closes_and_none_asked_hides_no_ended_one(tmp_path: Path) -> None:
    shut = _asked(
        tmp_path,
        "manager,basis,valid_from,valid_to,sites,closed_weekdays",
        "Parish,not asked,,,Mill Park,",
        "Town,permit,2024-08-01,2024-11-30,Mill Park,",
        "Estate,owner's consent,,,Quay Wood,",
        "Hunters,permit,,,Quay Wood,6",
    )
    assert "does not hold on this day" in shut.sites[MILL_PARK]
    assert shut.sites[QUAY_WOOD] == "Hunters: closed on Saturdays."


def test_a_permission_by_its_ground_speaks_for_the_places_on_it(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    town.bring(
        path,
        books.table(tmp_path, "host_tree", "site,tag,taxon,lon,lat", ",X9,Betula pendula,-19.395,48.604"),
        books.table(tmp_path, "permission", "manager,basis,outline_wkt", f"Town,closed,{GROUND}"),
    )
    with opened(path) as book:
        shut = closures.closures(book, DAY)
        words = permission_words(book)
        ranked = revisit.revisit(book, on=DAY).result
    assert shut.sites == {MILL_PARK: "Town: closed to gathering."}
    assert list(shut.trees.values()) == ["Town: closed to gathering."], "the tree of no site stands on it"
    assert words == {MILL_PARK: ("Town: closed; not checked",)}
    assert {one.spot.name for one in ranked.not_proposed} == {"Mill Park", "X9"}
    shown = (*ranked.rows, *ranked.scouting)
    assert shown
    assert {row.spot.site_name for row in shown} == {"Quay Wood"}
    assert not any(row.scouting for row in ranked.rows)


def test_wood_that_fell_is_a_place_for_what_grows_on_it_until_it_is_taken_away(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    head = "site,tag,taxon,lon,lat,tree_condition,felled_on"
    lines = [f"Mill Park,{tag},Fagus sylvatica,-19.4,48.6,{state},{day}" for tag, state, day in (
        ("F1", "fallen", "2024-11-02"), ("F2", "taken away", "2024-11-02"), ("F3", "stump", ""),
        ("F4", "sound", "2026-01-01"),
    )]  # fmt: skip
    town.bring(path, books.table(tmp_path, "host_tree", head, *lines))
    with opened(path) as book:
        shut = closures.closures(book, DAY)
        seasons = seasons_of(book)
        tags = {tree.tag: key for key, tree in seasons.trees.items()}
        spots = {tag: seasons.spots[MILL_PARK, tags[tag]] for tag in ("F1", "F2", "F3", "F4")}
        gone = seasons.gone_for(0)
    assert {tag: shut.reason(spot) for tag, spot in spots.items()} == {
        "F1": "Felled or fallen on 2024-11-02.",
        "F2": "Felled or fallen on 2024-11-02.",
        "F3": "Noted as a stump; the day is not noted.",
        "F4": "",
    }
    assert [tag for tag, spot in spots.items() if shut.reason(spot, on_wood=True)] == ["F2"]
    told = {one.spot.tag: one.reason for one in closures.not_proposed(shut, spots.values())}
    assert [tag for tag, reason in told.items() if reason.endswith(felled.FOR_WOOD)] == ["F1", "F3"]
    assert {tags[tag] for tag in ("F1", "F2", "F3")} <= gone
    named = replace(seasons, names={9: ("Pleurotus ostreatus",)})
    assert tags["F1"] not in named.gone_for(9)
    assert tags["F2"] in named.gone_for(9)


def test_a_resting_site_is_left_alone_and_not_merely_closed_to_gathering(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    line = "Green,-19.4,48.6,30,2025-09-20"
    town.bring(path, books.table(tmp_path, "site", "name,lon,lat,radius_m,rest_until", line))
    with opened(path) as book:
        shut = closures.closures(book, DAY)
        after = closures.closures(book, DAY + datetime.timedelta(days=1))
    assert (shut.sites, shut.rules) == ({1: "Resting until 2025-09-20."}, {1: "rest"})
    assert not after.sites
