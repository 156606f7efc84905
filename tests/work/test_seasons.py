"""What the seasons of the demo answer: calendars, coming days, revisits, weather, held-out years."""

from __future__ import annotations

import datetime
import itertools
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook import errors
from sitebook.records.derived import Derived
from sitebook.store import derived, rows
from sitebook.store.book import Book
from sitebook.work import (
    closures,
    held_out,
    likely_weeks,
    opened,
    outlook,
    revisit,
    season,
    season_baseline,
    weather_page,
)
from sitebook.work.dangers import dangers_of
from sitebook.work.kept_seasons import KIND, OF_PAST_DAY
from sitebook.work.seasons import Seasons, seasons_of
from tests.work import books

if TYPE_CHECKING:
    from tests.conftest import Island

SATURDAY = datetime.date(2025, 10, 4)


@dataclass(frozen=True)
class Opened:
    """A copy of the demo's book, open, and its seasons."""

    book: Book
    seasons: Seasons


@pytest.fixture(scope="module")
def demo(island: Island, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    path = tmp_path_factory.mktemp("seasons") / "sitebook.gpkg"
    shutil.copyfile(island.book, path)
    with opened(path) as book:
        yield Opened(book, seasons_of(book))


def test_every_taxon_with_looks_is_fitted_once_and_keeps_its_fit(demo: Opened) -> None:
    names = [one.taxon_name for one in demo.seasons.fitted]
    assert len(names) == len(set(names)) > 20
    assert names == sorted(names, key=str.casefold)
    kept = derived.kept(demo.book, KIND)
    assert set(kept) == {str(one.taxon_id) for one in demo.seasons.fitted}


def test_a_kept_fit_is_used_and_a_broken_one_made_anew(demo: Opened) -> None:
    before = derived.kept(demo.book, KIND)
    key, one = next(iter(before.items()))
    derived.put_in_place(demo.book, KIND, {key: (one.input_hash, b"torn")}, now=books.NOW)
    again = seasons_of(demo.book, taxon_id=int(key), now=books.LATER)
    assert again.fitted[0].fit.looks == next(
        found.fit.looks for found in demo.seasons.fitted if found.taxon_id == int(key)
    )
    after = derived.kept(demo.book, KIND)
    assert after[key].made_at == books.LATER
    assert after[key].payload != b"torn"
    assert {k: v.made_at for k, v in after.items() if k != key} == {
        k: v.made_at for k, v in before.items() if k != key
    }


def test_of_a_past_day_what_came_later_is_left_out_and_the_fits_of_today_are_kept(demo: Opened) -> None:
    before = derived.kept(demo.book, KIND)
    key = _bolete(demo)
    (past,) = seasons_of(demo.book, taxon_id=key, day=SATURDAY, now=books.LATER).fitted
    assert max(look.local_date for look in past.looks if look.local_date is not None) <= SATURDAY
    whole = next(one for one in demo.seasons.fitted if one.taxon_id == key)
    assert 0 < len(past.looks) < len(whole.looks)
    after = derived.kept(demo.book, KIND)
    assert set(after) == {*before, f"{key}{OF_PAST_DAY}"}
    assert all(after[name] == one for name, one in before.items())
    again = seasons_of(demo.book, taxon_id=key, day=SATURDAY, now=books.NOW)
    assert derived.kept(demo.book, KIND) == after, "the fit of the past day is taken from the book"
    assert max(find.last for find in again.finds[key]) <= SATURDAY
    newest = {one.used.last_day for one in again.weather.values() if one.used.last_day is not None}
    assert newest == {SATURDAY}


def test_the_calendar_shows_sites_and_trees_and_names_the_likeliest_tree(demo: Opened) -> None:
    found = season.fruiting_of(demo.book, today=SATURDAY, taxon="Leccinum scabrum", seasons=demo.seasons)
    (bolete,) = found.taxa
    row = next(row for row in bolete.sites if row.spot.site_name == "Birch row")
    assert row.at in {tree.spot.tag for tree in bolete.trees}
    assert max(row.weeks, key=lambda week: week.chance.chance).iso_week in range(34, 43)
    assert bolete.told.effort_assumed
    (span,) = bolete.spans
    assert span.onset.day < span.peak.day < span.end.day
    assert span.onset.basis == "dated finds"


def test_a_felled_tree_is_marked_and_speaks_for_its_site_only_for_what_grows_on_wood(demo: Opened) -> None:
    taxa = season.fruiting_of(demo.book, today=SATURDAY, seasons=demo.seasons).taxa
    felled = {spot.tag for spot in demo.seasons.spots.values() if spot.gone}
    assert {"BE4", "PO3", "S3"} <= felled
    rows = [row for one in taxa for row in one.trees if row.spot.tag in felled]
    assert rows
    assert all(row.spot.gone.startswith(("Felled or fallen on ", "Noted as ")) for row in rows)
    named = {(one.taxon_id, row.at) for one in taxa for row in one.sites if row.at in felled}
    assert all(demo.seasons.on_wood(taxon_id) for taxon_id, _ in named)
    page = season.calendar(demo.book, today=SATURDAY, seasons=demo.seasons).page or ""
    assert "felled or fallen on 20" in page


def test_a_winter_taxon_and_one_with_two_seasons_are_told_as_such(demo: Opened) -> None:
    found = season.fruiting_of(demo.book, today=SATURDAY, seasons=demo.seasons)
    spans = {one.taxon_name: one.spans for one in found.taxa}
    (winter,) = spans["Flammulina velutipes"]
    assert winter.onset.day > winter.end.day
    assert len(spans["Coprinus comatus"]) == 2


def test_a_tree_is_told_year_by_year(demo: Opened) -> None:
    page = season.tree_page(demo.book, today=SATURDAY, tree="B1").result
    bolete = next(one for one in page.taxa if one.taxon_name == "Leccinum scabrum")
    labels = [year.label for year in bolete.years]
    assert labels == sorted(labels, reverse=True)
    assert (
        sum(day.outcome == "found" for year in bolete.years for day in year.looks)
        == bolete.row.looks_with_find
    )
    with pytest.raises(errors.RecordMissing):
        season.tree_page(demo.book, today=SATURDAY, tree="no such tree")


def test_the_coming_days_leave_closed_and_resting_places_away(demo: Opened) -> None:
    found = outlook.outlook_of(demo.book, demo.seasons, on=SATURDAY, most=None)
    left = {one.spot.site_name: one.reason for one in found.not_proposed if one.spot.tree_id is None}
    assert {"Golf edge", "Spruce wood"} <= set(left)
    assert left["Spruce wood"] == "Resting until 2027-08-31."
    assert not set(left) & {row.spot.site_name for row in found.rows}
    assert all(len(row.days) == 10 for row in found.rows)
    assert {day.weather_ahead_d for row in found.rows for day in row.days} == {0}


def test_a_day_on_which_a_place_is_closed_is_marked_and_never_the_best(demo: Opened) -> None:
    sunday = datetime.date(2025, 10, 5)
    for first in (SATURDAY, sunday):
        found = outlook.outlook_of(demo.book, demo.seasons, on=first, most=None)
        own = [row for row in found.rows if row.spot.site_name == "Birch row"]
        assert own
        for row in own:
            shut = {day.on for day in row.days if day.closed}
            assert shut == {day.on for day in row.days if day.on.isoweekday() == 7}
            assert row.best.on not in shut
    alone = outlook.outlook_of(demo.book, demo.seasons, on=sunday, days=1, most=None)
    assert "Birch row" in {one.spot.site_name for one in alone.not_proposed}
    assert "Birch row" not in {row.spot.site_name for row in alone.rows}


def test_the_likeliest_weeks_do_not_hang_on_the_weekday_they_are_asked_on(demo: Opened) -> None:
    first = datetime.date(2025, 12, 26)
    dates = [first + datetime.timedelta(days=ahead) for ahead in range(3)]
    texts = [likely_weeks.likely_windows(demo.book, on=on, now=books.NOW).result for on in dates]
    named = [sorted(line for line in text.split(b"\r\n") if line.startswith(b"SUMMARY:")) for text in texts]
    assert named[0] == named[1] == named[2]
    assert any(b"Birch row" in line for line in named[2])
    assert not any(b"Spruce wood" in line for line in named[2])


def test_beyond_the_known_weather_the_days_ahead_are_counted_and_the_chance_drawn_to_the_usual(
    demo: Opened,
) -> None:
    found = outlook.outlook_of(demo.book, demo.seasons, on=datetime.date(2025, 12, 30), days=5, most=None)
    assert [day.weather_ahead_d for day in found.rows[0].days] == [0, 0, 1, 2, 3]


@pytest.mark.parametrize("days", [0, 41])
def test_an_outlook_is_of_1_to_40_days(demo: Opened, days: int) -> None:
    with pytest.raises(errors.BadArgument, match=f"outlook of {days} days"):
        outlook.outlook(demo.book, on=SATURDAY, days=days, seasons=demo.seasons)


def test_the_likeliest_weeks_become_events_that_are_the_same_next_time(demo: Opened) -> None:
    first, again = (
        likely_weeks.likely_windows(demo.book, on=SATURDAY, now=books.NOW, taxon="Leccinum scabrum").result
        for _ in range(2)
    )
    assert first == again
    text = first.decode("utf-8").replace("\r\n ", "")
    assert text.count("BEGIN:VEVENT") == text.count("no word on whether it may be eaten")
    own = seasons_of(demo.book, taxon_id=_bolete(demo), day=SATURDAY).held_out_said
    assert own
    assert text.count("BEGIN:VEVENT") == text.count(own.replace(";", "\\;").replace(",", "\\,"))
    assert "Spruce wood" not in text
    with pytest.raises(errors.NothingToShow):
        likely_weeks.likely_windows(demo.book, on=SATURDAY, now=books.NOW, taxon="Clitocybe rivulosa")


def test_a_name_with_a_poisoning_class_is_an_event_only_where_it_is_asked_for_and_says_its_class_first(
    demo: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = dangers_of(demo.book)
    classes = {**known.classes, _bolete(demo): ("deadly (memory)",)}
    monkeypatch.setattr(likely_weeks, "dangers_of", lambda _: replace(known, classes=classes))
    newest = datetime.date(2025, 12, 31)
    whole = likely_weeks.likely_windows(demo.book, on=newest, now=books.NOW)
    assert b"Leccinum scabrum" not in whole.result
    assert any("poisoning class" in line and "Leccinum scabrum" in line for line in whole.remarks)
    own = likely_weeks.likely_windows(demo.book, on=newest, now=books.NOW, taxon="Leccinum scabrum").result
    text = own.decode("utf-8").replace("\r\n ", "")
    assert text.count("DESCRIPTION:Poisoning class noted for this name: deadly (memory). At") == text.count(
        "BEGIN:VEVENT"
    )


def test_an_event_begins_no_earlier_than_the_day_asked_for_and_lasts_no_more_than_ten_weeks(
    demo: Opened,
) -> None:
    file = likely_weeks.likely_windows(demo.book, on=SATURDAY, now=books.NOW)
    lines = file.result.decode("utf-8").split("\r\n")
    days = [
        datetime.date.fromisoformat(line[-8:]) for line in lines if line.startswith(("DTSTART;", "DTEND;"))
    ]
    spans = list(zip(days[::2], days[1::2], strict=True))
    assert min(first for first, _ in spans) == SATURDAY
    assert all(datetime.timedelta(0) < end - first <= datetime.timedelta(weeks=10) for first, end in spans)
    assert any(line.startswith(likely_weeks.UNKNOWN) for line in file.remarks)


def test_every_answer_that_names_a_fungus_says_the_class_noted_for_it(demo: Opened) -> None:
    said = "poisoning class noted for this name: deadly (memory)"
    asked = season.calendar(demo.book, today=SATURDAY, seasons=demo.seasons)
    assert asked.result.poisoning["Amanita phalloides"] == said
    assert "Leccinum scabrum" not in asked.result.poisoning
    view = weather_page.weather(demo.book, on=SATURDAY, seasons=demo.seasons)
    assert "<i>Amanita phalloides</i> <b>(deadly, from memory)</b>" in (view.page or "")
    first = season_baseline.calendar(demo.book, today=SATURDAY, taxon="Amanita phalloides")
    assert "Amanita phalloides (deadly, from memory)" in (first.page or "")
    coming = outlook.outlook(demo.book, on=SATURDAY, seasons=demo.seasons)
    summary = (coming.page or "").split("site by site")[1].split("</section>")[0]
    assert "Amanita phalloides (deadly, from memory)" in summary


def _bolete(demo: Opened) -> int:
    return next(one.taxon_id for one in demo.seasons.fitted if one.taxon_name == "Leccinum scabrum")


@pytest.mark.parametrize(
    ("weeks", "year", "first", "last"),
    [
        ([50, 51, 52, 1, 2, 3], 2026, "2026-12-07", "2027-01-24"),
        ([50, 51, 52, 1, 2, 3], 2025, "2025-12-08", "2026-01-18"),
        ([40, 41], 2026, "2026-09-28", "2026-10-11"),
        ([*range(1, 53)], 2026, "2025-12-29", "2027-01-03"),
    ],
)
def test_a_window_over_the_turn_of_a_year_of_53_weeks_holds_all_its_weeks(
    weeks: list[int], year: int, first: str, last: str
) -> None:
    days = likely_weeks.window_days(weeks, year)
    assert (days[0].isoformat(), days[-1].isoformat()) == (first, last)
    assert (days[0].isocalendar().week, days[-1].isocalendar().week) in {(weeks[0], weeks[-1]), (1, 53)}
    assert all(after - day == datetime.timedelta(days=1) for day, after in itertools.pairwise(days))


def test_the_ranking_is_by_worth_and_tells_class_permission_and_poison(demo: Opened) -> None:
    found = revisit.revisit_of(demo.book, demo.seasons, on=SATURDAY)
    worth = [row.worth for row in found.rows]
    assert worth == sorted(worth, reverse=True)
    top = found.rows[0]
    assert (top.taxon_name, top.spot.site_name) == ("Leccinum scabrum", "Birch row")
    assert top.class_said.startswith("class ")
    assert any("Town of Vennarhaven" in line for line in top.permission)
    assert all(
        row.poisoning for row in (*found.rows, *found.scouting) if row.taxon_name == "Amanita phalloides"
    )
    closed = {one.spot.site_id for one in found.not_proposed if one.spot.tree_id is None}
    assert closed
    assert not closed & {row.spot.site_id for row in (*found.rows, *found.scouting)}
    assert all(row.spot.tree_id is not None and row.scouting for row in found.scouting)


def test_what_was_picked_lately_is_taken_off(demo: Opened) -> None:
    found = revisit.revisit_of(demo.book, demo.seasons, on=datetime.date(2025, 10, 30))
    picked = [row for row in found.rows if row.crop is not None]
    assert picked
    assert all(row.crop is None or 0.0 < row.crop.share < 1.0 for row in picked)
    assert any("stands again" in reason for row in picked for reason in row.reasons)


def test_the_coming_days_heed_what_was_picked_and_agree_with_the_ranking(demo: Opened) -> None:
    on = datetime.date(2025, 10, 30)
    rows = outlook.outlook_of(demo.book, demo.seasons, on=on, most=None).rows
    picked = [row for row in rows if row.picked_on is not None]
    assert picked
    ranked = {
        (row.taxon_id, row.spot): row for row in revisit.revisit_of(demo.book, demo.seasons, on=on).rows
    }
    both = [row for row in picked if (row.taxon_id, row.spot) in ranked and not row.days[0].closed]
    assert both
    for row in both:
        ranking = ranked[row.taxon_id, row.spot].chance
        assert row.days[0].chance.chance == pytest.approx(ranking.chance)


def test_a_ranking_says_that_nobody_gave_permission_and_when_a_place_is_closed(demo: Opened) -> None:
    answer = revisit.revisit(demo.book, on=SATURDAY, seasons=demo.seasons)
    every = (*answer.result.rows, *answer.result.scouting)
    birches = next(row for row in every if row.spot.site_name == "Birch row")
    assert any(line.endswith("closed on Sundays") for line in birches.permission)
    asked = {row.spot.site_id: row.permission for row in every if "not asked" in " ".join(row.permission)}
    assert all(lines[0] == revisit.NOBODY for lines in asked.values())
    assert (f"<b>{revisit.NOBODY}</b>" in (answer.page or "")) is bool(
        [row for row in every if revisit.NOBODY in row.permission]
    )


def test_closures_tell_why_and_what_is_to_be_heeded(demo: Opened) -> None:
    shut = closures.closures(demo.book, SATURDAY)
    names = {site.name: key for key, site in demo.seasons.sites.items()}
    assert shut.sites[names["Spruce wood"]] == "Resting until 2027-08-31."
    assert "closed to gathering" in shut.sites[names["Railway bank"]]
    assert names["Birch row"] not in shut.sites
    assert any("cut, no raking" in line for line in shut.to_heed[names["Birch row"]])
    assert shut.to_heed[names["Churchyard"]] == (closures.NOT_ASKED,)
    before = closures.closures(demo.book, datetime.date(2025, 3, 1))
    assert "does not hold on this day" in before.sites[names["Birch row"]]
    sunday = closures.closures(demo.book, datetime.date(2025, 10, 5))
    assert sunday.sites[names["Birch row"]].endswith("closed on Sundays.")


def test_the_weather_of_a_dry_autumn_lies_below_what_is_usual(demo: Opened) -> None:
    view = weather_page.weather(demo.book, on=SATURDAY, seasons=demo.seasons).result
    rain = next(one for one in view.sums if one.words == "rain of the last 60 days")
    assert rain.value is not None
    assert rain.usual is not None
    assert rain.value < rain.usual
    assert len(view.days) == 60
    assert view.effects[0].times < 1.0
    assert "Vennarhaven Harbour (VEN)" in view.station.said
    with pytest.raises(errors.RecordMissing, match="'NO'"):
        weather_page.weather(demo.book, on=SATURDAY, station="NO", seasons=demo.seasons)
    with pytest.raises(errors.BadArgument):
        weather_page.weather(demo.book, on=SATURDAY, days=0, seasons=demo.seasons)


def test_years_are_held_out_and_told(demo: Opened) -> None:
    answer = held_out.calibration(demo.book, today=SATURDAY)
    result = answer.result
    assert {one.taxon_name for one in result.taxa} <= {one.taxon_name for one in demo.seasons.fitted}
    assert sum(share.looks for share in result.together) == sum(one.looks for one in result.taxa)
    assert all([gain.way for gain in one.gains] == ["month histogram", "pooled ratio", "published calendar"]
               for one in result.taxa)  # fmt: skip
    assert result.said == demo.seasons.held_out_said
    assert sum(year.looks for year in result.by_year) == sum(one.looks for one in result.taxa)
    assert sum(year.came for year in result.by_year) == sum(one.looks_with_find for one in result.taxa)
    assert f"promised {sum(year.told for year in result.by_year):.0f} finds" in result.said
    assert "Did the chances come true" in (answer.page or "")


def test_a_book_without_anything_says_so_in_one_line(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book:
        for ask in (
            lambda: season.calendar(book, today=SATURDAY),
            lambda: outlook.outlook(book, on=SATURDAY),
            lambda: revisit.revisit(book, on=SATURDAY),
            lambda: weather_page.weather(book, on=SATURDAY),
            lambda: held_out.calibration(book, today=SATURDAY),
        ):
            with pytest.raises(errors.NothingToShow) as told:
                ask()
            assert told.value.remedy
        assert not rows.records(book, Derived)
