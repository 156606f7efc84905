"""Reads the months in which books say a taxon fruits."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from sitebook.analysis.season.prior import MonthSpan
from sitebook.records.taxon import Taxon, TaxonTrait

MONTHS, SEASONS = "fruiting months", "fruiting season"
SEASON_MONTHS = {"spring": (3, 5), "summer": (6, 8), "autumn": (9, 11), "winter": (12, 2)}
"""Months of a season named in words, as meteorologists count them, in the temperate north."""


def by_taxon(
    wanted: Iterable[int], taxa: Mapping[int, Taxon], traits: Iterable[TaxonTrait]
) -> dict[int, tuple[MonthSpan, ...]]:
    """Give the months that books give for several taxa, by their ids."""
    own: dict[int, list[TaxonTrait]] = defaultdict(list)
    for trait in traits:
        own[trait.taxon_id].append(trait)
    return {taxon_id: month_spans(taxon_id, taxa, own) for taxon_id in wanted}


def month_spans(
    taxon_id: int, taxa: Mapping[int, Taxon], traits: Mapping[int, Iterable[TaxonTrait]]
) -> tuple[MonthSpan, ...]:
    """Give the months that books give for a taxon, else those for its genus.

    Months with a source stand before seasons in words with a source, and these before months from
    memory: a coarse season that somebody wrote down is worth more than a fine one that nobody confirms.

    Parameters
    ----------
    taxon_id
        The taxon.
    taxa, traits
        Taxa of the book by id, and what is written of each.
    """
    passed: set[int] = set()
    at: int | None = taxon_id
    while at is not None and at in taxa and at not in passed:
        passed.add(at)
        if found := _own(traits.get(at, ())):
            return found
        at = taxa[at].parent_id
    return ()


def _own(traits: Iterable[TaxonTrait]) -> tuple[MonthSpan, ...]:
    """Read the best kind of row that one taxon has."""
    told = [trait for trait in traits if trait.withdrawn_at is None]
    months = [t for t in told if t.trait == MONTHS and t.low is not None and t.high is not None]
    sourced = [t for t in months if t.mark != "memory"]
    if not sourced:
        seasons = [t for t in told if t.trait == SEASONS and t.mark != "memory"]
        spans = tuple(span for trait in seasons for span in _in_words(trait.value_text))
        if spans:
            return spans
    return tuple(
        MonthSpan(round(t.low or 0.0), round(t.high or 0.0), from_memory=t.mark == "memory")
        for t in sourced or months
    )


def _in_words(text: str) -> list[MonthSpan]:
    words = (word.strip().casefold() for word in text.split(","))
    return [MonthSpan(*SEASON_MONTHS[word]) for word in words if word in SEASON_MONTHS]
