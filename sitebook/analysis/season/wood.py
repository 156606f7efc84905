"""Tells which fungi grow on wood, so that a tree that fell is still a place for them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from sitebook.reference import reader


def grows_on_wood(names: Sequence[str]) -> bool:
    """Tell whether the table of fungi on wood holds a taxon.

    Parameters
    ----------
    names
        Its names: the accepted one first, whose genus is looked for too, and synonyms.
    """
    known = _table()
    return any(name in known for name in names) or any(name.split(" ", 1)[0] in known for name in names[:1])


@cache
def _table() -> frozenset[str]:
    return frozenset(row["taxon"] for row in reader.rows("wood_growers"))
