"""Says the poisoning class noted for a name in few words, to stand beside the name."""

from __future__ import annotations

import re

_MARK = re.compile(r" \(([^()]*)\)")


def in_short(poisoning: str) -> str:
    """Give "deadly, from memory" out of a sentence on the classes noted; "" out of none."""
    _, _, noted = poisoning.rpartition(": ")
    return _MARK.sub(lambda mark: f", {'from ' if mark[1] == 'memory' else ''}{mark[1]}", noted)


def with_class(taxon_name: str, poisoning: str) -> str:
    """Give a name with the class noted for it, as "Amanita phalloides (deadly, from memory)"."""
    return f"{taxon_name} ({in_short(poisoning)})" if poisoning else taxon_name
