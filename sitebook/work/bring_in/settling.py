"""Settles what a written name of a find may mean before any name is taken for new."""

from __future__ import annotations

import dataclasses

from sitebook.records.incoming import Draft
from sitebook.work.bring_in.gathering import Gathered
from sitebook.work.bring_in.names import Names, folded

GENUS_ALONE = "sp."
"""Qualifier by which a single word is said to be a genus."""


def settle_names(gathered: Gathered, names: Names) -> list[str]:
    """Find each written name whole first, and take no single unknown word for a genus.

    "Death Cap" is an everyday name, though it looks like a genus with its author. A single word that
    stands nowhere may be an everyday name in any language, so the name is kept as written and matched
    to no taxon, unless "sp." says that it is a genus. A row that bears its UUID was a record of a book
    before and is taken at its word: its taxon was settled there.

    Returns
    -------
    list of str
        The names kept as written and matched to nothing, each once.
    """
    arriving = {
        folded(str(arrival.draft.values[column]))
        for kind, column in (("taxon", "scientific_name"), ("vernacular_name", "vernacular"))
        for arrival in gathered.arrivals.get(kind, [])
    }
    unmatched: dict[str, None] = {}
    for arrival in list(gathered.arrivals.get("determination", [])):
        draft = arrival.draft
        bare, written = draft.refers.get("taxon_id"), str(draft.values.get("verbatim_name", ""))
        if bare is None or "uuid" in draft.values:
            continue
        if _whole(written, bare, names, arriving):
            gathered.replace(arrival, _named(draft, written))
        elif not (names.find("taxon", bare) or folded(bare) in arriving) and _may_be_no_genus(draft, bare):
            gathered.replace(arrival, _named(draft, None))
            unmatched[written] = None
    return list(unmatched)


def _may_be_no_genus(draft: Draft, bare: str) -> bool:
    return " " not in bare and draft.values.get("qualifier") != GENUS_ALONE


def _whole(written: str, bare: str, names: Names, arriving: set[str]) -> bool:
    """Tell whether the name as written, more than the part taken for scientific, is a name by itself."""
    known = names.find("taxon", written) or folded(written) in arriving
    return folded(written) != folded(bare) and bool(known)


def _named(draft: Draft, name: str | None) -> Draft:
    refers = {column: said for column, said in draft.refers.items() if column != "taxon_id"}
    if name is not None:
        refers["taxon_id"] = name
    return dataclasses.replace(draft, refers=refers)
