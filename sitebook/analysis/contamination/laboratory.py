"""Reads laboratory tests beside the values they may be held against: measured stands before modelled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sitebook.analysis.contamination import laboratory_words as words
from sitebook.analysis.contamination.held_against import Sample, comparisons_of, weakly_extracted
from sitebook.analysis.contamination.intakes import Eater, intakes_of
from sitebook.analysis.contamination.measured import (
    Amount,
    amount_of,
    below_limit,
    detection_limit_of,
    dry_matter_of,
    known,
    on_basis,
)
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.results.test_reading import Comparison, IntakeLine, ResultReading, TestReading
from sitebook.records.settings import Settings
from sitebook.reference.analytes import Analyte
from sitebook.reference.limits import authority_named, soil_values_of, wild_limits_of

__all__ = ["Eater", "eaters_of", "readings"]


def eaters_of(settings: Settings) -> tuple[Eater, ...]:
    """Give an adult, a child and a pregnancy with their portions, from the settings in force."""
    return (
        _eater("adult", "adult_kg", "portion_g_per_week", settings),
        _eater("child", "child_kg", "child_portion_g_per_week", settings),
        _eater("pregnancy", "pregnancy_kg", "portion_g_per_week", settings),
    )


def _eater(name: str, mass: str, portion: str, settings: Settings) -> Eater:
    mass_kg, portion_g = getattr(settings, mass).value, getattr(settings, portion).value
    said = (
        f"{name} {portion_g:g} g fresh a week ({_whose(portion, settings)}), "
        f"{mass_kg:g} kg ({_whose(mass, settings)})"
    )
    return Eater(name, mass_kg, portion_g, said)


def _whose(key: str, settings: Settings) -> str:
    """Say where a setting comes from: a value that was set has no source but whoever set it."""
    in_force, built_in = getattr(settings, key), getattr(Settings(), key)
    if in_force.value != built_in.value:
        return "as set in this book"
    if in_force.mark == "our choice":
        return "our choice"
    return f"{', '.join(filter(None, (in_force.source_key, in_force.locator)))}; {in_force.mark}"


def readings(
    tests: Sequence[tuple[LabTest, Sequence[LabResult]]],
    *,
    authority: str,
    eaters: Sequence[Eater],
    of_what: Mapping[int, str],
    taxon_names: Mapping[int, str],
) -> tuple[TestReading, ...]:
    """Read laboratory tests, the newest first.

    Soil is held against the values of one authority, each with the use of land it was set for; mushrooms
    against the maxima for sale and against health-based intakes. Nothing is held against anything where
    the unit, the basis or the form of the analyte does not fit, and a remark says so.

    Parameters
    ----------
    tests
        Each test with its results, in the order of its report.
    authority
        Whose soil values hold, as the table of soil values names it; "" for none.
    eaters
        Whose intakes are counted.
    of_what
        By the id of a test (0 for one not kept yet), what it is of, in words.
    taxon_names
        By the same id, the scientific name of what was tested, where it is known.

    Raises
    ------
    ValueError
        When the book holds no values of the authority.
    """
    named = authority_named(authority) if authority else ""
    if named is None:
        raise ValueError(f"the book holds no soil values of {authority!r}")
    ordered = sorted(tests, key=lambda pair: (pair[0].sampled_on, pair[0].id or 0), reverse=True)
    return tuple(
        _reading(
            Sample(
                test=test,
                results=results,
                dry=dry_matter_of(test, results),
                authority=named,
                eaters=eaters,
                taxon_name=taxon_names.get(test.id or 0, ""),
                of_what=of_what.get(test.id or 0, ""),
            )
        )
        for test, results in ordered
    )


def _reading(sample: Sample) -> TestReading:
    test, read = sample.test, tuple(_result(result, sample) for result in sample.results)
    by_convention = sample.dry is not None and sample.dry.convention
    return TestReading(
        lab_test_id=test.id or 0,
        report_number=test.report_number,
        laboratory=test.laboratory,
        sampled_on=test.sampled_on,
        of_what=sample.of_what,
        material=words.material_words(test),
        results=read,
        unknown=words.unknown_of(
            test,
            sample.results,
            sample.taxon_name,
            dry_known=sample.dry is not None and not by_convention,
        ),
        words=words.test_words(
            test,
            sample.authority,
            held=any(one.comparisons for one in read),
            eaters=[e.said for e in sample.eaters] if any(one.intakes for one in read) else [],
            by_convention=by_convention and any(result.basis == "dry" for result in sample.results),
        ),
        headline=words.headline(read),
    )


def _result(result: LabResult, sample: Sample) -> ResultReading:
    found, amount = known(result), amount_of(result)
    comparisons: tuple[Comparison, ...] = ()
    intakes: tuple[IntakeLine, ...] = ()
    if found is not None and amount is not None and found.kind != "radionuclide":
        comparisons = tuple(comparisons_of(found, amount, sample))
        if sample.test.material == "mushroom":
            intakes = intakes_of(found, amount, sample.dry, sample.eaters)
    limit = detection_limit_of(result) if below_limit(result) else None
    return ResultReading(
        analyte=found.in_full if found is not None else result.analyte,
        value=result.value if limit is None else limit,
        unit=words.shown_unit(result),
        below_limit=below_limit(result),
        written=words.as_written(result),
        comparisons=comparisons,
        intakes=intakes,
        remarks=tuple(_remarks(result, found, sample)),
    )


def _remarks(result: LabResult, found: Analyte | None, sample: Sample) -> Iterator[str]:
    """Say what else must be said of one result."""
    amount = amount_of(result)
    if found is None:
        yield f"The book holds no value for {result.analyte}, so it stands without a comparison."
    elif (found.kind == "radionuclide") != (result.unit == "Bq/kg"):
        yield f"{found.in_full} in {result.unit} is an odd unit and held against nothing: look at the report."
    elif found.kind == "radionuclide":
        yield words.ACTIVITY
    elif amount is None:
        yield "It was below a detection limit that is not given, so it is held against nothing."
    elif sample.test.material == "soil":
        yield from _remarks_of_soil(found, amount, sample)
    elif sample.test.material == "mushroom":
        yield from _remarks_of_mushroom(found, amount, sample)


def _remarks_of_soil(found: Analyte, amount: Amount, sample: Sample) -> Iterator[str]:
    if sample.authority and not soil_values_of(sample.authority, found.name):
        yield f"Under {sample.authority} the book holds no value for {found.said} in soil."
    elif sample.authority and on_basis(amount, "dry", sample.dry) is None:
        yield "It is given on fresh mass without a dry matter; soil values are for dry mass, so none is used."
    if weakly_extracted(sample.test):
        yield (
            f"Extracted with {sample.test.extraction}, not known here as near the total content; soil "
            "values are for such contents, so a lower number tells nothing."
        )


def _remarks_of_mushroom(found: Analyte, amount: Amount, sample: Sample) -> Iterator[str]:
    if found.name == "As":
        yield words.ARSENIC_TOTAL
    elif found.name == "Hg":
        yield words.MERCURY_FORMS
        if _may_be_ceps(sample.taxon_name):
            yield "For ceps the maximum for sale is another one; which species was tested is not told."
    elif found.name == "Pb":
        yield words.NO_SHARE_OF_LEAD
    elif not wild_limits_of(found.name) and not intakes_of(found, amount, sample.dry, sample.eaters):
        yield f"The book holds no value for {found.said} in mushrooms, so it stands without a comparison."


def _may_be_ceps(taxon_name: str) -> bool:
    """Tell whether a name leaves open that the maximum for ceps holds."""
    parts = taxon_name.split()
    return not parts or (
        parts[0] == "Boletus" and (len(parts) == 1 or parts[1] in {"sp.", "spp.", "cf.", "aff."})
    )
