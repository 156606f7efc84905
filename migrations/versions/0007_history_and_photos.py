"""Bring in changes, conflicts, number blocks and photos."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0007"
down_revision = "0006"


def _change() -> None:
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act", sa.Text(), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        refers("change", "made_by", "person", nullable=True),
        sa.Column("command_name", sa.Text(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_uuid", sa.Text(), nullable=False),
        sa.Column("column_name", sa.Text(), nullable=False),
        sa.Column("old_value", sa.Text(), nullable=True),
        sa.Column("new_value", sa.Text(), nullable=True),
        sa.Column("undoes", sa.Text(), nullable=True),
        refers("change", "batch_id", "import_batch", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_change"),
    )
    op.create_index("ix_change_made_by", "change", ["made_by"])
    op.create_index("ix_change_act", "change", ["act"])
    op.create_index("ix_change_table_name_row_uuid", "change", ["table_name", "row_uuid"])


def _conflict() -> None:
    op.create_table(
        "conflict",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("conflict", "entered_by", "person", nullable=True),
        refers("conflict", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_uuid", sa.Text(), nullable=False),
        sa.Column("column_name", sa.Text(), nullable=False),
        sa.Column("base_value", sa.Text(), nullable=True),
        sa.Column("our_value", sa.Text(), nullable=True),
        sa.Column("their_value", sa.Text(), nullable=True),
        sa.Column("decided", sa.Text(), nullable=True),
        sa.Column("decided_at", Instant(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_conflict"),
        sa.UniqueConstraint("uuid", name="uq_conflict_uuid"),
    )


def _entry_line() -> None:
    op.create_table(
        "entry_line",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("entry_line", "batch_id", "import_batch", nullable=False),
        sa.Column("sheet_uuid", sa.Text(), nullable=False),
        sa.Column("entry_uuid", sa.Text(), nullable=False),
        sa.Column("entry_kind", sa.Text(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("line_sum", sa.Text(), nullable=False),
        sa.Column("line_text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_entry_line"),
        sa.UniqueConstraint("entry_uuid", "seq", "line_sum", name="uq_entry_line_entry_uuid_seq_line_sum"),
    )


def _number_block() -> None:
    op.create_table(
        "number_block",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("number_block", "entered_by", "person", nullable=True),
        refers("number_block", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("number_block", "collector_id", "person", nullable=False),
        sa.Column("first_number", sa.Integer(), nullable=False),
        sa.Column("last_number", sa.Integer(), nullable=False),
        sa.Column("reserved_for", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_number_block"),
        sa.UniqueConstraint("uuid", name="uq_number_block_uuid"),
    )
    op.create_index("ix_number_block_collector_id", "number_block", ["collector_id"])


def _photo() -> None:
    op.create_table(
        "photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("photo", "entered_by", "person", nullable=True),
        refers("photo", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("camera", sa.Text(), nullable=True),
        sa.Column("taken_at", Instant(), nullable=True),
        sa.Column("clock_offset_s", sa.Double(), nullable=False),
        sa.Column("zone_assumed", sa.Boolean(), nullable=False),
        sa.Column("uncertainty_m", sa.Double(), nullable=True),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("position_from", sa.Text(), nullable=True),
        sa.Column("tag_number", sa.Integer(), nullable=True),
        sa.Column("at_home", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_photo"),
        sa.UniqueConstraint("uuid", name="uq_photo_uuid"),
        sa.UniqueConstraint("sha256", name="uq_photo_sha256"),
    )


def _photo_tag() -> None:
    op.create_table(
        "photo_tag",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("photo_tag", "entered_by", "person", nullable=True),
        refers("photo_tag", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("tag_number", sa.Integer(), nullable=False),
        refers("photo_tag", "photo_id", "photo", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_photo_tag"),
        sa.UniqueConstraint("uuid", name="uq_photo_tag_uuid"),
    )
    op.create_index("ix_photo_tag_photo_id", "photo_tag", ["photo_id"])


def _photo_link() -> None:
    op.create_table(
        "photo_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("photo_link", "entered_by", "person", nullable=True),
        refers("photo_link", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        refers("photo_link", "photo_id", "photo", nullable=False),
        refers("photo_link", "find_id", "find", nullable=True),
        refers("photo_link", "site_id", "site", nullable=True),
        refers("photo_link", "host_tree_id", "host_tree", nullable=True),
        refers("photo_link", "visit_id", "visit", nullable=True),
        refers("photo_link", "permission_id", "permission", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_photo_link"),
        sa.UniqueConstraint("uuid", name="uq_photo_link_uuid"),
        sa.UniqueConstraint(
            "photo_id",
            "find_id",
            "site_id",
            "host_tree_id",
            "visit_id",
            "permission_id",
            name="uq_photo_link_photo_id_find_id_site_id_host_tree_id_visit_id_permission_id",
        ),
    )
    op.create_index("ix_photo_link_find_id", "photo_link", ["find_id"])
    op.create_index("ix_photo_link_host_tree_id", "photo_link", ["host_tree_id"])
    op.create_index("ix_photo_link_permission_id", "photo_link", ["permission_id"])
    op.create_index("ix_photo_link_site_id", "photo_link", ["site_id"])
    op.create_index("ix_photo_link_visit_id", "photo_link", ["visit_id"])


def _photo_thumbnail() -> None:
    op.create_table(
        "photo_thumbnail",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("photo_thumbnail", "photo_id", "photo", nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_photo_thumbnail"),
        sa.UniqueConstraint("photo_id", name="uq_photo_thumbnail_photo_id"),
    )


def upgrade() -> None:
    """Bring in changes, conflicts, number blocks and photos."""
    _change()
    _conflict()
    _entry_line()
    _number_block()
    _photo()
    _photo_tag()
    _photo_link()
    _photo_thumbnail()
    for table in ("site", "host_tree"):
        op.execute(f"ALTER TABLE {table} ADD COLUMN merged_into INTEGER REFERENCES {table} (id)")
        op.create_index(f"ix_{table}_merged_into", table, ["merged_into"])
