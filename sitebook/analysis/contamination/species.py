"""Which elements a taxon is known to gather: the second line of a review, never multiplied with the place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sitebook.analysis.contamination import species_words as words
from sitebook.analysis.contamination.wood_growth import GROUP, LESS_ON_WOOD, Growth, growth_of
from sitebook.records.results.species import SpeciesLine, SpeciesReview
from sitebook.reference import reader

OPEN_NAMES = frozenset({"sp.", "spp.", "sp", "spp", "cf.", "aff.", "sect.", "subg.", "agg."})
"""Words after a genus that leave the species open."""

OWN_CHOICE = "the table of this book, whose choice of studies is ours"


def species_review(
    taxon_name: str,
    *,
    other_names: Sequence[str] = (),
    grows_on_wood: bool | None = None,
    perennial: bool | None = None,
    road_edge_m: float | None = None,
    treated_or_imported: bool | None = None,
) -> SpeciesReview:
    """Give every published value of a taxon, those of its genus with it.

    What is written of species on wood as a group is added in words and lines, never as a factor, and only
    where all that must be known for it is known.

    Parameters
    ----------
    taxon_name
        Scientific name without authors. Of an open name, as "Agaricus sp.", the genus alone holds.
    other_names
        Its accepted name, and synonyms of it; studies wrote of it under any of them.
    grows_on_wood
        Whether it grew on wood; None for what is written of the taxon.
    perennial
        Whether the fruit body grows on for years; None for what is written of the taxon.
    road_edge_m
        Distance to the edge of the nearest road with motor traffic [m], inf where none is in reach; None
        where that is not known.
    treated_or_imported
        Whether the wood is treated or painted, or chip or mulch brought from elsewhere; None where that is
        not known.
    """
    names = tuple(dict.fromkeys(name for name in (taxon_name, *other_names) if name.strip()))
    own = tuple(_lines(names))
    growth = growth_of(
        _keys(names),
        grows_on_wood=grows_on_wood,
        perennial=perennial,
        road_edge_m=road_edge_m,
        treated_or_imported=treated_or_imported,
    )
    group = tuple(_of_group()) if growth.counts else ()
    lines = (*own, *_silent(own), *group)
    return SpeciesReview(taxon_name, lines, " ".join(_sentences(lines, growth)))


def _lines(names: Sequence[str]) -> Iterator[SpeciesLine]:
    species, genera = _species(names), _genera(names)
    for row in reader.rows("accumulators"):
        if row["taxon"] in species:
            yield _line(row, "")
        elif row["taxon"] in genera:
            yield _line(row, f"genus {row['taxon']}")


def _of_group() -> Iterator[SpeciesLine]:
    for row in reader.rows("accumulators"):
        if row["taxon"] == GROUP:
            yield _line(row, GROUP)


def _silent(lines: Sequence[SpeciesLine]) -> Iterator[SpeciesLine]:
    """Say for each element looked for that nothing is written, in one line where that holds for all."""
    if not lines:
        yield _no_data(words.ANY_ELEMENT)
        return
    written = {line.element for line in lines}
    for element in words.LOOKED_FOR:
        if element not in written:
            yield _no_data(element)


def _no_data(element: str) -> SpeciesLine:
    return SpeciesLine(
        element=element,
        what="no data",
        value_text=words.NO_DATA,
        unit="words",
        place="",
        of_genus=False,
        source=OWN_CHOICE,
        mark="our choice",
    )


def _line(row: Mapping[str, str], of_whom: str) -> SpeciesLine:
    near_smelter = row["site_kind"] == words.SMELTER
    place = f", {row['locator']}" if row["locator"] else ""
    return SpeciesLine(
        element=row["element"],
        what=f"{row['what']} near a smelter" if near_smelter else row["what"],
        value_text=row["value_text"],
        unit=row["unit"],
        place=row["place"],
        of_genus=of_whom.startswith("genus "),
        source=f"{row['study']} ({row['source_key']}{place})",
        mark=reader.mark_of(row),
        site_kind=row["site_kind"],
        typical=not near_smelter,
        part=row["part"],
        of_whom=of_whom,
        low=_number(row["low"]),
        high=_number(row["high"]),
        spread=_number(row["spread"]),
        samples=int(row["samples"]) if row["samples"] else None,
    )


def _number(text: str) -> float | None:
    return float(text) if text else None


def _species(names: Sequence[str]) -> frozenset[str]:
    """Give genus and epithet of each name that has an epithet."""
    parts = [name.split() for name in names]
    return frozenset(f"{p[0]} {p[1]}" for p in parts if len(p) > 1 and p[1] not in OPEN_NAMES)


def _genera(names: Sequence[str]) -> frozenset[str]:
    return frozenset(name.split()[0] for name in names)


def _keys(names: Sequence[str]) -> tuple[str, ...]:
    """Give the names by which tables know a taxon, species before genera."""
    return (*sorted(_species(names)), *sorted(_genera(names)))


def _sentences(lines: Sequence[SpeciesLine], growth: Growth) -> Iterator[str]:
    yield from words.of_lines([line for line in lines if line.of_whom != GROUP])
    yield from growth.sentences(LESS_ON_WOOD)
    yield words.NOT_OF_THIS_PLACE
