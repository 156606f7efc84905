"""Says what a review looked for and how far, and what the whole map shows none of."""

from __future__ import annotations

from collections import Counter

from sitebook.analysis.contamination import parameters
from sitebook.reference.map_tags import hazard_kinds, kinds_of


def nothing_found() -> str:
    """Say in a few words what was looked for where nothing was found."""
    reach = parameters.value("reach")
    return f"roads within {reach:,.0f} m, other sources within {most_reach_m():,.0f} m or more"


def most_reach_m() -> float:
    """Give the distance within which most kinds of source are looked for [m]."""
    reaches = Counter(kind.reach_m.value for kind in hazard_kinds().values())
    return reaches.most_common(1)[0][0]


def looked_for(kinds_in_book: frozenset[str] | None) -> tuple[str, ...]:
    """Say what was looked for, and which kinds that a map can show the book holds none of.

    Parameters
    ----------
    kinds_in_book
        Kinds of source that the book holds anywhere; None: not counted, so nothing is said of them.
    """
    kinds, usual = hazard_kinds(), most_reach_m()
    farther = [
        f"{kind.title.lower()} within {kind.reach_m.value:,.0f} m"
        for kind in kinds.values()
        if kind.reach_m.value > usual
    ]
    said = [
        f"motor roads within {parameters.value('reach'):,.0f} m",
        f"{len(kinds) - len(farther)} other kinds of source within {usual:,.0f} m",
        *farther,
        f"sprayings within {usual:,.0f} m",
    ]
    lines = [f"Looked for: {'; '.join(said)}."]
    if kinds_in_book is not None and (missing := _never_seen(kinds_in_book)):
        lines.append(
            f"The whole map shows none of these, so its makers may have left them out: {', '.join(missing)}."
        )
    return tuple(lines)


def _never_seen(kinds_in_book: frozenset[str]) -> list[str]:
    mappable = set(kinds_of("hazard"))
    kinds = hazard_kinds()
    return sorted(kinds[word].title.lower() for word in mappable - kinds_in_book if word in kinds)
