"""Bring in changes, conflicts, number blocks and photos."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    op.create_table(
        "change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("act", sa.Text(), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column(
            "made_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_change_made_by_person"),
            nullable=True,
        ),
        sa.Column("command_name", sa.Text(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_uuid", sa.Text(), nullable=False),
        sa.Column("column_name", sa.Text(), nullable=False),
        sa.Column("old_value", sa.Text(), nullable=True),
        sa.Column("new_value", sa.Text(), nullable=True),
        sa.Column("undoes", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_change"),
    )
    op.create_index("ix_change_made_by", "change", ["made_by"])

    op.create_table(
        "conflict",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        sa.Column(
            "entered_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_conflict_entered_by_person"),
            nullable=True,
        ),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_conflict_batch_id_import_batch"),
            nullable=True,
        ),
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

    op.create_table(
        "entry_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_entry_line_batch_id_import_batch"),
            nullable=False,
        ),
        sa.Column("sheet_uuid", sa.Text(), nullable=False),
        sa.Column("entry_uuid", sa.Text(), nullable=False),
        sa.Column("entry_kind", sa.Text(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("line_sum", sa.Text(), nullable=False),
        sa.Column("line_text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_entry_line"),
        sa.UniqueConstraint("entry_uuid", "seq", "line_sum", name="uq_entry_line_entry_uuid_seq_line_sum"),
    )

    op.create_table(
        "number_block",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        sa.Column(
            "entered_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_number_block_entered_by_person"),
            nullable=True,
        ),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_number_block_batch_id_import_batch"),
            nullable=True,
        ),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column(
            "collector_id",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_number_block_collector_id_person"),
            nullable=False,
        ),
        sa.Column("first_number", sa.Integer(), nullable=False),
        sa.Column("last_number", sa.Integer(), nullable=False),
        sa.Column("reserved_for", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_number_block"),
        sa.UniqueConstraint("uuid", name="uq_number_block_uuid"),
    )
    op.create_index("ix_number_block_collector_id", "number_block", ["collector_id"])

    op.create_table(
        "photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        sa.Column(
            "entered_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_photo_entered_by_person"),
            nullable=True,
        ),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_photo_batch_id_import_batch"),
            nullable=True,
        ),
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

    op.create_table(
        "photo_tag",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        sa.Column(
            "entered_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_photo_tag_entered_by_person"),
            nullable=True,
        ),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_photo_tag_batch_id_import_batch"),
            nullable=True,
        ),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("tag_number", sa.Integer(), nullable=False),
        sa.Column(
            "photo_id",
            sa.Integer(),
            sa.ForeignKey("photo.id", name="fk_photo_tag_photo_id_photo"),
            nullable=True,
        ),
        sa.PrimaryKeyConstraint("id", name="pk_photo_tag"),
        sa.UniqueConstraint("uuid", name="uq_photo_tag_uuid"),
    )
    op.create_index("ix_photo_tag_photo_id", "photo_tag", ["photo_id"])

    op.create_table(
        "photo_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        sa.Column(
            "entered_by",
            sa.Integer(),
            sa.ForeignKey("person.id", name="fk_photo_link_entered_by_person"),
            nullable=True,
        ),
        sa.Column(
            "batch_id",
            sa.Integer(),
            sa.ForeignKey("import_batch.id", name="fk_photo_link_batch_id_import_batch"),
            nullable=True,
        ),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column(
            "photo_id",
            sa.Integer(),
            sa.ForeignKey("photo.id", name="fk_photo_link_photo_id_photo"),
            nullable=False,
        ),
        sa.Column(
            "find_id",
            sa.Integer(),
            sa.ForeignKey("find.id", name="fk_photo_link_find_id_find"),
            nullable=True,
        ),
        sa.Column(
            "site_id",
            sa.Integer(),
            sa.ForeignKey("site.id", name="fk_photo_link_site_id_site"),
            nullable=True,
        ),
        sa.Column(
            "host_tree_id",
            sa.Integer(),
            sa.ForeignKey("host_tree.id", name="fk_photo_link_host_tree_id_host_tree"),
            nullable=True,
        ),
        sa.Column(
            "visit_id",
            sa.Integer(),
            sa.ForeignKey("visit.id", name="fk_photo_link_visit_id_visit"),
            nullable=True,
        ),
        sa.Column(
            "permission_id",
            sa.Integer(),
            sa.ForeignKey("permission.id", name="fk_photo_link_permission_id_permission"),
            nullable=True,
        ),
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

    op.create_table(
        "photo_thumbnail",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column(
            "photo_id",
            sa.Integer(),
            sa.ForeignKey("photo.id", name="fk_photo_thumbnail_photo_id_photo"),
            nullable=False,
        ),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_photo_thumbnail"),
        sa.UniqueConstraint("photo_id", name="uq_photo_thumbnail_photo_id"),
    )
    for table in ("site", "host_tree"):
        op.execute(f"ALTER TABLE {table} ADD COLUMN merged_into INTEGER REFERENCES {table} (id)")
        op.create_index(f"ix_{table}_merged_into", table, ["merged_into"])
