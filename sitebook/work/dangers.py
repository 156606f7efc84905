"""Says what is noted of the poison of a name, and what is not noted, wherever the name is shown."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from sitebook.records.taxon import Taxon, TaxonTrait
from sitebook.store import rows
from sitebook.store.book import Book

POISONING_CLASS = "poisoning class"
LOOKED_FOR = ("spore print", "spore length", "fruiting months")
"""Traits whose absence is told, so that a blank is not read as nothing special."""

NOTHING_NOTED = (
    "No poisoning class is noted for this name. That says nothing of what it does to whoever eats it."
)
LOOK_ALIKES = (
    "The look-alikes named here are no complete list, and no single character excludes one. "
    "An empty danger is not noted, not none."
)
MONTHS = "Fruiting months are of the source's region, mostly the temperate north; no calendar of a place."


@dataclass(frozen=True)
class Dangers:
    """What is noted of poison, by taxon.

    Parameters
    ----------
    taxa
        Every taxon by its id.
    classes
        Poisoning classes in words, by the taxon they stand at.
    """

    taxa: Mapping[int, Taxon]
    classes: Mapping[int, tuple[str, ...]]

    def of(self, taxon_id: int) -> tuple[str, ...]:
        """Give the classes noted for a taxon under any of its names, else those of its genus."""
        found = (said for at in self.all_at(taxon_id, self.classes) for said in self.classes[at])
        return tuple(dict.fromkeys(found))

    def at(self, taxon_id: int, noted: Container[int]) -> int | None:
        """Give where something is noted of a taxon first: at itself, another of its names or its genus."""
        return next(iter(self.all_at(taxon_id, noted)), None)

    def all_at(self, taxon_id: int, noted: Container[int]) -> tuple[int, ...]:
        """Give every name of a taxon at which something is noted, else those of what stands above it."""
        passed: set[int] = set()
        names = self.names_of(taxon_id)
        while names:
            if found := tuple(key for key in names if key in noted):
                return found
            passed.update(names)
            above = (self.taxa[key].parent_id for key in self._accepted_first(names))
            names = self.names_of(next((key for key in above if key is not None and key not in passed), 0))
        return ()

    def names_of(self, taxon_id: int) -> tuple[int, ...]:
        """Give the ids of all names of a taxon: itself, then what it is a synonym of, then other synonyms."""
        found: dict[int, None] = {}
        at: int | None = taxon_id
        while at is not None and at in self.taxa and at not in found:
            found[at] = None
            at = self.taxa[at].accepted_id
        waiting = list(reversed(found))
        for key in waiting:
            others = [other for other in self._synonyms.get(key, ()) if other not in found]
            found |= dict.fromkeys(others)
            waiting += others
        return tuple(found)

    def _accepted_first(self, names: Iterable[int]) -> list[int]:
        """Put the name that stands itself before its synonyms."""
        return sorted(names, key=lambda key: self.taxa[key].accepted_id in self.taxa)

    @cached_property
    def _synonyms(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for key, taxon in self.taxa.items():
            if taxon.accepted_id is not None:
                found.setdefault(taxon.accepted_id, []).append(key)
        return found

    def words(self, taxon_id: int) -> str:
        """Say the classes noted for a name in one line; empty where none is."""
        found = self.of(taxon_id)
        return f"poisoning class noted for this name: {'; '.join(found)}" if found else ""

    def by_name(self, taxon_ids: Iterable[int]) -> dict[str, str]:
        """Say the classes noted for some names, by name; a name without any is left out."""
        return {
            self.taxa[key].scientific_name: said
            for key in taxon_ids
            if key in self.taxa and (said := self.words(key))
        }


def dangers_of(book: Book) -> Dangers:
    """Gather the poisoning classes of a book."""
    table = rows.table_for(TaxonTrait)
    classes: dict[int, list[str]] = {}
    for row in rows.records(book, TaxonTrait, table.c.trait == POISONING_CLASS):
        where = f", {row.qualifier}" if row.qualifier else ""
        classes.setdefault(row.taxon_id, []).append(f"{row.value_text}{where} ({row.mark})")
    taxa = {taxon.id: taxon for taxon in rows.records(book, Taxon) if taxon.id is not None}
    return Dangers(taxa, {key: tuple(words) for key, words in classes.items()})


def remarks_on_taxon(book: Book, taxon_id: int) -> tuple[str, ...]:
    """Say what stands above everything else that is written of a taxon."""
    dangers = dangers_of(book)
    taxon = dangers.taxa.get(taxon_id)
    if taxon is None or taxon.kingdom != "Fungi":
        return ()
    said = dangers.words(taxon_id)
    table = rows.table_for(TaxonTrait)
    noted = {row.trait for row in rows.records(book, TaxonTrait, table.c.taxon_id == taxon_id)}
    missing = [trait for trait in LOOKED_FOR if trait not in noted]
    lacking = (f"Nothing is noted here of: {', '.join(missing)}.",) if missing else ()
    return (said[0].upper() + said[1:] + "." if said else NOTHING_NOTED, LOOK_ALIKES, MONTHS, *lacking)
