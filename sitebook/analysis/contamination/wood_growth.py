"""Tells where what is written of species on wood may be said of a fruit body, and where not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitebook.citations import Cited
from sitebook.reference import reader

GROUP = "species on wood"
"""Group of one study, in the table of metals."""

NEVER_WITHIN = Cited(10.0, "m", "ours", "our choice")
"""Nearer than this to the edge of a road nothing on wood is said to hold less [m]."""

LESS_ON_WOOD = (
    "Beside a road with about 28,000 vehicles a day, species on wood held less {elements} than species of "
    "the ground (Mleczek and others 2016, mleczek2016). That is a word on a group, not a number for this "
    "one, and it changes no class."
)


@dataclass(frozen=True)
class Growth:
    """How a fruit body grows, as far as it matters for its metals.

    Parameters
    ----------
    on_wood
        Whether it grows on wood; None where nothing is known of that.
    against
        Why what is written of species on wood is not said of it; empty where it may be said.
    """

    on_wood: bool | None
    against: tuple[str, ...]

    @property
    def counts(self) -> bool:
        """Whether what is written of species on wood may be said of it."""
        return bool(self.on_wood) and not self.against

    def sentences(self, less: str) -> Iterator[str]:
        """Say what follows from it.

        Parameters
        ----------
        less
            The sentence for where it may be said, with {elements} in it.
        """
        if self.counts:
            yield less.format(elements=listed(elements_less_on_wood()))
        elif self.on_wood:
            yield f"It grows on wood, but that is not taken as less here: {'; '.join(self.against)}."


def growth_of(
    keys: Sequence[str],
    *,
    grows_on_wood: bool | None,
    perennial: bool | None,
    road_edge_m: float | None,
    treated_or_imported: bool | None,
) -> Growth:
    """Settle how a fruit body grows.

    Parameters
    ----------
    keys
        Names by which the table may know the taxon, species before genera.
    grows_on_wood, perennial
        What is known of this one; None for what the table says.
    road_edge_m
        Distance to the edge of the nearest road [m]; None where not known.
    treated_or_imported
        Whether the wood is treated, or chip from elsewhere; None where not known.
    """
    rows = {row["taxon"]: row for row in reader.rows("wood_growers")}
    row = next((rows[key] for key in keys if key in rows), None)
    on_wood = grows_on_wood if grows_on_wood is not None else (True if row is not None else None)
    years = perennial
    if years is None and row is not None and row["perennial"] != "some":
        years = row["perennial"] == "yes"
    return Growth(on_wood, tuple(_against(years, road_edge_m, treated_or_imported)))


def elements_less_on_wood() -> tuple[str, ...]:
    """Name the elements that a source lists as lower in species on wood."""
    return tuple(row["element"] for row in reader.rows("accumulators") if row["taxon"] == GROUP)


def _against(
    perennial: bool | None, road_edge_m: float | None, treated_or_imported: bool | None
) -> Iterator[str]:
    if perennial is None:
        yield "whether it grows on for years is not known"
    elif perennial:
        yield "it grows on for years and gathers all the while"
    if road_edge_m is None:
        yield "how far the nearest road is, is not known"
    elif road_edge_m < NEVER_WITHIN.value:
        yield f"a road is nearer than {NEVER_WITHIN.value:g} m (our choice)"
    if treated_or_imported is None:
        yield "whether the wood is treated, or chip brought from elsewhere, is not known"
    elif treated_or_imported:
        yield "the wood is treated, or brought from elsewhere"


def listed(names: Sequence[str]) -> str:
    """Give names in a row, the last after "and"."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
