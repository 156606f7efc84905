"""Holds a laboratory result against maxima for sale and values for soil, and says what each was made for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitebook.analysis.contamination import laboratory_words as words
from sitebook.analysis.contamination.intakes import Eater
from sitebook.analysis.contamination.measured import (
    DRY_MATTER_SEEN_HIGH,
    DRY_MATTER_SEEN_LOW,
    Amount,
    DryMatter,
    on_basis,
)
from sitebook.citations import Cited
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.results.test_reading import Comparison
from sitebook.reference.analytes import Analyte
from sitebook.reference.limits import SaleLimit, soil_values_of, wild_limits_of

SAME = 1e-9
"""Share of a value by which two numbers that mean the same may differ in the last digits of a float."""

STRONG_EXTRACTIONS = (
    "aqua regia",
    "königswasser",
    "total",
    "xrf",
    "x-ray",
    "hydrofluoric",
    "11466",
    "3050",
    "3051",
)
"""Words of extractions that come near the total content; from memory; any other is said not to be known."""


@dataclass(frozen=True)
class Sample:
    """One test with what its results need to be read.

    Parameters
    ----------
    test, results
        The test with its results, in the order of its report.
    dry
        Its dry matter; None where it is not known.
    authority
        Whose soil values hold; "" for none.
    eaters
        Whose intakes are counted.
    taxon_name
        Which species it is of; "" where not told.
    of_what
        What it is of, in words.
    """

    test: LabTest
    results: Sequence[LabResult]
    dry: DryMatter | None
    authority: str
    eaters: Sequence[Eater]
    taxon_name: str
    of_what: str


def comparisons_of(found: Analyte, amount: Amount, sample: Sample) -> Iterator[Comparison]:
    """Hold one result against every value that is for its material, analyte and species."""
    if sample.test.material == "mushroom":
        for limit in _sale_rows(found.name, sample.taxon_name):
            yield _sale_comparison(limit, amount, sample)
    elif sample.test.material == "soil" and sample.authority:
        yield from _soil_comparisons(found, amount, sample)


def _sale_rows(analyte: str, taxon_name: str) -> list[SaleLimit]:
    """Choose the maximum that is for the species alone, else the one for all wild fungi."""
    rows = wild_limits_of(analyte)
    species = " ".join(taxon_name.split()[:2])
    own = [row for row in rows if species in row.taxa]
    return own or [row for row in rows if not row.taxa]


def _sale_comparison(limit: SaleLimit, amount: Amount, sample: Sample) -> Comparison:
    fresh = on_basis(amount, "fresh", sample.dry)
    if fresh is None:
        raise ValueError("a mushroom has a dry matter, measured or by convention")
    relation = relation_of(fresh, limit.limit.value, at_most=amount.at_most)
    said = words.sale_value_is(limit)
    shown = words.comparison_words(
        fresh,
        limit.limit,
        relation,
        said,
        at_most=amount.at_most,
        computed=_computed(amount, "fresh", sample.dry),
    )
    if _may_turn(amount, "fresh", sample.dry, limit.limit, relation):
        low, high = _ends(amount, "fresh")
        relation, shown = "not told", words.straddling_words(low, high, limit.limit, said)
    return Comparison(
        against=words.sale_against(limit),
        value=limit.limit.value,
        unit=limit.limit.unit,
        result=fresh,
        relation=relation,
        caveat=words.sale_caveat(limit),
        assumed=_assumed(amount, "fresh", sample.dry, limit.limit, relation),
        source=words.source_words(limit.act, limit.limit),
        mark=limit.limit.mark,
        words=shown,
    )


def _soil_comparisons(found: Analyte, amount: Amount, sample: Sample) -> Iterator[Comparison]:
    dry = on_basis(amount, "dry", sample.dry)
    if dry is None:
        return
    for value in soil_values_of(sample.authority, found.name):
        relation = relation_of(dry, value.limit.value, at_most=amount.at_most)
        if relation == "at or below" and weakly_extracted(sample.test):
            relation = "not told"
        said = words.soil_value_is(value)
        yield Comparison(
            against=words.soil_against(value),
            value=value.limit.value,
            unit=value.limit.unit,
            result=dry,
            relation=relation,
            caveat=words.soil_caveat(value),
            assumed=_assumed(amount, "dry", sample.dry, value.limit, relation),
            source=words.source_words(value.authority, value.limit),
            mark=value.limit.mark,
            words=words.comparison_words(
                dry,
                value.limit,
                relation,
                said,
                at_most=amount.at_most,
                computed=_computed(amount, "dry", sample.dry),
            ),
        )


def relation_of(result: float, value: float, *, at_most: bool) -> str:
    """Tell how a result lies to a value: above, at or below, or not told.

    Parameters
    ----------
    result
        The result, or the detection limit it was below.
    value
        The value, in the same unit and basis.
    at_most
        Whether the result is a detection limit: above the value it tells nothing.
    """
    if result <= value * (1.0 + SAME):
        return "at or below"
    return "not told" if at_most else "above"


def weakly_extracted(test: LabTest) -> bool:
    """Tell whether the extraction named is not known as one that comes near the total content."""
    said = (test.extraction or "").casefold()
    return bool(said) and not any(word in said for word in STRONG_EXTRACTIONS)


def _computed(amount: Amount, basis: str, dry: DryMatter | None) -> str:
    """Say how a result was turned to another basis; "" where it was measured on it."""
    if amount.basis == basis or dry is None:
        return ""
    return words.computed_words(amount.basis, dry.said)


def _assumed(amount: Amount, basis: str, dry: DryMatter | None, value: Cited, relation: str) -> str:
    """Say what was assumed to turn a result to another basis."""
    if amount.basis == basis or dry is None:
        return ""
    if not dry.convention:
        return dry.said
    if not _may_turn(amount, basis, dry, value, relation):
        return dry.said
    low, high = 100 * DRY_MATTER_SEEN_LOW.value, 100 * DRY_MATTER_SEEN_HIGH.value
    return (
        f"{dry.said}; with {low:.1f} to {high:.1f} %, as measured in three species, it may come out otherwise"
    )


def _may_turn(amount: Amount, basis: str, dry: DryMatter | None, value: Cited, relation: str) -> bool:
    """Tell whether another dry matter than the usual one would turn a comparison."""
    if amount.basis == basis or dry is None or not dry.convention:
        return False
    ends = _ends(amount, basis)
    return {relation_of(end, value.value, at_most=amount.at_most) for end in ends} != {relation}


def _ends(amount: Amount, basis: str) -> tuple[float, float]:
    """Give a result on another basis at the lowest and highest dry matter seen in three species."""
    seen = (DRY_MATTER_SEEN_LOW, DRY_MATTER_SEEN_HIGH)
    turned = [on_basis(amount, basis, DryMatter(cited.value, "")) or 0.0 for cited in seen]
    return min(turned), max(turned)
