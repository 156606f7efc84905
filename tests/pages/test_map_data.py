"""Tests of what the scripts of the map page read."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace

import pytest

from sitebook.pages import map_chances
from sitebook.pages.map_data import badge, badge_words, map_data, placed_first, week_words, weeks_in
from tests.pages.sample_map import sample_map

VIEW = sample_map()
REVIEW = next(site.review for site in VIEW.sites if site.review is not None)


@pytest.mark.parametrize(
    ("place_class", "could_be", "unknown", "letters", "words"),
    [
        (2, 2, (), "2", "class 2"),
        (2, 3, (), "2–3", "class 2, could be 3"),
        (2, 3, ("traffic",), "2–3 U", "class 2, could be 3, some things not known"),
        (0, 0, ("traffic",), "0 U", "class 0, some things not known"),
        (None, None, ("no data",), "U", "class not known"),
    ],
)
def test_badge(
    place_class: int | None, could_be: int | None, unknown: tuple[str, ...], letters: str, words: str
) -> None:
    review = replace(REVIEW, place_class=place_class, could_be=could_be, unknown=unknown)
    assert (badge(review), badge_words(review)) == (letters, words)


def test_a_site_without_review_says_so() -> None:
    assert (badge(None), badge_words(None)) == ("–", "not reviewed yet")


@pytest.mark.source(
    item="",
    what="years of 53 ISO weeks",
    value="2020 and 2026, not 2021 to 2025",
    source="ISO 8601: a year whose 1 January, or in a leap year 2 January as well, is a Thursday",
    mark="memory",
)
def test_years_of_53_weeks() -> None:
    assert [year for year in range(2020, 2027) if weeks_in(year) == 53] == [2020, 2026]


def test_weeks_are_told_in_days() -> None:
    assert week_words(2026)[39] == "28 Sep to 4 Oct"
    assert len(week_words(2026)) == 53
    assert len(week_words(2025)) == 52


def test_finds_with_a_position_come_first_and_newest_first() -> None:
    finds = placed_first(VIEW.finds)
    assert finds[-1].lon is None
    days = [find.found_on or datetime.date.min for find in finds[:-1]]
    assert days == sorted(days, reverse=True)


def test_data_is_plain_and_every_find_keeps_its_words() -> None:
    data = json.loads(json.dumps(map_data(VIEW)))
    finds, words = data["finds"], data["finds"]["words"]
    ordered = placed_first(VIEW.finds)
    assert [words[i] for i in finds["named"]] == [find.name_words for find in ordered]
    assert len(finds["xy"]) == 2 * (len(ordered) - 1)


def test_chances_stand_by_site_and_by_tree_in_whole_per_cent() -> None:
    season = json.loads(json.dumps(map_data(VIEW)))["season"]
    boletus = season[0]
    assert boletus["name"] == "Boletus edulis"
    weeks = boletus["sites"]["2"]["weeks"]
    assert len(weeks) == 53
    assert all(1 <= low <= chance <= high <= 99 for chance, low, high, *_ in weeks)
    assert boletus["trees"]["2"]["at"] == ""
    assert [one["name"] for one in season if len(next(iter(one["sites"].values()))["weeks"]) == 1] == [
        "Fomes fomentarius"
    ]


def test_the_best_day_is_told_with_its_weather_and_closed_places_with_their_reason() -> None:
    data = json.loads(json.dumps(map_data(VIEW)))
    assert list(data["ahead"]["spans"]) == ["week", "all"]
    assert data["ahead"]["spans"]["all"] == ["Next ten days", "Thu 1 Oct to Sat 10 Oct"]
    assert set(data["ahead"]["closed"]) == set(data["ahead"]["spans"])
    assert all(one["sites"] == {"3": "Resting until 2027-03-01."} for one in data["ahead"]["closed"].values())
    leccinum = next(one for one in data["season"] if one["name"] == "Leccinum scabrum")
    week, ten = (leccinum["ahead"][span]["sites"]["1"] for span in ("week", "all"))
    assert week["on"] == "Sat 3 Oct"
    assert week["weather"] == "weather known to 1 Oct 2026"
    assert ten["chance"][0] >= week["chance"][0]
    trees = leccinum["ahead"]["week"]["trees"]
    speaks = str(int(week["at"].removeprefix("V")))
    assert trees[speaks]["chance"] == week["chance"]
    assert leccinum["ahead"]["week"]["sites"]["7"]["at"] in {"", "V07", "V14", "V21"}


def test_a_book_without_chances_has_none() -> None:
    data = map_data(replace(VIEW, fruiting=None, outlook=None))
    assert (data["season"], data["ahead"]) == ([], None)


def test_rows_beyond_the_most_are_left_out_and_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(map_chances, "MOST_ROWS", 5)
    seasons = map_chances.map_seasons(VIEW.fruiting, None, VIEW.today)
    assert VIEW.fruiting is not None
    rows = [row for one in VIEW.fruiting.taxa for row in (*one.sites, *one.trees, *one.lasting)]
    assert seasons.left_out == len(rows) - 5


def test_a_place_closed_on_all_days_of_a_span_bears_its_reason_there() -> None:
    assert VIEW.outlook is not None
    row = VIEW.outlook.rows[0]
    shut = replace(row, days=tuple(replace(day, closed="closed on Sundays.") for day in row.days))
    data = json.loads(json.dumps(map_data(replace(VIEW, outlook=replace(VIEW.outlook, rows=(shut,))))))
    kind = "sites" if row.spot.tree_id is None else "trees"
    place = str(row.spot.tree_id or row.spot.site_id)
    for span in data["ahead"]["spans"]:
        assert data["ahead"]["closed"][span][kind][place] == "closed on Sundays."
