"""Bring in names of fungi and hosts, what is written of them, what they are mistaken for."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Instant
from sitebook.store.references import refers

revision = "0002"
down_revision = "0001"


def _taxon() -> None:
    op.create_table(
        "taxon",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("taxon", "entered_by", "person", nullable=True),
        refers("taxon", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("scientific_name", sa.Text(), nullable=False),
        sa.Column("authorship", sa.Text(), nullable=True),
        sa.Column("taxon_rank", sa.Text(), nullable=False),
        sa.Column("kingdom", sa.Text(), nullable=False),
        refers("taxon", "parent_id", "taxon", nullable=True),
        refers("taxon", "accepted_id", "taxon", nullable=True),
        sa.Column("basionym", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_taxon"),
        sa.UniqueConstraint("uuid", name="uq_taxon_uuid"),
    )
    op.create_index("ix_taxon_accepted_id", "taxon", ["accepted_id"])
    op.create_index("ix_taxon_parent_id", "taxon", ["parent_id"])


def _vernacular_name() -> None:
    op.create_table(
        "vernacular_name",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("vernacular_name", "entered_by", "person", nullable=True),
        refers("vernacular_name", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("vernacular_name", "taxon_id", "taxon", nullable=False),
        sa.Column("vernacular", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_vernacular_name"),
        sa.UniqueConstraint("uuid", name="uq_vernacular_name_uuid"),
    )
    op.create_index("ix_vernacular_name_taxon_id", "vernacular_name", ["taxon_id"])


def _taxon_trait() -> None:
    op.create_table(
        "taxon_trait",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("taxon_trait", "entered_by", "person", nullable=True),
        refers("taxon_trait", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("taxon_trait", "taxon_id", "taxon", nullable=False),
        sa.Column("trait", sa.Text(), nullable=False),
        sa.Column("qualifier", sa.Text(), nullable=True),
        sa.Column("value_text", sa.Text(), nullable=False),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.Column("source_key", sa.Text(), nullable=False),
        sa.Column("locator", sa.Text(), nullable=True),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_taxon_trait"),
        sa.UniqueConstraint("uuid", name="uq_taxon_trait_uuid"),
    )
    op.create_index("ix_taxon_trait_taxon_id", "taxon_trait", ["taxon_id"])


def _look_alike() -> None:
    op.create_table(
        "look_alike",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("look_alike", "entered_by", "person", nullable=True),
        refers("look_alike", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("look_alike", "taxon_id", "taxon", nullable=False),
        refers("look_alike", "other_id", "taxon", nullable=False),
        sa.Column("danger", sa.Text(), nullable=True),
        sa.Column("excluding_character", sa.Text(), nullable=True),
        sa.Column("source_key", sa.Text(), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_look_alike"),
        sa.UniqueConstraint("uuid", name="uq_look_alike_uuid"),
    )
    op.create_index("ix_look_alike_other_id", "look_alike", ["other_id"])
    op.create_index("ix_look_alike_taxon_id", "look_alike", ["taxon_id"])


def upgrade() -> None:
    """Bring in names of fungi and hosts, what is written of them, what they are mistaken for."""
    _taxon()
    _vernacular_name()
    _taxon_trait()
    _look_alike()
