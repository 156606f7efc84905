"""Bring in forays with their stops, and what finds of a taxon are worth."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0009"
down_revision = "0008"


def _foray() -> None:
    op.create_table(
        "foray",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("foray", "entered_by", "person", nullable=True),
        refers("foray", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("local_date", sa.Date(), nullable=False),
        sa.Column("starts_at", sa.Text(), nullable=False),
        sa.Column("ends_at", sa.Text(), nullable=False),
        sa.Column("mode", sa.Text(), nullable=False),
        sa.Column("searchers", sa.Integer(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("end_lon", sa.Double(), nullable=True),
        sa.Column("end_lat", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_foray"),
        sa.UniqueConstraint("uuid", name="uq_foray_uuid"),
    )


def _foray_stop() -> None:
    op.create_table(
        "foray_stop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("foray_stop", "entered_by", "person", nullable=True),
        refers("foray_stop", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("foray_stop", "foray_id", "foray", nullable=False),
        refers("foray_stop", "site_id", "site", nullable=False),
        refers("foray_stop", "visit_id", "visit", nullable=True),
        sa.Column("turn", sa.Integer(), nullable=True),
        sa.Column("purpose", sa.Text(), nullable=False),
        sa.Column("arrives_at", sa.Text(), nullable=True),
        sa.Column("stay_minutes", sa.Double(), nullable=True),
        sa.Column("chance", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_foray_stop"),
        sa.UniqueConstraint("uuid", name="uq_foray_stop_uuid"),
    )
    op.create_index("ix_foray_stop_foray_id", "foray_stop", ["foray_id"])
    op.create_index("ix_foray_stop_site_id", "foray_stop", ["site_id"])
    op.create_index("ix_foray_stop_visit_id", "foray_stop", ["visit_id"])


def _taxon_weight() -> None:
    op.create_table(
        "taxon_weight",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("taxon_weight", "entered_by", "person", nullable=True),
        refers("taxon_weight", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("taxon_weight", "person_id", "person", nullable=False),
        refers("taxon_weight", "taxon_id", "taxon", nullable=False),
        sa.Column("weight", sa.Double(), nullable=False),
        sa.Column("fewest_bodies", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_taxon_weight"),
        sa.UniqueConstraint("uuid", name="uq_taxon_weight_uuid"),
        sa.UniqueConstraint("person_id", "taxon_id", name="uq_taxon_weight_person_id_taxon_id"),
    )
    op.create_index("ix_taxon_weight_taxon_id", "taxon_weight", ["taxon_id"])


def upgrade() -> None:
    """Bring in forays with their stops, and what finds of a taxon are worth."""
    _foray()
    _foray_stop()
    _taxon_weight()
