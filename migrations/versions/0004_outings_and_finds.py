"""Bring in tracks, visits, looks, finds and their names."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0004"
down_revision = "0003"


def _track() -> None:
    op.create_table(
        "track",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("track", "entered_by", "person", nullable=True),
        refers("track", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("piece", sa.Integer(), nullable=False),
        sa.Column("started_at", Instant(), nullable=True),
        sa.Column("ended_at", Instant(), nullable=True),
        sa.Column("point_seconds", sa.Text(), nullable=True),
        sa.Column("point_elevations_m", sa.Text(), nullable=True),
        sa.Column("geom", Geom("LINESTRING"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_track"),
        sa.UniqueConstraint("uuid", name="uq_track_uuid"),
    )


def _visit() -> None:
    op.create_table(
        "visit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("visit", "entered_by", "person", nullable=True),
        refers("visit", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("visit", "site_id", "site", nullable=True),
        refers("visit", "track_id", "track", nullable=True),
        sa.Column("local_date", sa.Date(), nullable=False),
        sa.Column("local_date_end", sa.Date(), nullable=True),
        sa.Column("started_at", Instant(), nullable=True),
        sa.Column("search_minutes", sa.Double(), nullable=True),
        sa.Column("searchers", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("looked_for_all", sa.Boolean(), nullable=False),
        sa.Column("effort_assumed", sa.Boolean(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_visit"),
        sa.UniqueConstraint("uuid", name="uq_visit_uuid"),
    )
    op.create_index("ix_visit_site_id", "visit", ["site_id"])
    op.create_index("ix_visit_track_id", "visit", ["track_id"])


def _visit_person() -> None:
    op.create_table(
        "visit_person",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("visit_person", "visit_id", "visit", nullable=False),
        refers("visit_person", "person_id", "person", nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_visit_person"),
        sa.UniqueConstraint("visit_id", "person_id", name="uq_visit_person_visit_id_person_id"),
    )
    op.create_index("ix_visit_person_person_id", "visit_person", ["person_id"])


def _look() -> None:
    op.create_table(
        "look",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("look", "entered_by", "person", nullable=True),
        refers("look", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("look", "visit_id", "visit", nullable=False),
        refers("look", "host_tree_id", "host_tree", nullable=True),
        refers("look", "taxon_id", "taxon", nullable=True),
        sa.Column("minutes", sa.Double(), nullable=True),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_look"),
        sa.UniqueConstraint("uuid", name="uq_look_uuid"),
    )
    op.create_index("ix_look_host_tree_id", "look", ["host_tree_id"])
    op.create_index("ix_look_taxon_id", "look", ["taxon_id"])
    op.create_index("ix_look_visit_id", "look", ["visit_id"])


def _find() -> None:
    op.create_table(
        "find",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("find", "entered_by", "person", nullable=True),
        refers("find", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("find", "visit_id", "visit", nullable=True),
        refers("find", "collector_id", "person", nullable=False),
        sa.Column("collection_number", sa.Integer(), nullable=True),
        sa.Column("found_on", sa.Date(), nullable=True),
        sa.Column("found_on_end", sa.Date(), nullable=True),
        sa.Column("found_at", Instant(), nullable=True),
        sa.Column("uncertainty_m", sa.Double(), nullable=True),
        sa.Column("position_source", sa.Text(), nullable=False),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("substrate", sa.Text(), nullable=True),
        sa.Column("individual_count", sa.Integer(), nullable=True),
        sa.Column("count_of", sa.Text(), nullable=False),
        sa.Column("taken_count", sa.Integer(), nullable=True),
        sa.Column("remaining_count", sa.Integer(), nullable=True),
        sa.Column("fresh_mass_g", sa.Double(), nullable=True),
        sa.Column("growth_stage", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_find"),
        sa.UniqueConstraint("uuid", name="uq_find_uuid"),
        sa.UniqueConstraint(
            "collector_id", "collection_number", name="uq_find_collector_id_collection_number"
        ),
    )
    op.create_index("ix_find_visit_id", "find", ["visit_id"])


def _find_host() -> None:
    op.create_table(
        "find_host",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("find_host", "entered_by", "person", nullable=True),
        refers("find_host", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("find_host", "find_id", "find", nullable=False),
        refers("find_host", "host_tree_id", "host_tree", nullable=True),
        refers("find_host", "taxon_id", "taxon", nullable=True),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("distance_m", sa.Double(), nullable=True),
        sa.Column("bearing_deg", sa.Double(), nullable=True),
        sa.Column("how_known", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_find_host"),
        sa.UniqueConstraint("uuid", name="uq_find_host_uuid"),
    )
    op.create_index("ix_find_host_find_id", "find_host", ["find_id"])
    op.create_index("ix_find_host_host_tree_id", "find_host", ["host_tree_id"])
    op.create_index("ix_find_host_taxon_id", "find_host", ["taxon_id"])


def _determination() -> None:
    op.create_table(
        "determination",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("determination", "entered_by", "person", nullable=True),
        refers("determination", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("determination", "find_id", "find", nullable=False),
        sa.Column("verbatim_name", sa.Text(), nullable=False),
        refers("determination", "taxon_id", "taxon", nullable=True),
        sa.Column("qualifier", sa.Text(), nullable=True),
        refers("determination", "determined_by", "person", nullable=False),
        sa.Column("determined_on", sa.Date(), nullable=True),
        sa.Column("verification_level", sa.Text(), nullable=False),
        sa.Column("source_used", sa.Text(), nullable=True),
        sa.Column("remarks", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_determination"),
        sa.UniqueConstraint("uuid", name="uq_determination_uuid"),
    )
    op.create_index("ix_determination_determined_by", "determination", ["determined_by"])
    op.create_index("ix_determination_find_id", "determination", ["find_id"])
    op.create_index("ix_determination_taxon_id", "determination", ["taxon_id"])


def upgrade() -> None:
    """Bring in tracks, visits, looks, finds and their names."""
    _track()
    _visit()
    _visit_person()
    _look()
    _find()
    _find_host()
    _determination()
