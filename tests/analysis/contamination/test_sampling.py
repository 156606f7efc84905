"""Tests what is asked of a laboratory and of whoever manages the ground, and why."""

from __future__ import annotations

import datetime

import pytest
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from sitebook.analysis.contamination.ground_questions import NOT_KNOWN_HERE, questions_for_manager
from sitebook.analysis.contamination.hazards import terms_of
from sitebook.analysis.contamination.sampling import sampling_plan, steps
from sitebook.analysis.contamination.species import species_review
from sitebook.records.map_data import Hazard
from sitebook.records.results.contamination import Band, NearSource
from sitebook.records.results.review import PlaceReview
from sitebook.records.results.sampling import SamplingLine, SamplingPlan
from sitebook.records.results.spray_term import ActiveLeft, SprayTerm
from sitebook.reference import reader
from sitebook.reference.analytes import analyte
from sitebook.reference.map_tags import hazard_kinds
from sitebook.reference.substances import substance
from tests.analysis.contamination.test_hazards import LAT, LON, TODAY, hazard
from tests.house.judging_words import JUDGING

BARE = PlaceReview(
    name="Quay lawn",
    lon=LON,
    lat=LAT,
    place_class=0,
    could_be=0,
    unknown=(),
    traffic_index=None,
    sources=(),
    words="",
    reach_m=1000.0,
    data_date=datetime.date(2026, 1, 1),
    points_looked_at=1,
    uncertainty_m=0.0,
)


def _square(east_m: float) -> BaseGeometry:
    """Give ground of 20 m by 20 m whose middle lies east of the place."""
    return box(east_m - 10.0, -10.0, east_m + 10.0, 10.0)


def review(*hazards: Hazard, **more: object) -> PlaceReview:
    values = {name: getattr(BARE, name) for name in BARE.__dataclass_fields__}
    terms = terms_of(LON, LAT, hazards, today=TODAY)
    return PlaceReview(**{**values, "terms": terms, **more})


def road(high: float, kind: str = "road") -> NearSource:
    return NearSource(kind, "Quay Road", 12.0, high / 2, high / 4, high, 8905.0, "", "", "memory", edge_m=8.0)


def spraying(state: str = "done", *actives: str, ended: str = "") -> SprayTerm:
    left = tuple(
        ActiveLeft(
            active=name,
            element=False,
            rate_g_ha=None,
            rate_words="",
            soil_left=None,
            soil_mg_kg=None,
            foliage_left=None,
            said="",
            source="",
            mark="memory",
        )
        for name in actives
    )
    return SprayTerm(
        spraying_id=1,
        ground="the lawn",
        state=state,
        distance_m=0.0,
        nearest_m=0.0,
        direction="",
        inside=True,
        days_words="",
        drift_percent=Band(100.0, 100.0, 100.0),
        drift_group="field",
        floor_class=4,
        could_be_floor=4,
        ended=ended,
        actives=left,
        reason="",
        source="the gardener",
        mark="confirmed",
        unknown=("the lawn: which product was it?", "the lawn: no half-life known to the book"),
    )


def asked(plan: SamplingPlan, material: str) -> dict[str, SamplingLine]:
    return {line.analyte: line for line in plan.lines if line.material == material}


def test_every_kind_of_source_says_what_to_ask() -> None:
    rows = {row["source"] for row in reader.rows("analytes_to_ask")}
    assert rows == {*hazard_kinds(), "road", "any mushroom"}
    for row in reader.rows("analytes_to_ask"):
        names = [name for text in (row["soil"], row["mushroom"]) for name in text.split("|") if name]
        assert not [name for name in names if analyte(name) is None]
        for material in ("soil", "mushroom"):
            measured = {*filter(None, row[f"{material}_measured"].split("|"))}
            assert measured <= {*row[material].split("|")}


def test_no_source_is_read_beyond_what_it_measured() -> None:
    cited = {kind.kind: kind.source_key for kind in hazard_kinds().values()}
    assert cited["sewage works"] == "not confirmed"
    assert "says nothing" in hazard_kinds()["old orchard"].locator
    assert hazard_kinds()["river"].locator.startswith("one place of one flood plain")
    copper = substance("copper")
    assert copper is not None
    assert (copper.source_key, copper.mark) == ("not confirmed", "memory")


def test_a_bare_place_asks_for_what_every_mushroom_is_asked_for() -> None:
    plan = sampling_plan(review())
    assert not asked(plan, "soil")
    assert list(asked(plan, "mushroom")) == ["lead (Pb)", "cadmium (Cd)", "mercury (Hg)"]
    assert "no proof that there is nothing" in plan.words


def test_an_old_orchard_asks_for_lead_and_arsenic_with_its_reason() -> None:
    plan = sampling_plan(review(hazard("old orchard", _square(20.0), name="Pear garth")))
    lead = asked(plan, "soil")["lead (Pb)"]
    assert lead.because == (
        "Orchard from before about 1950 (Pear garth), 10 m to the east: lead arsenate, copper.",
    )
    assert (lead.mark, lead.source.split(",")[0]) == ("confirmed", "peryea_creger1994")
    assert {"arsenic (As)", "inorganic arsenic (iAs)"} <= set(asked(plan, "mushroom"))
    assert {line.mark for line in asked(plan, "mushroom").values()} == {"our choice"}


@pytest.mark.source(
    item="",
    what="metals highest in the first 5 m of European roadside soils, and in old orchards",
    value="Cr, Cu, Ni, Pb, Zn beside roads; Pb and As in orchards",
    source="Werkenthin and others 2014, and Peryea and Creger 1994, abstracts",
    mark="confirmed",
)
def test_a_source_stands_only_beside_what_it_measured() -> None:
    plan = sampling_plan(review(hazard("old orchard", _square(20.0)), sources=(road(0.2),)))
    by_source: dict[str, set[str]] = {}
    for line in plan.lines:
        by_source.setdefault(line.source.split(",")[0], set()).add(f"{line.material} {line.analyte}")
    assert by_source["werkenthin2014"] == {"soil lead (Pb)", "soil copper (Cu)", "soil zinc (Zn)"}
    assert by_source["peryea_creger1994"] == {"soil arsenic (As)"}
    assert {"soil cadmium (Cd)", "soil antimony (Sb)", "mushroom lead (Pb)"} <= by_source["ours"]


def test_what_is_far_off_is_not_asked_for() -> None:
    near = sampling_plan(review(hazard("fuel station", _square(45.0))))
    far = sampling_plan(review(hazard("fuel station", _square(200.0))))
    assert list(asked(near, "soil")) == ["mineral oil hydrocarbons", "lead (Pb)"]
    assert not asked(far, "soil")


@pytest.mark.parametrize(("high", "counted"), [(0.004, False), (0.2, True)])
def test_a_road_is_asked_for_where_it_adds_something(high: float, counted: bool) -> None:
    plan = sampling_plan(review(sources=(road(high),)))
    assert ("antimony (Sb)" in asked(plan, "soil")) == counted


def test_a_road_of_leaded_petrol_asks_for_lead() -> None:
    plan = sampling_plan(review(sources=(road(0.2, "old main road"),)))
    assert list(asked(plan, "soil")) == ["lead (Pb)"]


def test_sprayings_ask_for_their_actives_by_name() -> None:
    plan = sampling_plan(review(sprayings=(spraying("done", "2,4-D", "lead arsenate", "newfangled"),)))
    soil = asked(plan, "soil")
    assert {"2,4-D", "newfangled", "lead (Pb)", "arsenic (As)"} <= set(soil)
    assert soil["newfangled"].because == ("the lawn, sprayed, on the place itself.",)
    assert soil["newfangled"].how.startswith("by its name")
    assert (soil["newfangled"].source, soil["newfangled"].mark) == ("the gardener", "our choice")


def test_a_spraying_of_which_nothing_is_known_asks_for_a_screen() -> None:
    plan = sampling_plan(review(sprayings=(spraying("not known"),)))
    (line,) = asked(plan, "soil").values()
    assert "screen" in line.analyte
    assert "perhaps sprayed" in line.because[0]


@pytest.mark.parametrize(("state", "ended"), [("never", ""), ("done", "ended by A. Gardener")])
def test_what_never_was_or_has_ended_is_not_asked_for(state: str, ended: str) -> None:
    assert not asked(sampling_plan(review(sprayings=(spraying(state, "2,4-D", ended=ended),))), "soil")


def test_the_species_ask_for_what_they_gather() -> None:
    plan = sampling_plan(review(species=(species_review("Imleria badia"),)))
    caesium = asked(plan, "mushroom")["radiocaesium (Cs-137)"]
    assert caesium.because == ("Something is published of it for Imleria badia.",)
    assert "gamma" in caesium.how
    assert not asked(sampling_plan(review(species=(species_review("Nothing known"),))), "soil")


def test_steps_are_marked_as_custom_where_no_source_stands() -> None:
    assert {step.mark for step in steps()} <= {"common practice", "our choice", "computed", "memory"}
    assert {step.step for step in steps() if step.material == "soil"} >= {"increments", "depth", "extraction"}
    assert {step.step for step in steps() if step.material == "mushroom"} >= {"amount", "dry matter"}


def test_a_mushroom_is_not_asked_for_by_the_methods_of_soil() -> None:
    plan = sampling_plan(review(hazard("old orchard", _square(20.0)), sources=(road(0.2),)))
    assert asked(plan, "soil")["lead (Pb)"].how == "with aqua regia or total digestion"
    assert asked(plan, "soil")["arsenic (As)"].how == "with aqua regia or total digestion"
    assert not any("aqua regia" in line.how for line in asked(plan, "mushroom").values())
    assert "inorganic arsenic" in asked(plan, "mushroom")["arsenic (As)"].how
    ways = {step.material for step in steps() if "aqua regia" in step.said and "not meant" not in step.said}
    assert ways == {"soil"}


def test_litter_is_a_sample_and_each_kind_of_test_has_its_vessel() -> None:
    said = {(step.material, step.step): step.said for step in steps()}
    assert "sample of its own" in said["soil", "litter"]
    assert said["both", "vessel"].startswith("One vessel for each kind of test")
    assert "strong acid under pressure" in said["mushroom", "digestion"]


def test_questions_with_a_reason_come_first_and_none_is_left_out() -> None:
    every = dict.fromkeys(row["title"] for row in reader.rows("ground_questions"))
    bare = questions_for_manager(review())
    assert [group.title for group in bare.groups] == list(every)
    assert not any(group.because for group in bare.groups)
    injected = questions_for_manager(review(hazard("injected tree", _square(5.0)), sprayings=(spraying(),)))
    assert injected.groups[0].title == NOT_KNOWN_HERE
    assert injected.groups[0].questions == (
        "Tree with an injected trunk: was anything sprayed or spread here, when, and with what?",
        "Tree with an injected trunk: what was injected and when?",
        "the lawn: which product was it?",
    )
    with_reason = [group.title for group in injected.groups if group.because]
    assert with_reason == [NOT_KNOWN_HERE, "Sprayings", "Tree injection", "Fertiliser"]
    assert {group.title for group in injected.groups} == {NOT_KNOWN_HERE, *every}


def test_every_line_of_the_sheet_for_the_manager_is_a_question() -> None:
    bow = Polygon([(15, 0), (35, 40), (35, 0), (15, 40)])
    near = [hazard(kind, _square(20.0)) for kind in hazard_kinds()]
    crossed = hazard("landfill", bow, standing="suspected", name="Bow tip")
    sheet = questions_for_manager(review(*near, crossed, sprayings=(spraying("not known"), spraying())))
    asked_here = [question for group in sheet.groups for question in group.questions]
    assert len(asked_here) > 40
    assert all(question.endswith("?") for question in asked_here)
    assert "Landfill (Bow tip): is it so, or only suspected?" in asked_here


def test_sprayings_are_asked_for_in_full() -> None:
    (group,) = [g for g in questions_for_manager(review()).groups if g.title == "Sprayings"]
    said = " ".join(group.questions)
    for word in ("product", "active", "How much", "which day", "method", "Who did it", "since when"):
        assert word in said


def test_every_reason_to_ask_is_a_kind_the_book_knows() -> None:
    kinds = {kind for row in reader.rows("ground_questions") for kind in row["asked_for"].split("|") if kind}
    assert kinds <= {*hazard_kinds(), "road", "spraying"}


@pytest.mark.parametrize("kind", sorted(hazard_kinds()))
def test_no_sheet_judges(kind: str) -> None:
    place = review(hazard(kind, _square(5.0)), sources=(road(0.5),), sprayings=(spraying("planned"),))
    plan, sheet = sampling_plan(place), questions_for_manager(place)
    said = [plan.words, sheet.words, *(step.said for step in plan.steps)]
    said += [text for line in plan.lines for text in (line.analyte, line.how, *line.because)]
    said += [text for group in sheet.groups for text in (group.title, *group.because, *group.questions)]
    assert not [text for text in said if JUDGING.search(text)]
