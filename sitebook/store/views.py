"""Views of the book: what follows from its rows and is never stored."""

from __future__ import annotations

from sqlalchemy import Connection

_FIND_NAMED = """
CREATE VIEW find_named AS
SELECT d.find_id, d.id AS determination_id, d.verbatim_name, d.taxon_id, d.qualifier,
       d.determined_by, d.determined_on, d.verification_level
FROM determination AS d
WHERE d.withdrawn_at IS NULL AND NOT EXISTS (
    SELECT 1 FROM determination AS later
    WHERE later.find_id = d.find_id AND later.withdrawn_at IS NULL AND (
        coalesce(later.determined_on, '0001-01-01') > coalesce(d.determined_on, '0001-01-01')
        OR (coalesce(later.determined_on, '0001-01-01') = coalesce(d.determined_on, '0001-01-01')
            AND later.id > d.id)))
"""


def create_views(connection: Connection) -> None:
    """Make the views anew: `find_named` gives each find's standing name, the latest not withdrawn."""
    connection.exec_driver_sql("DROP VIEW IF EXISTS find_named")
    connection.exec_driver_sql(_FIND_NAMED)
