"""A day planned on the demo: what is proposed, what is left away and why, and what is kept of it."""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from sitebook import errors
from sitebook.quantities import clock
from sitebook.records.foray import Foray, ForayStop
from sitebook.records.results.day_plan import DayPlan
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import opened
from sitebook.work.adding import add
from sitebook.work.corrections.changing import change
from sitebook.work.corrections.undoing import undo
from sitebook.work.day_asked import DayAsked
from sitebook.work.day_known import PROTECTION, DayKnown, day_known
from sitebook.work.day_places import DayPlaces, places_of
from sitebook.work.day_wishes import day_asked
from sitebook.work.plan import plan, planned
from sitebook.work.seasons import Seasons, seasons_of
from tests.work import books

if TYPE_CHECKING:
    from tests.conftest import Island

SATURDAY = datetime.date(2025, 10, 4)
STATION = (-19.3965, 48.6)
LIGHT = (382.0, 1070.0)
EVENING = datetime.datetime(2100, 10, 3, 19, 0, tzinfo=datetime.UTC)
"""Later than anything the demo's book was told."""
NOON = EVENING + datetime.timedelta(hours=17)


@dataclass(frozen=True)
class Opened:
    """A copy of the demo's book, open, its seasons, and what it knows of the Saturday."""

    path: Path
    book: Book
    seasons: Seasons
    known: DayKnown


@pytest.fixture(scope="module")
def demo(island: Island, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Opened]:
    path = tmp_path_factory.mktemp("plan") / "sitebook.gpkg"
    shutil.copyfile(island.book, path)
    with opened(path) as book:
        seasons = seasons_of(book)
        known = day_known(book, seasons, on=SATURDAY)
        yield Opened(path, book, seasons, known)


def asked(**other: object) -> DayAsked:
    whole: dict[str, object] = {
        "on": SATURDAY,
        "start": STATION,
        "starts_min": 540.0,
        "latest_end_min": 960.0,
        "mode": "foot",
        "stay_min": 30.0,
        "scouting_share": 0.2,
        "look_only_from": 3.0,
    }
    return DayAsked(**(whole | other))  # type: ignore[arg-type]


def site(demo: Opened, name: str) -> int:
    return next(key for key, one in demo.seasons.sites.items() if one.name == name)


def rules(found: DayPlaces) -> dict[str, str]:
    return {one.spot.site_name: one.rule for one in found.excluded}


def proposed(found: DayPlaces) -> dict[str, str]:
    return {place.spot.site_name: place.purpose for place in found.places.values()}


def test_what_is_forbidden_is_left_away_with_the_reason_and_never_weighed(demo: Opened) -> None:
    found = places_of(demo.known, asked(), LIGHT)
    assert rules(found)["Spruce wood"] == "rest"
    assert rules(found)["Golf edge"] == "permission"
    assert rules(found)["School lawn"] == "permission"
    assert rules(found)["Churchyard"] == "contamination"
    assert all(one.reason for one in found.excluded)
    for name in ("Spruce wood", "Golf edge", "School lawn"):
        assert name not in proposed(found)


def test_a_contaminated_site_may_be_looked_at_and_what_grows_there_counts_nothing(demo: Opened) -> None:
    verge = site(demo, "Skarrow Road verge")
    found = places_of(demo.known, asked(force=frozenset({verge})), LIGHT)
    assert proposed(found)["Skarrow Road verge"] == "look only"
    assert rules(found)["Skarrow Road verge"] == "contamination"
    (place,) = (one for one in found.places.values() if one.spot.site_id == verge)
    assert place.purpose_said.startswith("Not to gather: class ")
    assert place.expected
    assert not next(stop for stop in found.stops if stop.key == place.key).chances


def test_what_is_little_known_makes_a_stop_to_look_at_by_the_share_asked_for(demo: Opened) -> None:
    quarry = asked(look_only=frozenset({site(demo, "Quarry birches")}))
    (stop,) = (
        stop
        for found in (places_of(demo.known, quarry, LIGHT),)
        for stop in found.stops
        if found.places[stop.key].purpose == "look only"
    )
    assert stop.scouting > 0.0
    none = places_of(demo.known, replace(quarry, scouting_share=0.0), LIGHT)
    assert "look only" not in proposed(none).values()
    assert rules(none)["Quarry birches"] == "nothing expected"


def test_the_class_from_which_a_site_is_only_looked_at_is_a_setting(demo: Opened) -> None:
    strict = places_of(demo.known, asked(look_only_from=2.0), LIGHT)
    assert rules(strict)["Station green"] == "contamination"
    mild = places_of(demo.known, asked(look_only_from=4.0), LIGHT)
    assert proposed(mild)["Skarrow Road verge"] == "gather"
    assert rules(mild)["Churchyard"] == "contamination"


def test_a_closed_site_can_be_gone_to_only_to_look_and_a_resting_one_cannot(demo: Opened) -> None:
    golf, spruce = site(demo, "Golf edge"), site(demo, "Spruce wood")
    found = places_of(demo.known, asked(look_only=frozenset({golf, spruce})), LIGHT)
    assert proposed(found)["Golf edge"] == "look only"
    assert rules(found)["Spruce wood"] == "rest"


def test_hours_of_a_permission_and_daylight_bound_the_work_at_a_site(demo: Opened) -> None:
    found = places_of(demo.known, asked(), LIGHT)
    hours = {found.places[stop.key].spot.site_name: stop.hours[0] for stop in found.stops}
    assert (hours["Birch row"].begin_min, hours["Birch row"].until_min) == (420.0, 1070.0 - 30.0)
    assert hours["Oak wood"].begin_min == 382.0
    early = places_of(demo.known, asked(starts_min=200.0, latest_end_min=400.0), LIGHT)
    assert rules(early)["Birch row"] == "hours"
    dark = places_of(demo.known, asked(), None)
    assert not dark.stops
    assert rules(dark)["Oak wood"] == "hours"


def test_more_time_and_more_people_make_a_find_likelier(demo: Opened) -> None:
    def chance(question: DayAsked) -> float:
        found = places_of(demo.known, question, LIGHT)
        place = next(p for p in found.places.values() if p.spot.site_name == "Oak wood")
        return next(one.chance.chance for one in place.expected if one.taxon_name == "Boletus edulis")

    assert chance(asked(stay_min=15.0)) < chance(asked()) < chance(asked(searchers=3))
    assert chance(asked(stay_min=90.0)) == pytest.approx(chance(asked(searchers=3)))


def test_a_taxon_found_enough_of_counts_nothing_more(demo: Opened) -> None:
    bolete = next(one.taxon_id for one in demo.seasons.fitted if one.taxon_name == "Leccinum scabrum")
    stops = places_of(demo.known, asked(found=frozenset({bolete})), LIGHT).stops
    assert all("Leccinum scabrum" not in stop.chances for stop in stops)


def test_a_name_with_a_poisoning_class_counts_nothing_unless_it_was_given_a_weight(demo: Opened) -> None:
    poisonous = {
        key for key in demo.known.dangers.classes if key in {f.taxon_id for f in demo.seasons.fitted}
    }
    assert poisonous
    assert not poisonous & set(demo.known.wanted)
    for place in places_of(demo.known, asked(), LIGHT).places.values():
        for one in place.expected:
            assert one.weight == 0.0 or not one.poisoning


def test_a_protected_taxon_is_told_and_never_counted_not_even_for_scouting(demo: Opened) -> None:
    with books.taken_back(demo.book):
        note = {"taxon": "Leccinum scabrum", "trait": PROTECTION, "value_text": "listed"}
        add(demo.book, "taxon_trait", note | {"source_key": "ours", "mark": "memory"}, now=EVENING)
        known = day_known(demo.book, demo.seasons, on=SATURDAY, sites=())
    found = places_of(known, asked(), LIGHT)
    birches = next(place for place in found.places.values() if place.spot.site_name == "Station green")
    assert next(one for one in birches.expected if one.taxon_name == "Leccinum scabrum").look_only
    assert all("Leccinum scabrum" not in stop.chances for stop in found.stops)
    assert rules(found)["Quarry birches"] == "nothing expected"


def test_what_a_poisoning_class_is_noted_for_is_always_told(demo: Opened) -> None:
    dangerous = {f.taxon_id for f in demo.seasons.fitted if demo.known.dangers.of(f.taxon_id)}
    for place in places_of(demo.known, asked(), LIGHT).places.values():
        own = {
            f.taxon_id
            for f in demo.seasons.fitted
            if place.spot.site_id in {spot.site_id for spot in demo.seasons.spots_of(f)}
        }
        assert own & dangerous <= {one.taxon_id for one in place.expected}


def test_hours_over_midnight_are_two_spans(demo: Opened) -> None:
    oak = site(demo, "Oak wood")
    (right,) = demo.known.permissions[oak]
    night = replace(right, opens_at="15:00", closes_at="11:00")
    known = replace(demo.known, permissions=dict(demo.known.permissions) | {oak: (night,)})
    found = places_of(known, asked(), LIGHT)
    (stop,) = (s for s in found.stops if found.places[s.key].spot.site_id == oak)
    assert [(h.begin_min, h.until_min) for h in stop.hours] == [(382.0, 630.0), (900.0, 1040.0)]


@pytest.fixture(scope="module")
def saturday(demo: Opened) -> DayPlan:
    return plan(demo.book, asked(), now=EVENING, seasons=demo.seasons).result


def names(day: DayPlan) -> list[str]:
    return [day.places[stop.key].spot.site_name for stop in day.plan.route.stops]


def test_the_day_is_in_time_and_proved(saturday: DayPlan) -> None:
    route = saturday.plan.route
    assert saturday.plan.proved
    assert len(names(saturday)) > 5
    assert route.ends_min <= 960.0
    assert len(saturday.legs) == len(route.stops) + 1
    assert route.travel_min == pytest.approx(sum(leg.minutes for leg in saturday.legs), abs=0.5)
    assert saturday.daylight.sets == "17:50"
    assert {"Birch row", "Oak wood"} <= set(names(saturday))
    assert not any(part.unmapped for leg in saturday.legs for part in leg.parts)


def test_the_plan_is_kept_and_given_again_in_its_order(demo: Opened, saturday: DayPlan) -> None:
    (foray,) = (one for one in rows.records(demo.book, Foray) if one.uuid == saturday.foray_uuid)
    kept = [s for s in rows.records(demo.book, ForayStop) if s.foray_id == foray.id]
    assert [demo.seasons.sites[s.site_id].name for s in kept] == names(saturday)
    assert [s.turn for s in kept] == list(range(1, len(kept) + 1))
    assert kept[0].arrives_at == clock(saturday.plan.route.stops[0].arrives_min)
    again = planned(demo.book, foray, seasons=demo.seasons)
    assert names(again) == names(saturday)
    assert again.foray_uuid == saturday.foray_uuid
    assert again.plan.route.ends_min == pytest.approx(saturday.plan.route.ends_min, abs=0.1)


def test_planning_anew_takes_over_what_was_done_and_undo_brings_the_old_plan_back(
    demo: Opened, saturday: DayPlan
) -> None:
    done = tuple(saturday.places[key].spot.site_id or 0 for key in saturday.plan.route.keys[:2])
    pinned = saturday.places[saturday.plan.route.keys[4]].spot.site_id or 0
    noon = asked(done=done, starts_min=750.0, at_min={pinned: 840.0}, car_at=STATION)
    answer = plan(demo.book, noon, now=NOON, seasons=demo.seasons)
    assert answer.remarks
    (foray,) = rows.records(demo.book, Foray)
    again = planned(demo.book, foray, seasons=demo.seasons)
    assert names(again) == names(answer.result)
    begins = {again.places[stop.key].spot.site_id: stop.begins_min for stop in again.plan.route.stops}
    assert begins[pinned] == 840.0
    stops = sorted(rows.records(demo.book, ForayStop), key=lambda s: s.turn or 0)
    assert tuple(s.site_id for s in stops[:2]) == done
    assert not set(done) & {s.site_id for s in stops[2:]}
    assert foray.uuid == answer.result.foray_uuid
    undo(demo.book, now=NOON + datetime.timedelta(minutes=1))
    assert [one.uuid for one in rows.records(demo.book, Foray)] == [saturday.foray_uuid]


def test_wishes_are_kept_or_refused_with_the_reason(demo: Opened) -> None:
    orchard, pine, spruce = (site(demo, n) for n in ("Old orchard", "Pine plantation", "Spruce wood"))
    question = asked(
        force=frozenset({orchard}), bar=frozenset({pine}), at_min={site(demo, "Park lawn"): 660.0}
    )
    day = plan(demo.book, question, now=books.NOW, keep=False, seasons=demo.seasons).result
    assert "Old orchard" in names(day)
    assert "Pine plantation" not in names(day)
    lawn = next(s for s in day.plan.route.stops if day.places[s.key].spot.site_name == "Park lawn")
    assert lawn.begins_min == 660.0
    assert day.foray_uuid == ""
    with pytest.raises(errors.BadArgument, match="Spruce wood cannot be planned: Resting until"):
        plan(demo.book, asked(force=frozenset({spruce})), now=books.NOW, seasons=demo.seasons)


@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"starts_min": 960.0, "latest_end_min": 540.0}, "is none"),
        ({"searchers": 0}, "party of 0"),
        ({"stay_min": 0.0}, "0 minutes"),
        ({"stay_min": float("nan")}, "nan minutes"),
        ({"scouting_share": 1.5}, "share of 1.5"),
    ],
)
def test_a_day_that_cannot_be_is_refused(demo: Opened, other: dict[str, object], said: str) -> None:
    with pytest.raises(errors.BadArgument, match=said):
        plan(demo.book, asked(**other), now=books.NOW, seasons=demo.seasons)


def test_a_place_that_is_none_is_refused(demo: Opened) -> None:
    with pytest.raises(errors.PositionImpossible):
        plan(demo.book, asked(start=(200.0, 48.6)), now=books.NOW, seasons=demo.seasons)


def test_a_book_without_sites_says_so(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book, pytest.raises(errors.NothingToShow, match="no site yet"):
        plan(book, asked(), now=books.NOW)


def test_weights_are_typed_and_read_for_the_owner_alone(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book:
        cells = {"person": "OV", "taxon": "Boletus edulis", "weight": "3", "fewest_bodies": "2"}
        add(book, "taxon_weight", cells, now=books.NOW)
        add(book, "taxon_weight", cells | {"person": "XY", "weight": "9"}, now=books.NOW)
        known = day_known(book, seasons_of(book), on=SATURDAY)
        (cep,) = (t.id for t in rows.records(book, Taxon) if t.scientific_name == "Boletus edulis")
        assert {key: (w.weight, w.fewest_bodies) for key, w in known.wanted.items()} == {cep: (3.0, 2)}


def test_a_pinned_stop_that_rests_by_now_is_told_and_the_others_stay(demo: Opened) -> None:
    oak, birch = site(demo, "Oak wood"), site(demo, "Birch row")
    with books.taken_back(demo.book):
        pinned = asked(force=frozenset({birch}), at_min={oak: 840.0}, latest_end_min=1440.0)
        evening = EVENING + datetime.timedelta(hours=1)
        day = plan(demo.book, pinned, now=evening, seasons=demo.seasons).result
        (foray,) = (one for one in rows.records(demo.book, Foray) if one.uuid == day.foray_uuid)
        assert foray.ends_at == "24:00"
        change(demo.book, "site", "Oak wood", {"rest_until": "2100-12-31"}, now=NOON)
        again = planned(demo.book, foray, seasons=demo.seasons)
        assert "Birch row" in names(again)
        assert {one.spot.site_name: one.rule for one in again.excluded}["Oak wood"] == "rest"


def test_look_alikes_noted_at_a_synonym_are_told(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book:
        add(book, "taxon", {"scientific_name": "Boletus bulbosus"}, now=books.NOW)
        change(book, "taxon", "Boletus bulbosus", {"accepted": "Boletus edulis"}, now=books.NOW)
        note = {"taxon": "Boletus bulbosus", "other": "Rubroboletus satanas", "danger": "poisonous"}
        add(book, "look_alike", note | {"source_key": "ours", "mark": "memory"}, now=books.LATER)
        known = day_known(book, seasons_of(book), on=SATURDAY)
        (cep,) = (t for t in rows.records(book, Taxon) if t.scientific_name == "Boletus edulis")
        told = {line.name: line.danger for line in known.look_alikes[cep.id or 0]}
        assert told["Rubroboletus satanas"] == "poisonous"


def test_a_protection_noted_of_a_genus_holds_for_its_species(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book:
        (cep,) = (t for t in rows.records(book, Taxon) if t.scientific_name == "Boletus edulis")
        cells = {"scientific_name": "Boletus", "taxon_rank": "genus"}
        genus = next((t for t in rows.records(book, Taxon) if t.scientific_name == "Boletus"), None)
        if genus is None:
            add(book, "taxon", cells, now=books.NOW)
        note = {"taxon": "Boletus", "trait": PROTECTION, "value_text": "listed", "source_key": "ours"}
        add(book, "taxon_trait", note | {"mark": "memory"}, now=books.NOW)
        change(book, "taxon", "Boletus edulis", {"parent": "Boletus"}, now=books.LATER)
        known = day_known(book, seasons_of(book), on=SATURDAY)
        assert known.protected[cep.id or 0] == "legal protection noted: listed (memory)"


def test_a_question_takes_what_is_not_said_from_the_settings(demo: Opened) -> None:
    question = day_asked(
        demo.book,
        on=SATURDAY,
        start=STATION,
        end=None,
        starts_min=540.0,
        ends_min=960.0,
        mode="bicycle",
        car_at=None,
        searchers=2,
        stay_min=None,
        scouting_share=None,
        sites={"bar": ["Oak wood"]},
        pins=[("Birch row", 600.0)],
        found=["Boletus edulis"],
        seed=1,
    )
    assert (question.stay_min, question.scouting_share, question.look_only_from) == (30.0, 0.2, 3.0)
    assert question.bar == {site(demo, "Oak wood")}
    assert question.at_min == {site(demo, "Birch row"): 600.0}
