"""Says in words what a laboratory test tells, what it was held against, and what neither says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitebook.analysis.contamination.exposure import DRY_MATTER
from sitebook.analysis.contamination.measured import (
    DRY_MATTER_SEEN_HIGH,
    DRY_MATTER_SEEN_LOW,
    below_limit,
    detection_limit_of,
)
from sitebook.citations import Cited
from sitebook.quantities import measured, two_digits
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.results.test_reading import ResultReading
from sitebook.reference import reader
from sitebook.reference.health import HealthValue
from sitebook.reference.limits import SaleLimit, SoilValue, authorities

NO_LINE_FROM_SOIL = (
    "A test of soil tells of the ground that was sampled, to the depth that was sampled. No number turns it "
    "into what a mushroom on it holds: soil values are for uses of land, none for eating what grows there."
)
ONLY_MEASUREMENT = (
    "A test of the mushroom is the only measurement of what it holds. It holds for the fruit bodies in the "
    "sample and for what was asked for; it tells nothing of anything else, nor of the next flush."
)
NO_VALUES_FOR = {
    "plant": "The book holds no values for leaves or fruit, so these results stand without a comparison.",
    "dust": "The book holds no values for dust or deposit, so these results stand without a comparison.",
}
FOR_SALE = "a limit for sale, which was not set for what a gatherer eats"
NOT_FOR_EATING = "was not derived for eating what grows on the ground"
FORM_DECIDES = {
    "Hg": "if all of it were inorganic mercury",
    "MeHg": "if all of it were methylmercury",
}
MERCURY_FORMS = (
    "Total mercury does not tell its form, and the form decides which of the two health-based values "
    "holds; both are shown."
)
ARSENIC_TOTAL = (
    "Total arsenic is not inorganic arsenic, and health-based values are for inorganic arsenic alone. In "
    "many species most of it is organic (memory: not confirmed), so it is held against none of them. Ask "
    "the laboratory for inorganic arsenic."
)
NO_SHARE_OF_LEAD = (
    "For lead no intake is known to do nothing, so no share of a limit is given, only how far the intake "
    "lies from a benchmark dose."
)
NO_UNCERTAINTY = (
    "The laboratory's own uncertainty is not in these numbers, since none is given with the results in the "
    "book: a result near a value may lie on either side of it. Ask the laboratory for it."
)
ACTIVITY = "The book holds no value to hold an activity against, so it is shown as measured."


def as_written(result: LabResult) -> str:
    """Give a result as a page prints it, with "<" and its basis."""
    limit = detection_limit_of(result)
    if not below_limit(result):
        return f"{measured(result.value)} {shown_unit(result)}"
    if limit is None:
        return "below a detection limit not given"
    return f"<{measured(limit)} {shown_unit(result)}"


def shown_unit(result: LabResult) -> str:
    """Give the unit of a result with its basis."""
    return f"{micro(result.unit)} {result.basis}"


def micro(unit: str) -> str:
    """Write micrograms with their sign."""
    return unit.replace("ug/", "µg/")


def material_words(test: LabTest) -> str:
    """Say what was tested, with part, depth, increments and extraction."""
    return ", ".join(_material(test))


def _material(test: LabTest) -> Iterator[str]:
    yield {"mushroom": "fruit bodies", "plant": "leaves or fruit"}.get(test.material, test.material)
    if test.part:
        yield test.part
    if test.depth_from_cm is not None and test.depth_to_cm is not None:
        yield f"{test.depth_from_cm:g} to {test.depth_to_cm:g} cm deep"
    elif test.depth_to_cm is not None:
        yield f"down to {test.depth_to_cm:g} cm"
    elif test.depth_from_cm is not None:
        yield f"from {test.depth_from_cm:g} cm down"
    if test.increments is not None:
        yield "1 take" if test.increments == 1 else f"{test.increments} takes mixed"
    if test.extraction:
        yield f"extracted with {test.extraction}"
    if test.dry_matter_fraction is not None:
        yield f"dry matter {100 * test.dry_matter_fraction:.3g} %"


def source_words(said: str, cited: Cited) -> str:
    """Give a source in words with its key in brackets."""
    place = f", {cited.locator}" if cited.locator else ""
    return f"{said} ({cited.source_key}{place})"


def _not_confirmed(cited: Cited) -> str:
    return "; the number is from memory and not confirmed" if cited.mark == "memory" else ""


def sale_against(limit: SaleLimit) -> str:
    """Say what a maximum for sale is for."""
    return f"maximum for {limit.product} on sale, {limit.authority}"


def sale_caveat(limit: SaleLimit) -> str:
    """Say what a maximum for sale was not made for."""
    return f"It is {FOR_SALE}{_not_confirmed(limit.limit)}."


def soil_against(value: SoilValue) -> str:
    """Say what a value for soil is for, and by whom."""
    return f"{value.authority}, for {value.land_use}: {value.meaning}"


def soil_caveat(value: SoilValue) -> str:
    """Say what a value for soil was made for, and what not."""
    made = f"{value.authority} set it for {value.land_use} ({value.meaning})"
    return f"{made}; it {NOT_FOR_EATING}{_not_confirmed(value.limit)}."


def comparison_words(
    result: float, cited: Cited, relation: str, value_is: str, *, at_most: bool, computed: str = ""
) -> str:
    """Say one comparison in one sentence, what the value was not made for included.

    Parameters
    ----------
    result
        The result in the unit of the value.
    cited
        The value.
    relation
        above, at or below, or not told.
    value_is
        What the value is, with what it was not made for, as the end of the sentence.
    at_most
        Whether the result is a detection limit.
    computed
        How the result was turned to the basis of the value; "" for one that was measured on it.
    """
    value = f"{cited.value:g} {cited.unit}"
    how, digits = (f" ({computed})", 3) if computed else ("", 6)
    shown = f"{'below ' if at_most else ''}{measured(result, digits)} {cited.unit}{how}"
    tail = f"{value_is}{_not_confirmed(cited)}"
    if relation == "not told":
        return f"It is not told whether the result, {shown}, is above {value}, {tail}."
    return f"The result, {shown}, is {relation} {value}, {tail}."


def straddling_words(low: float, high: float, cited: Cited, value_is: str) -> str:
    """Say a comparison that an unmeasured dry matter leaves open."""
    return (
        f"It is not told whether the result is above {cited.value:g} {cited.unit}, "
        f"{value_is}{_not_confirmed(cited)}: computed from dry mass it is "
        f"{two_digits(low)} to {two_digits(high)} {cited.unit}, since the dry matter was not measured."
    )


def computed_words(measured_on: str, dry_matter: str) -> str:
    """Say that a number was turned to another basis, and with which dry matter."""
    return f"computed from {measured_on} mass; {dry_matter}"


def sale_value_is(limit: SaleLimit) -> str:
    """Give the end of a sentence about a maximum for sale."""
    return f"the {sale_against(limit)}: {FOR_SALE}"


def soil_value_is(value: SoilValue) -> str:
    """Give the end of a sentence about a value for soil."""
    return f"the {value.authority} value for {value.land_use} ({value.meaning}), which {NOT_FOR_EATING}"


def health_against(value: HealthValue) -> str:
    """Give a health-based value in words with its number and unit."""
    kind = {
        "weekly": "tolerable weekly intake",
        "daily_dose": "reference dose",
        "benchmark": "benchmark dose, lower limit",
    }[value.kind]
    return f"{kind}, {value.whose}: {value.limit.value:g} {micro(value.limit.unit)} ({value.effect})"


def intake_words(value: HealthValue, number: float, analyte: str, *, at_most: bool) -> str:
    """Say what one eater's share or margin means.

    Parameters
    ----------
    value
        The health-based value.
    number
        Share [percent], or margin [1] of a benchmark dose.
    analyte
        What was measured, by its name in the table.
    at_most
        Whether the intake is an upper end.
    """
    form = f", {FORM_DECIDES[value.analyte]}" if analyte == "Hg" else ""
    if value.kind == "benchmark":
        least = "at least " if at_most else ""
        return (
            f"The benchmark dose ({value.effect}) is {least}about {two_digits(number)} times the intake"
            f"{form}. Below 1 a harm cannot be excluded; a number above 1 promises nothing."
        )
    what = "tolerable weekly intake" if value.kind == "weekly" else "reference dose"
    most = "at most " if at_most else ""
    return (
        f"That is {most}about {two_digits(number)} % of the {what}{form}. It is meant for all food "
        "together; whatever else is eaten comes on top."
    )


def dry_matter_remark() -> str:
    """Say what the convention of one tenth may be wrong by."""
    low, high = DRY_MATTER_SEEN_LOW, DRY_MATTER_SEEN_HIGH
    usual = DRY_MATTER.value
    seen = f"{100 * low.value:.1f} and {100 * high.value:.1f} %"
    factors = f"{low.value / usual:.2f} to {high.value / usual:.2f}"
    return (
        f"No dry matter was measured, so {100 * usual:g} % is taken by convention (memory). In three species "
        f"it lay between {seen} ({low.source_key}), so what is turned from dry to fresh mass here, intakes "
        f"among it, may be {factors} times that."
    )


def no_authority_words() -> str:
    """Say that no authority was named, and which the book knows."""
    return (
        "No authority for soil is named, so the results stand without a comparison. The book holds values of "
        f'{", ".join(authorities())}; name one by sitebook settings soil_authority "NAME".'
    )


def preparation_words() -> str:
    """Say how preparations are counted, by the table of preparations."""
    rows = reader.rows("preparation_water")
    keeping = [row["preparation"] for row in rows if row["keeps_water"] == "yes"]
    poured = [row["preparation"] for row in rows if row["keeps_water"] == "no"]
    return (
        "Intakes count the whole amount measured, however it is prepared (our choice, an upper end). What "
        f"water or spirit draws out stays in: {'; '.join(keeping)}. Nothing is deducted for: "
        f"{'; '.join(poured)}; what leaves that way is not known here."
    )


def preparation_lines() -> tuple[tuple[str, str], ...]:
    """Give each preparation with what is counted of it and why, for a table on a page."""
    return tuple(
        (row["preparation"], f"the whole amount is counted: {row['said']}")
        for row in reader.rows("preparation_water")
    )


def test_words(
    test: LabTest, authority: str, *, held: bool, eaters: Sequence[str], by_convention: bool
) -> str:
    """Say what a test of its material can and cannot tell, and what it was held against.

    Parameters
    ----------
    test
        The test.
    authority
        Whose soil values it was held against; "" for none.
    held
        Whether any of its results was held against a value.
    eaters
        For whom intakes were counted from it, each with portion and body mass in words; empty for none.
    by_convention
        Whether the dry matter was taken by convention for any of its numbers.
    """
    said = list(_test_words(test, authority, eaters=eaters, by_convention=by_convention))
    return " ".join([*said, NO_UNCERTAINTY] if held or eaters else said)


def _test_words(
    test: LabTest, authority: str, *, eaters: Sequence[str], by_convention: bool
) -> Iterator[str]:
    if test.material == "soil":
        yield NO_LINE_FROM_SOIL
        if not authority:
            yield no_authority_words()
    elif test.material == "mushroom":
        yield ONLY_MEASUREMENT
        if by_convention:
            yield dry_matter_remark()
        if eaters:
            yield f"Portions and body masses: {'; '.join(eaters)}."
            yield preparation_words()
    else:
        yield NO_VALUES_FOR[test.material]


def unknown_of(
    test: LabTest, results: Sequence[LabResult], taxon_name: str, *, dry_known: bool
) -> tuple[str, ...]:
    """Say what a report does not tell and a reader would need.

    Parameters
    ----------
    test, results
        The test with its results.
    taxon_name
        Which species it is of; "" where that is not told.
    dry_known
        Whether the dry matter is known.
    """
    return tuple(_unknown(test, results, taxon_name, dry_known=dry_known))


def _unknown(
    test: LabTest, results: Sequence[LabResult], taxon_name: str, *, dry_known: bool
) -> Iterator[str]:
    if test.material == "soil":
        yield from _unknown_of_soil(test)
    if test.material == "mushroom" and not taxon_name:
        yield "which species was tested"
    turned = "dry" if test.material == "mushroom" else "fresh"
    if not dry_known and any(result.basis == turned for result in results):
        yield "the dry matter of the sample"
    for result in results:
        if below_limit(result) and detection_limit_of(result) is None:
            yield f"the detection limit for {result.analyte}"


def _unknown_of_soil(test: LabTest) -> Iterator[str]:
    if test.depth_to_cm is None:
        yield "to which depth the sample was taken"
    if test.increments is None:
        yield "how many takes were mixed into the sample"
    elif test.increments == 1:
        yield "how much the ground differs from spot to spot: the sample is a single take"
    if not test.extraction:
        yield "how it was extracted: weak extractions give lower numbers"


def headline(results: Sequence[ResultReading]) -> str:
    """Give the highest share of a health-based value, and the lowest margin, before all else."""
    lines = [(result.analyte, intake) for result in results for intake in result.intakes]
    shares = [(line.share_percent, name, line) for name, line in lines if line.share_percent is not None]
    margins = [(line.margin, name, line) for name, line in lines if line.margin is not None]
    said = []
    if shares:
        share, name, line = max(shares, key=lambda found: found[0])
        who = f"{line.eater}, {line.fresh_g_per_week:g} g a week"
        said.append(f"Highest share: {name}, {who}, about {two_digits(share)} % of the {line.against}.")
    if margins:
        margin, name, line = min(margins, key=lambda found: found[0])
        said.append(
            f"Lowest margin: {name}, {line.eater}: the {line.against}, is about {two_digits(margin)} times "
            "the intake from this portion alone."
        )
    return " ".join(said)
