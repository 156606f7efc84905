"""Which places a day rules out, by permissions that name a site and by the ground they cover."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest

from sitebook.work import closures, felled, opened, revisit
from sitebook.work.closures import Closures
from sitebook.work.permission_words import permission_words, permissions_by_site
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


NEAR_EDGE = '"POLYGON((-19.3996 48.6015,-19.398 48.6015,-19.398 48.6025,-19.3996 48.6025,-19.3996 48.6015))"'
"""Begins 30 m east of the point of Mill Park, which reaches 60 m."""
BEYOND = '"POLYGON((-19.398 48.6015,-19.396 48.6015,-19.396 48.6025,-19.398 48.6025,-19.398 48.6015))"'
"""Begins 147 m east of it."""


def _on_ground(folder: Path, ground: str, basis: str = "closed") -> tuple[Closures, int]:
    """Give what is closed, and the id of a tree of Mill Park on the ground."""
    path = town.built(folder)
    lon = -19.397 if ground == BEYOND else -19.3995
    town.bring(
        path,
        books.table(
            folder, "host_tree", "site,tag,taxon,lon,lat", f"Mill Park,Q1,Quercus robur,{lon},48.602"
        ),
        books.table(folder, "permission", "manager,basis,outline_wkt", f"Town,{basis},{ground}"),
    )
    ((tree_id,),) = books.asked(path, "SELECT id FROM host_tree WHERE tag = 'Q1'")
    with opened(path) as book:
        assert isinstance(tree_id, int)
        return closures.closures(book, DAY), tree_id


def test_closed_ground_within_the_radius_of_a_site_closes_it(tmp_path: Path) -> None:
    shut, tree_id = _on_ground(tmp_path, NEAR_EDGE)
    assert shut.sites == {MILL_PARK: "Town: closed to gathering."}
    assert tree_id not in shut.trees, "told of the site alone, so that its trees may still be looked at"


def test_a_tree_of_an_open_site_that_stands_on_closed_ground_is_closed(tmp_path: Path) -> None:
    shut, tree_id = _on_ground(tmp_path, BEYOND)
    assert not shut.sites
    assert shut.trees == {tree_id: "Town: closed to gathering."}


def test_a_permission_for_a_part_of_a_site_says_so(tmp_path: Path) -> None:
    shut, tree_id = _on_ground(tmp_path, NEAR_EDGE, "public right")
    assert shut.to_heed[MILL_PARK] == ("Town: the public right is for a part of this place only.",)
    assert not shut.sites
    assert tree_id not in shut.trees


def test_a_circle_across_180_degrees_meets_the_grounds_on_both_sides_and_no_other(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    ground = '"POLYGON(({0} -17,{1} -17,{1} -16.99,{0} -16.99,{0} -17))"'.format
    grounds = {"West": ground(179.99, 180), "East": ground(-180, -179.9998), "Afar": ground(10, 11)}
    lines = [f"{manager},closed,{outline}" for manager, outline in grounds.items()]
    town.bring(
        path,
        books.table(tmp_path, "site", "name,lon,lat,radius_m", "Seam,179.9999,-16.995,60"),
        books.table(tmp_path, "permission", "manager,basis,outline_wkt", *lines),
    )
    with opened(path) as book:
        (own,) = permissions_by_site(book).values()
    assert {permission.manager for permission in own} == {"West", "East"}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Landowner,owner's consent,2020-01-01,2022-12-31",
         "Landowner: the owner's consent ended 2022-12-31; ask again."),
        ("Landowner,permit,2025-10-01,", "Landowner: the permit begins only 2025-10-01; ask first."),
        ("Reserve,not asked,,", "Reserve: nobody asked yet whether gathering is allowed here."),
        ("Forestry,permit,,2022-12-31", ""),
        ("Reserve,closed,,2022-12-31", ""),
    ],
)  # fmt: skip
def test_a_second_manager_who_did_not_say_yes_is_named(tmp_path: Path, line: str, said: str) -> None:
    head = "manager,basis,valid_from,valid_to,sites"
    shut = _asked(tmp_path, head, "Forestry,public right,,,Mill Park", f"{line},Mill Park")
    assert not shut.sites
    assert shut.to_heed[MILL_PARK] == ((said,) if said else ())


def test_the_line_of_a_permission_says_hours_both_limits_and_for_whom(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    head = "manager,basis,daily_limit,season_limit,limit_unit,per_person,opens_at,closes_at,method_rule,sites"
    line = "Town,permit,1.5,12,kg,yes,07:00,20:00,no raking,Mill Park"
    town.bring(path, books.table(tmp_path, "permission", head, line))
    with opened(path) as book:
        words = permission_words(book)
    (said,) = words[MILL_PARK]
    assert said == (
        "Town: permit; open 07:00 to 20:00; at most 1.5 kg a day a person; "
        "at most 12 kg a season a person; no raking; not checked"
    )


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
