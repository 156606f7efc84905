"""A name of a fungus or host, what is written of it, and what it is mistaken for."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Taxon(Standing):
    """A scientific name."""

    scientific_name: str = column("name without authors or qualifier")
    authorship: str | None = column("authors as the Code asks", null="not noted")
    taxon_rank: str = column("rank", words=vocabulary.TAXON_RANK, default="species")
    kingdom: str = column("kingdom", words=vocabulary.KINGDOM, default="Fungi")
    parent_id: int | None = column("taxon above it", null="not placed", refers="taxon")
    accepted_id: int | None = column("name it is a synonym of", null="stands itself", refers="taxon")
    basionym: str | None = column("first name of it", null="not noted")


@dataclass(frozen=True, kw_only=True)
class VernacularName(Standing):
    """A name in a living language."""

    taxon_id: int = column("the taxon", refers="taxon")
    vernacular: str = column("the name")
    language: str = column("language, BCP 47")


@dataclass(frozen=True, kw_only=True)
class TaxonTrait(Standing):
    """One published value of one trait; conflicting rows stand side by side."""

    taxon_id: int = column("the taxon", refers="taxon")
    trait: str = column("which trait")
    qualifier: str | None = column("in which case", null="in general")
    value_text: str = column("the value as written")
    low: float | None = column("lower end", null="not a range of numbers")
    high: float | None = column("upper end", null="not a range of numbers")
    unit: str | None = column("unit of both ends", null="words, or a pure number")
    source_key: str = column("key of the source, or 'not confirmed'")
    locator: str | None = column("place in the source", null="not noted")
    mark: str = column("how well it is known", words=vocabulary.MARK)


@dataclass(frozen=True, kw_only=True)
class LookAlike(Standing):
    """A taxon that another may be mistaken for; kept in both directions."""

    taxon_id: int = column("the taxon", refers="taxon")
    other_id: int = column("what it may be mistaken for", refers="taxon")
    danger: str | None = column("what the other can do", null="not noted", words=vocabulary.DANGER)
    excluding_character: str | None = column("the one character that tells them apart", null="not noted")
    source_key: str = column("key of the source, or 'not confirmed'")
    mark: str = column("how well it is known", words=vocabulary.MARK)
