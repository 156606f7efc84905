"""Tells of trees that were felled or fell: what is noted of it, and whether their wood may lie there."""

from __future__ import annotations

import datetime

from sitebook.records.host_tree import HostTree

TAKEN_AWAY = "taken away"
DOWN = {"fallen": "fallen", "stump": "a stump", TAKEN_AWAY: "taken away"}
"""States of a tree that stands no more, each as it is said."""
FOR_WOOD = "What grows on wood may still be proposed there."


def down_words(tree: HostTree, on: datetime.date | None = None) -> str:
    """Say that a tree stands no more; "" for one that stands, or stood on a day that is given."""
    if tree.felled_on is not None:
        is_later = on is not None and tree.felled_on > on
        return "" if is_later else f"Felled or fallen on {tree.felled_on.isoformat()}."
    said = DOWN.get(tree.tree_condition or "")
    return f"Noted as {said}; the day is not noted." if said else ""


def may_lie(tree: HostTree) -> bool:
    """Tell whether the wood of a tree that stands no more may still be there."""
    return tree.tree_condition != TAKEN_AWAY
