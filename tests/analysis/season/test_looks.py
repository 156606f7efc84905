"""Which visits count as a look for a taxon, and what they say of it."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, replace

import pytest

from sitebook.analysis.season.looks import LookRecord, SeasonLooks, gather
from sitebook.records.find import Determination, Find
from sitebook.records.outing import Look, Visit
from sitebook.records.taxon import Taxon

NOON = datetime.datetime(2025, 1, 1, 12, tzinfo=datetime.UTC)
SITE, BOLETE, BRACKET, OLD_NAME = 1, 10, 11, 12


@dataclass
class Pages:
    """Rows of a small book, filled in by each test."""

    visits: list[Visit] = field(default_factory=list)
    looks: list[Look] = field(default_factory=list)
    finds: list[Find] = field(default_factory=list)
    names: list[Determination] = field(default_factory=list)

    def gather(self) -> SeasonLooks:
        """Sort all rows."""
        return gather(self.visits, self.looks, self.finds, self.names, TAXA)

    def of(self, taxon_id: int) -> list[LookRecord]:
        """Give the looks for one taxon."""
        return [look for look in self.gather().looks if look.taxon_id == taxon_id]

    def visit(self, day: int = 1, *, reason: str = "planned", looked_for_all: bool = True) -> int:
        """Add a visit of 20 minutes in October."""
        key = len(self.visits) + 1
        self.visits.append(
            Visit(
                id=key,
                uuid=f"v{key}",
                created_at=NOON,
                changed_at=NOON,
                site_id=SITE,
                local_date=datetime.date(2025, 10, day),
                search_minutes=20.0,
                reason=reason,
                looked_for_all=looked_for_all,
            )
        )
        return key

    def look(self, visit_id: int, taxon_id: int | None, outcome: str = "not seen") -> None:
        """Add a look to a visit."""
        key = len(self.looks) + 1
        self.looks.append(
            Look(
                id=key,
                uuid=f"l{key}",
                created_at=NOON,
                changed_at=NOON,
                visit_id=visit_id,
                taxon_id=taxon_id,
                outcome=outcome,
            )
        )

    def find(self, visit_id: int | None, taxon_id: int, qualifier: str | None = None) -> None:
        """Add a find with a name."""
        key = len(self.finds) + 1
        self.finds.append(
            Find(id=key, uuid=f"f{key}", created_at=NOON, changed_at=NOON, visit_id=visit_id, collector_id=1)
        )
        self.names.append(
            Determination(
                id=key,
                uuid=f"d{key}",
                created_at=NOON,
                changed_at=NOON,
                find_id=key,
                verbatim_name="as given",
                taxon_id=taxon_id,
                qualifier=qualifier,
                determined_by=1,
            )
        )

    def change_visit(self, visit_id: int, **values: object) -> None:
        """Change columns of a visit."""
        self.visits[visit_id - 1] = replace(self.visits[visit_id - 1], **values)  # type: ignore[arg-type]


def taxon(key: int, name: str, accepted_id: int | None = None) -> Taxon:
    return Taxon(
        id=key,
        uuid=f"t{key}",
        created_at=NOON,
        changed_at=NOON,
        scientific_name=name,
        accepted_id=accepted_id,
    )


TAXA = [
    taxon(BOLETE, "Boletus edulis"),
    taxon(BRACKET, "Laetiporus sulphureus"),
    taxon(OLD_NAME, "Old", BOLETE),
]


@pytest.fixture
def book() -> Pages:
    """Give a book with one far-off find, so that the bolete is a taxon of the calendar."""
    pages = Pages()
    pages.find(pages.visit(31, reason="told"), BOLETE)
    return pages


def test_a_visit_for_all_she_knows_is_a_look_for_each_taxon(book: Pages) -> None:
    book.visit()
    (look,) = book.of(BOLETE)
    assert look == LookRecord(SITE, BOLETE, datetime.date(2025, 10, 1), 20.0, found=False)
    assert book.of(BRACKET) == []


def test_a_certain_find_makes_a_look_found(book: Pages) -> None:
    book.find(book.visit(), BOLETE)
    assert [look.found for look in book.of(BOLETE)] == [True]


def test_a_group_name_counts_as_found(book: Pages) -> None:
    book.find(book.visit(), BOLETE, "group")
    assert [look.found for look in book.of(BOLETE)] == [True]


@pytest.mark.parametrize("qualifier", ["cf.", "aff.", "?", "sp."])
def test_a_doubtful_name_leaves_the_look_undecided(book: Pages, qualifier: str) -> None:
    book.find(book.visit(), BOLETE, qualifier)
    assert [look.found for look in book.of(BOLETE)] == [None]
    assert len(book.gather().finds) == 1


def test_a_certain_find_beside_a_doubtful_one_decides(book: Pages) -> None:
    visit = book.visit()
    book.find(visit, BOLETE, "cf.")
    book.find(visit, BOLETE)
    assert [look.found for look in book.of(BOLETE)] == [True]


@pytest.mark.parametrize(("outcome", "found"), [("found", True), ("not seen", False), ("only remains", None)])
def test_a_look_that_names_the_taxon_says_its_outcome(book: Pages, outcome: str, found: bool | None) -> None:
    book.look(book.visit(looked_for_all=False), BOLETE, outcome)
    (look,) = book.of(BOLETE)
    assert look.found is found
    assert look.names_taxon


def test_remains_of_something_unnamed_leave_every_taxon_undecided(book: Pages) -> None:
    book.look(book.visit(looked_for_all=False), None, "only remains")
    assert [look.found for look in book.of(BOLETE)] == [None]


def test_something_unnamed_found_says_nothing_of_one_taxon(book: Pages) -> None:
    book.look(book.visit(), None, "found")
    assert [look.found for look in book.of(BOLETE)] == [False]


def test_a_visit_for_other_taxa_is_no_look(book: Pages) -> None:
    visit = book.visit()
    book.look(visit, BRACKET)
    book.find(visit, BOLETE)
    assert book.of(BOLETE) == []
    assert [look.found for look in book.of(BRACKET)] == [False]


def test_a_visit_without_a_word_of_what_for_is_no_look(book: Pages) -> None:
    book.find(book.visit(looked_for_all=False), BOLETE)
    assert book.of(BOLETE) == []
    assert len(book.gather().finds) == 2


@pytest.mark.parametrize("reason", ["seen first", "told"])
def test_visits_made_for_a_find_are_no_looks(book: Pages, reason: str) -> None:
    book.find(book.visit(reason=reason), BOLETE)
    assert book.of(BOLETE) == []


def test_passing_by_and_looking_counts(book: Pages) -> None:
    book.visit(reason="passing")
    assert len(book.of(BOLETE)) == 1


def test_assumed_effort_counts_only_when_all_was_looked_for(book: Pages) -> None:
    visit = book.visit(looked_for_all=False)
    book.look(visit, BOLETE)
    book.change_visit(visit, effort_assumed=True)
    assert book.of(BOLETE) == []
    book.change_visit(visit, looked_for_all=True)
    assert len(book.of(BOLETE)) == 1


def test_minutes_are_times_searchers(book: Pages) -> None:
    visit = book.visit()
    book.change_visit(visit, searchers=3)
    assert [look.minutes for look in book.of(BOLETE)] == [60.0]
    book.change_visit(visit, search_minutes=None)
    assert [look.minutes for look in book.of(BOLETE)] == [None]


def test_no_time_at_all_is_no_look(book: Pages) -> None:
    book.change_visit(book.visit(), search_minutes=0.0)
    assert book.of(BOLETE) == []


def test_a_date_of_a_week_speaks_from_its_middle(book: Pages) -> None:
    visit = book.visit(1)
    book.change_visit(visit, local_date_end=datetime.date(2025, 10, 7))
    assert [look.local_date for look in book.of(BOLETE)] == [datetime.date(2025, 10, 4)]


def test_a_date_of_more_than_a_week_is_left_out(book: Pages) -> None:
    visit = book.visit(1)
    book.change_visit(visit, local_date_end=datetime.date(2025, 10, 8))
    assert [look.local_date for look in book.of(BOLETE)] == [None]


def test_a_synonym_counts_as_the_name_it_stands_for(book: Pages) -> None:
    visit = book.visit()
    book.find(visit, OLD_NAME)
    book.look(book.visit(looked_for_all=False), OLD_NAME)
    assert [(look.found, look.names_taxon) for look in book.of(BOLETE)] == [(True, False), (False, True)]
    assert {find.taxon_id for find in book.gather().finds} == {BOLETE}


def test_synonyms_in_a_circle_end() -> None:
    circle = [taxon(1, "A", 2), taxon(2, "B", 1)]
    assert gather([], [], [], [], circle) == SeasonLooks((), ())


def test_withdrawn_rows_never_count(book: Pages) -> None:
    visit = book.visit()
    book.look(visit, BRACKET)
    book.looks[0] = replace(book.looks[0], withdrawn_at=NOON)
    book.find(visit, BOLETE)
    book.finds[-1] = replace(book.finds[-1], withdrawn_at=NOON)
    gone = book.visit(2)
    book.find(gone, BOLETE)
    book.change_visit(gone, withdrawn_at=NOON)
    named = book.visit(3)
    book.find(named, BOLETE)
    book.names[-1] = replace(book.names[-1], withdrawn_at=NOON)
    assert [(look.local_date, look.found) for look in book.of(BOLETE)] == [
        (datetime.date(2025, 10, 1), False),
        (datetime.date(2025, 10, 3), False),
    ]
    assert len(book.gather().finds) == 1


def test_visits_and_finds_outside_every_site_are_passed_over(book: Pages) -> None:
    visit = book.visit()
    book.find(visit, BOLETE)
    book.change_visit(visit, site_id=None)
    book.find(None, BOLETE)
    assert book.of(BOLETE) == []
    assert len(book.gather().finds) == 1


def test_two_standing_names_of_one_find_are_a_mistake(book: Pages) -> None:
    book.names.append(replace(book.names[0], id=99, uuid="d99"))
    with pytest.raises(ValueError, match="two standing names"):
        book.gather()
