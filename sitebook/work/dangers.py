"""Says what is noted of the poison of a name, and what is not noted, wherever the name is shown."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass

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
        """Give the classes noted for a taxon, else those of the name it stands for or of its genus."""
        return self.classes.get(self.at(taxon_id, self.classes) or 0, ())

    def at(self, taxon_id: int, noted: Container[int]) -> int | None:
        """Give where something is noted of a taxon: at itself, the name it stands for or its genus."""
        passed: set[int] = set()
        at: int | None = taxon_id
        while at is not None and at in self.taxa and at not in passed:
            passed.add(at)
            if at in noted:
                return at
            at = self.taxa[at].accepted_id or self.taxa[at].parent_id
        return None

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
