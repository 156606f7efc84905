"""Which elements a taxon is known to gather: the second line of a review, never multiplied with the place."""

from __future__ import annotations

from sitebook.records.results.species import SpeciesLine, SpeciesReview
from sitebook.reference import reader

ELEMENT_NAMES = {
    "Pb": "lead",
    "Cd": "cadmium",
    "Hg": "mercury",
    "As": "arsenic",
    "V": "vanadium",
    "Cs-137": "radiocaesium",
}

NOTHING_WRITTEN = (
    "No data for this taxon in the table. That is no sign that it gathers little; it counts as ordinary."
)

NOT_OF_THIS_PLACE = (
    "These values come from other ground; what this fruit body holds, a laboratory alone can tell."
)


def species_review(taxon_name: str) -> SpeciesReview:
    """Give every published value of a taxon, those of its genus with it.

    Parameters
    ----------
    taxon_name
        Scientific name without authors.
    """
    genus = taxon_name.split(maxsplit=1)[0] if taxon_name.strip() else ""
    rows = [row for row in reader.rows("accumulators") if row["taxon"] in (taxon_name, genus)]
    lines = tuple(
        SpeciesLine(
            element=row["element"],
            what=row["what"],
            value_text=row["value_text"],
            unit=row["unit"],
            place=row["place"],
            of_genus=row["taxon"] != taxon_name,
            source=f"{row['source_key']}{', ' + row['locator'] if row['locator'] else ''}",
            mark=reader.mark_of(row),
        )
        for row in rows
    )
    return SpeciesReview(taxon_name, lines, _words(lines))


def _words(lines: tuple[SpeciesLine, ...]) -> str:
    if not lines:
        return NOTHING_WRITTEN
    elements = dict.fromkeys(ELEMENT_NAMES.get(line.element, line.element) for line in lines)
    return f"Values are published for {', '.join(elements)}. {NOT_OF_THIS_PLACE}"
