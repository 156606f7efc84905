"""Which looks at trees and at the rest of a site a visit comes to."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

import pytest

from sitebook.analysis.season.spot_looks import SpotLook, SpotLooks, gather
from sitebook.records.find import Determination, Find, FindHost
from sitebook.records.outing import Look, Visit
from sitebook.records.taxon import Taxon

NOON = datetime.datetime(2025, 1, 1, 12, tzinfo=datetime.UTC)
SITE, BOLETE, BRACKET, BIRCH, OAK = 1, 10, 11, 101, 102


@dataclass
class Pages:
    """Rows of a small book, filled in by each test."""

    visits: list[Visit] = field(default_factory=list)
    looks: list[Look] = field(default_factory=list)
    finds: list[Find] = field(default_factory=list)
    hosts: list[FindHost] = field(default_factory=list)
    names: list[Determination] = field(default_factory=list)

    def gather(self) -> SpotLooks:
        """Sort all rows."""
        taxa = [
            Taxon(id=BOLETE, uuid="t1", scientific_name="Boletus edulis", created_at=NOON, changed_at=NOON),
            Taxon(
                id=BRACKET,
                uuid="t2",
                scientific_name="Laetiporus sulphureus",
                created_at=NOON,
                changed_at=NOON,
            ),
        ]
        return gather(
            self.visits,
            self.looks,
            finds=self.finds,
            hosts=self.hosts,
            standing_names=self.names,
            taxa=taxa,
        )

    def of(self, taxon_id: int = BOLETE) -> dict[int | None, SpotLook]:
        """Give the looks for one taxon by tree, those with a site."""
        own = [look for look in self.gather().looks[taxon_id] if not look.effort_assumed]
        assert len({look.tree_id for look in own}) == len(own), "one visit, one look a spot"
        return {look.tree_id: look for look in own}

    def visit(
        self, day: int = 1, *, reason: str = "planned", for_all: bool = True, minutes: float | None = 60.0
    ) -> int:
        """Add a visit in October by two people."""
        key = len(self.visits) + 1
        date = datetime.date(2025, 10, 1) + datetime.timedelta(days=day - 1)
        row = Visit(
            id=key, uuid=f"v{key}", site_id=SITE, local_date=date, search_minutes=minutes, searchers=2,
            reason=reason, looked_for_all=for_all, created_at=NOON, changed_at=NOON,
        )  # fmt: skip
        self.visits.append(row)
        return key

    def look(
        self,
        visit_id: int,
        tree_id: int | None,
        outcome: str = "not seen",
        *,
        minutes: float | None = None,
        taxon_id: int | None = None,
    ) -> None:
        """Add a look to a visit."""
        key = len(self.looks) + 1
        row = Look(
            id=key, uuid=f"l{key}", visit_id=visit_id, host_tree_id=tree_id, taxon_id=taxon_id,
            minutes=minutes, outcome=outcome, created_at=NOON, changed_at=NOON,
        )  # fmt: skip
        self.looks.append(row)

    def find(self, visit_id: int | None, *trees: tuple[int, float], qualifier: str | None = None) -> None:
        """Add a find of the bolete, with trees and their distances."""
        key = len(self.finds) + 1
        self.finds.append(
            Find(id=key, uuid=f"f{key}", visit_id=visit_id, collector_id=1, created_at=NOON, changed_at=NOON)
        )
        for tree_id, distance_m in trees:
            number = len(self.hosts) + 1
            host = FindHost(
                id=number, uuid=f"h{number}", find_id=key, host_tree_id=tree_id, role="nearest",
                distance_m=distance_m, created_at=NOON, changed_at=NOON,
            )  # fmt: skip
            self.hosts.append(host)
        name = Determination(
            id=key, uuid=f"d{key}", find_id=key, verbatim_name="as given", taxon_id=BOLETE,
            qualifier=qualifier, determined_by=1, created_at=NOON, changed_at=NOON,
        )  # fmt: skip
        self.names.append(name)


@pytest.fixture
def book() -> Pages:
    """Give an empty book."""
    return Pages()


def test_a_visit_without_looks_is_one_look_at_the_site(book: Pages) -> None:
    book.find(book.visit())
    (look,) = book.of().values()
    assert (look.tree_id, look.minutes, look.found) == (None, 120.0, True)


def test_each_tree_looked_at_is_a_look_and_the_rest_has_what_time_is_left(book: Pages) -> None:
    key = book.visit()
    book.look(key, BIRCH, "found", minutes=10.0)
    book.look(key, OAK, minutes=5.0)
    book.find(key, (BIRCH, 2.0))
    looks = book.of()
    assert {tree: (look.minutes, look.found) for tree, look in looks.items()} == {
        BIRCH: (20.0, True),
        OAK: (10.0, False),
        None: (90.0, False),
    }


def test_looks_without_minutes_share_what_is_left(book: Pages) -> None:
    key = book.visit()
    book.look(key, BIRCH, "found", minutes=20.0)
    book.look(key, OAK)
    book.find(key, (BIRCH, 2.0))
    assert {tree: look.minutes for tree, look in book.of().items()} == {BIRCH: 40.0, OAK: 40.0, None: 40.0}


def test_no_time_left_means_no_look_at_the_rest(book: Pages) -> None:
    key = book.visit(minutes=10.0)
    book.look(key, BIRCH, "found", minutes=10.0)
    book.find(key, (BIRCH, 2.0))
    assert set(book.of()) == {BIRCH}


def test_a_visit_not_timed_leaves_minutes_open(book: Pages) -> None:
    key = book.visit(minutes=None)
    book.look(key, BIRCH, "found")
    book.find(key, (BIRCH, 2.0))
    assert {look.minutes for look in book.of().values()} == {None}


def test_a_find_counts_for_the_nearest_tree_that_was_looked_at(book: Pages) -> None:
    key = book.visit()
    book.look(key, BIRCH, "found")
    book.look(key, OAK, "found")
    book.find(key, (BIRCH, 6.0), (OAK, 2.0))
    assert [tree for tree, look in book.of().items() if look.found] == [OAK]


def test_a_find_at_a_tree_not_looked_at_counts_for_the_rest_of_the_site(book: Pages) -> None:
    key = book.visit()
    book.look(key, BIRCH)
    book.find(key, (OAK, 2.0))
    assert [tree for tree, look in book.of().items() if look.found] == [None]


def test_a_look_for_one_taxon_is_none_for_another(book: Pages) -> None:
    key = book.visit(for_all=False)
    book.look(key, BIRCH, taxon_id=BRACKET)
    book.find(book.visit(2))
    assert BIRCH not in book.of(BOLETE)
    assert book.of(BRACKET)[BIRCH].names_taxon


def test_only_remains_and_a_doubtful_name_decide_nothing(book: Pages) -> None:
    key = book.visit()
    book.look(key, BIRCH, "only remains")
    book.look(key, OAK, "found")
    book.find(key, (OAK, 2.0), qualifier="cf.")
    book.find(None)
    book.finds[-1] = Find(
        id=2, uuid="f2", collector_id=1, found_on=datetime.date(2025, 10, 9), created_at=NOON, changed_at=NOON
    )
    looks = book.of()
    assert (looks[BIRCH].found, looks[BIRCH].remains) == (None, True)
    assert (looks[OAK].found, looks[OAK].remains) == (None, False)


def test_a_find_seen_first_is_set_beside_the_outings_and_never_a_look_at_its_site(book: Pages) -> None:
    for day in range(1, 24):
        book.visit(day)
    book.find(book.visit(24, reason="seen first"))
    looks = book.gather().looks[BOLETE]
    assumed = [look for look in looks if look.effort_assumed]
    assert [look.found for look in assumed] == [True, False, False, False, False, False]
    assert {look.site_id for look in assumed} == {None}
    assert len({look.local_date for look in assumed[1:]}) == 5
    assert not any(look.found for look in looks if not look.effort_assumed)


def test_with_few_outings_presence_alone_says_nothing_of_when(book: Pages) -> None:
    book.find(book.visit(reason="seen first"))
    assert book.gather().looks[BOLETE] == ()


def test_every_dated_find_is_told_whatever_the_reason_of_its_visit(book: Pages) -> None:
    book.find(book.visit(3, reason="told"), (BIRCH, 1.0))
    (day,) = book.gather().finds[BOLETE]
    assert (day.site_id, day.tree_id, day.middle, day.taken) == (
        SITE,
        BIRCH,
        datetime.date(2025, 10, 3),
        None,
    )
