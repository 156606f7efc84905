"""Reads the names, traits and look-alikes that every new book begins with."""

from __future__ import annotations

import datetime

from sitebook.intake.table.drafts import drafts_of
from sitebook.intake.table.entry import read_entry
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.intake.table.values import Surroundings
from sitebook.records.incoming import Draft, Reading
from sitebook.reference import reader

TABLES: dict[str, str] = {
    "taxa": "taxon",
    "vernacular_names": "vernacular_name",
    "taxon_traits": "taxon_trait",
    "look_alikes": "look_alike",
}
"""Cited table to the kind of its rows, names before what is said of them."""


def read_starter() -> Reading:
    """Give the starter taxa with their names, traits and look-alikes.

    Identities stay the same from version to version, so that a book of an older one gains no doubles.
    References are the bare scientific names, each of which the starter taxa hold once.

    Returns
    -------
    Reading
        Drafts of taxon, vernacular_name, taxon_trait and look_alike; no line is left out or refused.

    Raises
    ------
    ValueError
        When a row of the tables cannot be: a fault of the package.
    """
    drafts = [draft for table in TABLES for draft in _drafts(table)]
    return Reading("starter taxa", tuple(drafts))


def _drafts(table: str) -> list[Draft]:
    layout = LAYOUTS[TABLES[table]]
    around = Surroundings(datetime.UTC)
    drafts = []
    for number, row in enumerate(reader.rows(table), start=1):
        entry, problems = read_entry(layout, number, row, around)
        if problems:
            raise ValueError(f"{table}, row {number}: {'; '.join(problems)}")
        drafts.extend(drafts_of(layout, entry, datetime.UTC))
    return drafts
