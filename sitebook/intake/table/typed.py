"""Reads one record typed field by field, as one line of its table would be read."""

from __future__ import annotations

from collections.abc import Mapping

from sitebook.intake.cells import CellError
from sitebook.intake.instants import zone_named
from sitebook.intake.table.drafts import drafts_of
from sitebook.intake.table.entry import read_entry
from sitebook.intake.table.kinds import LAYOUTS
from sitebook.intake.table.values import Surroundings
from sitebook.records.incoming import Reading, SortedLine


def read_typed(kind: str, cells: Mapping[str, str], *, zone: str = "UTC") -> Reading:
    """Read one record from the text of its fields; the reading holds its drafts, or why it was refused.

    Parameters
    ----------
    kind
        A kind of table.
    cells
        Text by field; decimal commas are understood.
    zone
        IANA time zone of local dates and of hours that name none.
    """
    layout, around = LAYOUTS[kind], Surroundings(zone_named(zone), comma_parts_cells=False)
    entry, problems = read_entry(layout, 1, cells, around)
    if problems:
        return Reading("typed", (), (SortedLine("refused", "; ".join(problems)),))
    try:
        return Reading("typed", tuple(drafts_of(layout, entry, around.zone, {})))
    except CellError as reason:
        return Reading("typed", (), (SortedLine("refused", str(reason)),))
