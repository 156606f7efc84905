"""Tests that a review holds what was told, tested and found, and nothing that was taken back."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.records.find import Find
from sitebook.store import rows
from sitebook.store.book import writing
from sitebook.work import contamination, opened
from sitebook.work.naming import pick
from sitebook.work.settings import set_value
from tests.work import books, told_book
from tests.work.bring_in import town
from tests.work.corrections import doing


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return told_book.told(tmp_path)


def test_a_site_shows_tests_of_itself_its_trees_and_its_finds_the_newest_first(book: Path) -> None:
    review = told_book.site(book, "Mill Park")
    assert told_book.reports(review) == ["R3", "R2", "R1"]
    assert [test.of_what for test in review.tests] == [
        "find OV 31 (Agaricus campestris)",
        "tree B1",
        "the site",
    ]
    assert told_book.reports(told_book.site(book, "Quay Wood")) == ["R4"]


def test_a_result_is_held_against_the_intakes_of_each_eater(book: Path) -> None:
    cadmium, mercury = told_book.site(book, "Mill Park").tests[0].results
    assert {line.eater for line in cadmium.intakes} == {"adult", "child", "pregnancy"}
    assert mercury.below_limit
    assert mercury.written.startswith("<")
    assert all(line.at_most for line in mercury.intakes)


def test_an_authority_named_in_the_settings_stands_beside_soil(book: Path) -> None:
    before = told_book.site(book, "Mill Park").tests[-1].results[0]
    assert not before.comparisons
    with opened(book) as found:
        set_value(found, "soil_authority", "US EPA")
    (lead,) = told_book.site(book, "Mill Park").tests[-1].results
    assert lead.comparisons
    assert all(held.caveat for held in lead.comparisons)


def test_a_site_names_its_taxa_apart_from_the_place(book: Path) -> None:
    names = [line.taxon_name for line in told_book.site(book, "Mill Park").species]
    assert names == sorted(names)
    assert {"Agaricus campestris", "Pleurotus ostreatus", "Leccinum scabrum"} <= set(names)


def test_a_test_never_moves_the_class_of_a_place(book: Path, tmp_path: Path) -> None:
    bare = town.built(tmp_path, "bare.gpkg")
    quay = told_book.site(book, "Quay Wood")
    with opened(bare) as found:
        before = contamination.review_site(found, "Quay Wood", today=books.TODAY).result
    assert (quay.place_class, quay.traffic_index) == (before.place_class, before.traffic_index)


def test_a_spraying_told_of_makes_the_class_and_a_closing_note_ends_it(book: Path) -> None:
    mill = told_book.site(book, "Mill Park")
    assert mill.place_class == 4
    assert any("glyphosate" in reason.words for reason in mill.because)
    quay = {spray.ground: spray for spray in told_book.site(book, "Quay Wood").sprayings}["Quay Wood"]
    assert "Mira Dask" in quay.ended
    assert quay.floor_class == 0


def test_a_laboratory_that_looked_for_all_of_it_and_found_nothing_ends_a_spraying(
    book: Path, tmp_path: Path
) -> None:
    test = books.table(
        tmp_path,
        "lab_test",
        "report_number,site,spraying,sampled_on,laboratory,material,increments,depth_from_cm,depth_to_cm,results",
        "R9,Mill Park,Mill Park,2025-09-20,Island laboratory,soil,20,0,10,"
        "glyphosate <0.01 mg/kg dry; AMPA <0.01 mg/kg dry",
        name="ending",
    )
    town.bring(book, test)
    review = told_book.site(book, "Mill Park")
    (spray,) = [spray for spray in review.sprayings if spray.ground == "Mill Park"]
    assert "Island laboratory" in spray.ended
    assert (spray.floor_class, review.place_class) < (4, 4)
    doing.withdraw(book, "lab_test", "R9")
    assert told_book.site(book, "Mill Park").place_class == 4


def test_what_was_withdrawn_no_longer_counts(book: Path) -> None:
    doing.withdraw(book, "spraying", "Mill Park")
    doing.withdraw(book, "lab_test", "R1")
    review = told_book.site(book, "Mill Park")
    assert review.place_class != 4
    assert not [spray for spray in review.sprayings if spray.ground == "Mill Park"]
    assert told_book.reports(review) == ["R3", "R2"]
    doing.withdraw(book, "lab_test", "R1", back=True)
    assert told_book.reports(told_book.site(book, "Mill Park")) == ["R3", "R2", "R1"]


def test_a_find_withdrawn_takes_its_test_and_taxon_along(book: Path) -> None:
    doing.withdraw(book, "find", "OV 31", with_all=True)
    review = told_book.site(book, "Mill Park")
    assert "R3" not in told_book.reports(review)
    assert "Agaricus campestris" not in {line.taxon_name for line in review.species}


def test_an_import_taken_back_leaves_a_review_as_it_was(book: Path, tmp_path: Path) -> None:
    before = told_book.site(book, "Quay Wood")
    hazard = books.table(
        tmp_path, "hazard", "kind,name,origin,source,lon,lat", "ash,Heap,seen,OV,-19.3920,48.6080", name="ash"
    )
    town.bring(book, hazard, now=doing.later())
    assert "Heap" in {term.name for term in told_book.site(book, "Quay Wood").terms}
    doing.undo(book)
    assert told_book.site(book, "Quay Wood") == before


def test_a_merged_site_brings_its_tests_and_finds(book: Path) -> None:
    doing.merge(book, "site", "Mill Park", "Quay Wood")
    review = told_book.site(book, "Mill Park")
    assert set(told_book.reports(review)) == {"R1", "R2", "R3", "R4"}
    assert "Boletus edulis" in {line.taxon_name for line in review.species}
    with opened(book) as found:
        everything = contamination.review_all(found, today=books.TODAY).result
    assert [one.name for one in everything] == ["Mill Park"]


def test_a_find_is_reviewed_where_it_stood_with_its_own_taxon_alone(book: Path) -> None:
    review = told_book.find(book, "OV 31")
    assert (review.lon, review.lat) == (-19.40005, 48.60205)
    assert [line.taxon_name for line in review.species] == ["Agaricus campestris"]
    assert told_book.reports(review) == ["R3", "R2", "R1"]
    assert review.site_id is None
    assert any("how exact the position is" in what for what in review.unknown)


def test_the_uncertainty_of_a_find_widens_its_range(book: Path) -> None:
    review, exact = told_book.find(book, "OV 32"), told_book.find(book, "OV 31")
    assert review.uncertainty_m == 12.0
    assert not any("how exact the position is" in what for what in review.unknown)
    assert review.traffic_index is not None
    assert exact.traffic_index is not None
    assert review.traffic_index.high > exact.traffic_index.high


def test_what_grows_on_treated_wood_is_left(book: Path) -> None:
    review = told_book.find(book, "OV 32")
    assert review.place_class == 4
    assert any("grows on this" in reason.words for reason in review.because)


def test_chip_from_elsewhere_is_asked_about(book: Path) -> None:
    asked = {question.what: question.whom for question in told_book.find(book, "OV 33").questions}
    (whom,) = [whom for what, whom in asked.items() if "chip or mulch came from" in what]
    assert whom == "whoever laid it"


def test_a_find_without_a_position_is_the_whole_site_with_a_question(book: Path) -> None:
    review, whole = told_book.find(book, "OV 34"), told_book.site(book, "Quay Wood")
    assert any("where in the site it stood" in what for what in review.unknown)
    assert review.points_looked_at == whole.points_looked_at - len(whole.trees) > 1
    assert told_book.reports(review) == ["R4"]


def test_a_find_with_neither_position_nor_site_says_what_to_do(book: Path) -> None:
    _without_position(book, "OV 31", None)
    with opened(book) as found, pytest.raises(errors.NothingToShow, match="--at"):
        contamination.review_find(found, "OV 31", today=books.TODAY)


def test_a_find_outside_all_sites_is_reviewed_where_its_visit_was(book: Path) -> None:
    doing.add(book, "visit", local_date="2025-09-27", reason="seen first", lon="-19.4", lat="48.601")
    (key,) = books.only(book, "SELECT id FROM visit WHERE site_id IS NULL")
    assert isinstance(key, int)
    _without_position(book, "OV 31", key)
    review = told_book.find(book, "OV 31")
    assert (review.lon, review.lat) == pytest.approx((-19.4, 48.601))
    assert any("how far from the place of the visit" in what for what in review.unknown)


def _without_position(path: Path, label: str, visit_id: int | None) -> None:
    with opened(path) as book, writing(book):
        rows.update(book, Find, pick(book, "find", label), {"geom": None, "visit_id": visit_id})


def test_a_position_shows_the_tests_of_the_site_it_lies_in(book: Path) -> None:
    inside = told_book.at(book, -19.4003, 48.6022)
    assert told_book.reports(inside) == ["R1"]
    assert told_book.reports(told_book.at(book, -19.4, 48.6045)) == []
    assert inside.species == ()


def test_a_position_that_may_be_off_has_a_wider_range(book: Path) -> None:
    exact, off = told_book.at(book, -19.397, 48.6009, 0.0), told_book.at(book, -19.397, 48.6009, 60.0)
    assert exact.traffic_index is not None
    assert off.traffic_index is not None
    assert off.traffic_index.central == exact.traffic_index.central
    assert off.traffic_index.high > exact.traffic_index.high
    assert (off.could_be or 0) >= (exact.could_be or 0)
    assert not [what for what in off.unknown if "how exact" in what]


def test_two_maps_of_one_ground_count_each_road_once(tmp_path: Path) -> None:
    one, both = books.fresh(tmp_path, "one.gpkg"), books.fresh(tmp_path, "both.gpkg")
    sites, old, new = town.sites(tmp_path), town.old_map(tmp_path), town.new_map(tmp_path)
    town.bring(one, sites, new)
    town.bring(both, sites, old)
    town.bring(both, new, now=books.LATER)
    alone, overlapping = told_book.site(one, "Mill Park"), told_book.site(both, "Mill Park")
    assert overlapping.traffic_index == alone.traffic_index
    assert overlapping.sources == alone.sources
    assert overlapping.data_date == alone.data_date == town.NEW_DAY


def test_an_old_map_that_comes_late_changes_nothing(book: Path, tmp_path: Path) -> None:
    before = told_book.site(book, "Quay Wood")
    town.bring(book, town.old_map(tmp_path, "again.osm"), now=books.LATER)
    after = told_book.site(book, "Quay Wood")
    assert after.traffic_index == before.traffic_index
    assert after.data_date == before.data_date


def test_the_page_of_all_has_every_review_and_its_drawings(book: Path) -> None:
    with opened(book) as found:
        answer = contamination.review_all(found, today=books.TODAY, with_page=True)
        bare = contamination.review_all(found, today=books.TODAY)
    assert bare.page is None
    assert answer.page is not None
    assert all(review.surroundings is not None for review in answer.result)
    assert all(review.name in answer.page for review in answer.result)
    assert [r.place_class for r in bare.result] == [r.place_class for r in answer.result]


def test_every_review_keeps_its_numbers_in_order(book: Path) -> None:
    reviews = [told_book.site(book, n) for n in ("Mill Park", "Quay Wood")]
    for review in [*reviews, *(told_book.find(book, f"OV {n}") for n in (31, 32, 33, 34))]:
        index = review.traffic_index
        assert index is not None
        assert 0.0 <= index.low <= index.central <= index.high < math.inf
        assert (review.could_be or 0) >= (review.place_class or 0)
        assert review.unknown == tuple(question.what for question in review.questions)
