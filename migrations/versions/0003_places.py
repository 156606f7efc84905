"""Bring in sites, what is allowed there, and host trees."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0003"
down_revision = "0002"


def _site() -> None:
    op.create_table(
        "site",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("site", "entered_by", "person", nullable=True),
        refers("site", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("radius_m", sa.Double(), nullable=True),
        sa.Column("wooded", sa.Boolean(), nullable=True),
        sa.Column("irrigated", sa.Boolean(), nullable=True),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("country_code", sa.Text(), nullable=True),
        sa.Column("state_province", sa.Text(), nullable=True),
        sa.Column("county", sa.Text(), nullable=True),
        sa.Column("municipality", sa.Text(), nullable=True),
        sa.Column("locality", sa.Text(), nullable=True),
        sa.Column("sensitivity", sa.Text(), nullable=False),
        sa.Column("review_on", sa.Date(), nullable=True),
        sa.Column("rest_until", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("GEOMETRY"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_site"),
        sa.UniqueConstraint("uuid", name="uq_site_uuid"),
    )


def _permission() -> None:
    op.create_table(
        "permission",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("permission", "entered_by", "person", nullable=True),
        refers("permission", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("manager", sa.Text(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("permit_number", sa.Text(), nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("daily_limit", sa.Double(), nullable=True),
        sa.Column("season_limit", sa.Double(), nullable=True),
        sa.Column("limit_unit", sa.Text(), nullable=True),
        sa.Column("per_person", sa.Boolean(), nullable=True),
        sa.Column("opens_at", sa.Text(), nullable=True),
        sa.Column("closes_at", sa.Text(), nullable=True),
        sa.Column("method_rule", sa.Text(), nullable=True),
        sa.Column("told_by", sa.Text(), nullable=True),
        sa.Column("last_checked", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("GEOMETRY"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_permission"),
        sa.UniqueConstraint("uuid", name="uq_permission_uuid"),
    )


def _permission_site() -> None:
    op.create_table(
        "permission_site",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("permission_site", "permission_id", "permission", nullable=False),
        refers("permission_site", "site_id", "site", nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_permission_site"),
        sa.UniqueConstraint("permission_id", "site_id", name="uq_permission_site_permission_id_site_id"),
    )
    op.create_index("ix_permission_site_site_id", "permission_site", ["site_id"])


def _permission_closed_day() -> None:
    op.create_table(
        "permission_closed_day",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("permission_closed_day", "permission_id", "permission", nullable=False),
        sa.Column("weekday", sa.Integer(), nullable=True),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_permission_closed_day"),
    )
    op.create_index("ix_permission_closed_day_permission_id", "permission_closed_day", ["permission_id"])


def _host_tree() -> None:
    op.create_table(
        "host_tree",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("host_tree", "entered_by", "person", nullable=True),
        refers("host_tree", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("host_tree", "site_id", "site", nullable=True),
        sa.Column("tag", sa.Text(), nullable=False),
        refers("host_tree", "taxon_id", "taxon", nullable=True),
        sa.Column("how_known", sa.Text(), nullable=False),
        sa.Column("uncertainty_m", sa.Double(), nullable=True),
        sa.Column("girth_cm", sa.Double(), nullable=True),
        sa.Column("girth_height_cm", sa.Double(), nullable=True),
        sa.Column("girth_on", sa.Date(), nullable=True),
        sa.Column("crown_radius_m", sa.Double(), nullable=True),
        sa.Column("tree_condition", sa.Text(), nullable=True),
        sa.Column("felled_on", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_host_tree"),
        sa.UniqueConstraint("uuid", name="uq_host_tree_uuid"),
    )
    op.create_index("ix_host_tree_site_id", "host_tree", ["site_id"])
    op.create_index("ix_host_tree_taxon_id", "host_tree", ["taxon_id"])


def upgrade() -> None:
    """Bring in sites, what is allowed there, and host trees."""
    _site()
    _permission()
    _permission_site()
    _permission_closed_day()
    _host_tree()
