"""Tests that any sequence of corrections ends where the history says, and can be taken back whole."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from sitebook import errors
from sitebook.records.history import Change
from sitebook.store import acts, history, rows
from sitebook.work import opened
from tests.work import books
from tests.work.bring_in import town
from tests.work.corrections import doing

SITES = st.sampled_from(["Mill Park", "Quay Wood", "West Heath"])
TREES = st.sampled_from(["Mill Park|B1", "Quay Wood|B1", "Quay Wood|O2", "T9"])
FINDS = st.sampled_from(["OV 1", "OV 2", "TH 1", "OV 7"])
VISITS = st.sampled_from(["Mill Park@2025-09-01", "Quay Wood@2025-09-08", "Quay Wood@2025-09-20"])
TAXA = st.sampled_from(["Boletus edulis", "Leccinum scabrum", "Fagus sylvatica"])
NAMED = st.one_of(
    st.tuples(st.just("site"), SITES),
    st.tuples(st.just("host_tree"), TREES),
    st.tuples(st.just("find"), FINDS),
    st.tuples(st.just("visit"), VISITS),
    st.tuples(st.just("taxon"), TAXA),
)
LEFT_ASIDE = ("change", "conflict")


class Correcting(RuleBasedStateMachine):
    """One book, corrected in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())

    @initialize()
    def begin(self) -> None:
        """Begin with the book of the small town."""
        self.book = town.built(self.folder)
        self.followed = self._last_change()
        self.at_first = doing.state(self.book, without=LEFT_ASIDE)
        self.seen = doing.state(self.book, withdrawn=True)

    def _last_change(self) -> int:
        (last,) = books.only(self.book, "SELECT coalesce(max(id), 0) FROM change")
        assert isinstance(last, int)
        return last

    @rule(name=SITES, radius=st.sampled_from(["45", "60", "75"]), note=st.sampled_from(["", "weir", "gate"]))
    def change_site(self, name: str, radius: str, note: str) -> None:
        """Change a site."""
        self._try(doing.change, "site", name, radius_m=radius, note=note)

    @rule(name=SITES, new=SITES)
    def rename_site(self, name: str, new: str) -> None:
        """Give a site another name, if no other bears it."""
        self._try(doing.change, "site", name, name=new)

    @rule(name=TREES, site=SITES, tag=st.sampled_from(["B1", "T9"]))
    def move_tree(self, name: str, site: str, tag: str) -> None:
        """Put a tree into a site."""
        self._try(doing.change, "host_tree", name, site=site, tag=tag)

    @rule(name=FINDS, number=st.sampled_from(["1", "2", "7"]), mass=st.sampled_from(["", "35"]))
    def change_find(self, name: str, number: str, mass: str) -> None:
        """Give a find another number and mass."""
        self._try(doing.change, "find", name, collection_number=number, fresh_mass_g=mass)

    @rule(name=VISITS, companions=st.sampled_from(["", "TH", "TH MD"]))
    def set_companions(self, name: str, companions: str) -> None:
        """Say who came along."""
        self._try(doing.change, "visit", name, companions=companions)

    @rule(name=SITES)
    def add_site(self, name: str) -> None:
        """Add a site."""
        self._try(doing.add, "site", name=name, lon="-19.41", lat="48.6", radius_m="40")

    @rule(site=SITES, tag=st.sampled_from(["B1", "T9"]))
    def add_tree(self, site: str, tag: str) -> None:
        """Add a tree."""
        self._try(doing.add, "host_tree", site=site, tag=tag, lon="-19.4101", lat="48.6001")

    @rule(site=SITES, number=st.sampled_from(["2", "7"]))
    def add_find(self, site: str, number: str) -> None:
        """Add a find with its name."""
        cells = {"site": site, "found_on": "2025-10-05", "name": "Boletus edulis", "host_tree": "T9"}
        self._try(doing.add, "find", collection_number=number, **cells)

    @rule(record=NAMED, with_all=st.booleans())
    def withdraw(self, record: tuple[str, str], *, with_all: bool) -> None:
        """Withdraw a record."""
        kind, name = record
        self._try(lambda book: doing.withdraw(book, kind, name, with_all=with_all))

    @rule(record=NAMED)
    def bring_back(self, record: tuple[str, str]) -> None:
        """Bring a withdrawn record back."""
        kind, name = record
        self._try(lambda book: doing.withdraw(book, kind, name, back=True))

    @rule(kind=st.sampled_from(["site", "host_tree", "taxon"]), data=st.data())
    def merge(self, kind: str, data: st.DataObject) -> None:
        """Make two records one."""
        names = {"site": SITES, "host_tree": TREES, "taxon": TAXA}[kind]
        kept, other = data.draw(names), data.draw(names)
        self._try(doing.merge, kind, kept, other)

    @rule(last=st.integers(1, 2))
    def undo(self, last: int) -> None:
        """Take the last corrections back, the import of the town never."""
        how_many = min(last, self._standing())
        if how_many:
            self._try(lambda book: doing.undo(book, last=how_many))

    @rule()
    def bring_again(self) -> None:
        """Bring back what the last undo took."""
        self._try(lambda book: doing.undo(book, back=True))

    @rule(which=st.sampled_from(["ours", "theirs"]))
    def decide(self, which: str) -> None:
        """Decide the first conflict that waits."""
        if waiting := doing.conflicts(self.book):
            self._try(lambda book: doing.decide(book, waiting[0].conflict_id, which))

    def _standing(self) -> int:
        """Count the corrections that stand, the import left away."""
        with opened(self.book) as book:
            done = acts.all_acts(book)
        gone = acts.taken_back(done)
        return sum(act.undoes is None and act.key not in gone and not act.of_file for act in done)

    def _try(self, what: object, *words: str, **cells: str) -> None:
        """Do something that may be refused in words; either way the book agrees with its history."""
        before = self.book.read_bytes()
        try:
            what(self.book, *words, **cells)  # type: ignore[operator]
        except errors.BookDamaged:
            raise
        except errors.SitebookError:
            assert self.book.read_bytes() == before
        else:
            self._follow_history()

    def _follow_history(self) -> None:
        """Set what was seen last as the new changes say; that gives what is there now."""
        with opened(self.book) as book:
            newer = rows.records(book, Change, rows.table_for(Change).c.id > self.followed)
        now = doing.state(self.book, withdrawn=True)
        for change in newer:
            place = (change.table_name, change.row_uuid)
            if change.column_name == history.THERE:
                if change.new_value is None:
                    del self.seen[place]
                else:
                    self.seen[place] = now.get(place, {})
            elif change.column_name == history.MADE:
                self.seen[place] = self.seen.get(place) or now[place] | {"withdrawn_at": None}
            else:
                assert self.seen[place][change.column_name] == change.old_value, change
                self.seen[place] = self.seen[place] | {change.column_name: change.new_value}
            self.followed = change.id or self.followed
        assert now == self.seen

    def teardown(self) -> None:
        """End: the book is whole; with every correction taken back it is as at first."""
        try:
            if hasattr(self, "book"):
                assert doing.faults(self.book) == []
                self._take_all_back()
        finally:
            shutil.rmtree(self.folder)

    def _take_all_back(self) -> None:
        if standing := self._standing():
            doing.undo(self.book, last=standing)
        assert doing.state(self.book, without=LEFT_ASIDE) == self.at_first
        assert doing.faults(self.book) == []


TestCorrecting = Correcting.TestCase
TestCorrecting.settings = settings(
    max_examples=8,
    stateful_step_count=12,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
