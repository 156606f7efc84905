"""Bring in sprayings, laboratory tests and the surface of the road index."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0008"
down_revision = "0007"


def _spraying() -> None:
    op.create_table(
        "spraying",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("spraying", "entered_by", "person", nullable=True),
        refers("spraying", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("ground", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("applied_on", sa.Date(), nullable=True),
        sa.Column("applied_on_end", sa.Date(), nullable=True),
        sa.Column("method", sa.Text(), nullable=True),
        sa.Column("drift_group", sa.Text(), nullable=True),
        sa.Column("applications", sa.Integer(), nullable=False),
        sa.Column("told_by", sa.Text(), nullable=False),
        sa.Column("told_on", sa.Date(), nullable=True),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("closed_by", sa.Text(), nullable=True),
        sa.Column("closing_note", sa.Text(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("GEOMETRY"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_spraying"),
        sa.UniqueConstraint("uuid", name="uq_spraying_uuid"),
    )


def _spraying_active() -> None:
    op.create_table(
        "spraying_active",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("spraying_active", "entered_by", "person", nullable=True),
        refers("spraying_active", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("spraying_active", "spraying_id", "spraying", nullable=False),
        sa.Column("active", sa.Text(), nullable=False),
        sa.Column("rate", sa.Double(), nullable=True),
        sa.Column("rate_unit", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_spraying_active"),
        sa.UniqueConstraint("uuid", name="uq_spraying_active_uuid"),
    )
    op.create_index("ix_spraying_active_spraying_id", "spraying_active", ["spraying_id"])


def _lab_test() -> None:
    op.create_table(
        "lab_test",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("lab_test", "entered_by", "person", nullable=True),
        refers("lab_test", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("report_number", sa.Text(), nullable=False),
        refers("lab_test", "site_id", "site", nullable=True),
        refers("lab_test", "host_tree_id", "host_tree", nullable=True),
        refers("lab_test", "find_id", "find", nullable=True),
        refers("lab_test", "spraying_id", "spraying", nullable=True),
        sa.Column("sampled_on", sa.Date(), nullable=False),
        sa.Column("laboratory", sa.Text(), nullable=False),
        sa.Column("material", sa.Text(), nullable=False),
        sa.Column("part", sa.Text(), nullable=True),
        sa.Column("depth_from_cm", sa.Double(), nullable=True),
        sa.Column("depth_to_cm", sa.Double(), nullable=True),
        sa.Column("increments", sa.Integer(), nullable=True),
        sa.Column("extraction", sa.Text(), nullable=True),
        sa.Column("dry_matter_fraction", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_lab_test"),
        sa.UniqueConstraint("uuid", name="uq_lab_test_uuid"),
    )
    op.create_index("ix_lab_test_find_id", "lab_test", ["find_id"])
    op.create_index("ix_lab_test_host_tree_id", "lab_test", ["host_tree_id"])
    op.create_index("ix_lab_test_site_id", "lab_test", ["site_id"])
    op.create_index("ix_lab_test_spraying_id", "lab_test", ["spraying_id"])


def _lab_result() -> None:
    op.create_table(
        "lab_result",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("lab_result", "entered_by", "person", nullable=True),
        refers("lab_result", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("lab_result", "lab_test_id", "lab_test", nullable=False),
        sa.Column("analyte", sa.Text(), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("below_limit", sa.Boolean(), nullable=False),
        sa.Column("detection_limit", sa.Double(), nullable=True),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lab_result"),
        sa.UniqueConstraint("uuid", name="uq_lab_result_uuid"),
    )
    op.create_index("ix_lab_result_lab_test_id", "lab_result", ["lab_test_id"])


def _surface() -> None:
    op.create_table(
        "surface",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("surface_key", sa.Text(), nullable=False),
        sa.Column("input_hash", sa.Text(), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column("cell_m", sa.Double(), nullable=False),
        sa.Column("reach_m", sa.Double(), nullable=False),
        sa.Column("error_median", sa.Double(), nullable=False),
        sa.Column("error_p99", sa.Double(), nullable=False),
        sa.Column("error_points", sa.Integer(), nullable=False),
        sa.Column("geom", Geom("POLYGON"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_surface"),
        sa.UniqueConstraint("surface_key", name="uq_surface_surface_key"),
    )


def _surface_cells() -> None:
    op.create_table(
        "surface_cells",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("surface_cells", "surface_id", "surface", nullable=False),
        sa.Column("rows_count", sa.Integer(), nullable=False),
        sa.Column("columns_count", sa.Integer(), nullable=False),
        sa.Column("centre_lon", sa.Double(), nullable=False),
        sa.Column("centre_lat", sa.Double(), nullable=False),
        sa.Column("west_m", sa.Double(), nullable=False),
        sa.Column("south_m", sa.Double(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_surface_cells"),
        sa.UniqueConstraint("surface_id", name="uq_surface_cells_surface_id"),
    )


def _surface_contour() -> None:
    op.create_table(
        "surface_contour",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("surface_contour", "surface_id", "surface", nullable=False),
        sa.Column("level", sa.Double(), nullable=False),
        sa.Column("geom", Geom("MULTIPOLYGON"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_surface_contour"),
        sa.UniqueConstraint("surface_id", "level", name="uq_surface_contour_surface_id_level"),
    )


def upgrade() -> None:
    """Bring in sprayings, laboratory tests and the surface, and what a short count needs."""
    _spraying()
    _spraying_active()
    _lab_test()
    _lab_result()
    _surface()
    _surface_cells()
    _surface_contour()
    op.add_column("traffic_count", sa.Column("counted_vehicles", sa.Integer(), nullable=True))
    op.add_column("traffic_count", sa.Column("counted_minutes", sa.Double(), nullable=True))
    op.add_column("traffic_count", sa.Column("counted_hour", sa.Integer(), nullable=True))
    op.add_column("hazard", sa.Column("vehicles_per_day", sa.Double(), nullable=True))
