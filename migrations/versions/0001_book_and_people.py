"""Bring in the book, its people, settings and imports."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0001"
down_revision = None


def _person() -> None:
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("person", "entered_by", "person", nullable=True),
        refers("person", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("initials", sa.Text(), nullable=False),
        sa.Column("body_mass_kg", sa.Double(), nullable=True),
        sa.Column("contact", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("initials", name="uq_person_initials"),
        sa.UniqueConstraint("uuid", name="uq_person_uuid"),
    )


def _book() -> None:
    op.create_table(
        "book",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        refers("book", "owner_id", "person", nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("units", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_with", sa.Text(), nullable=False),
        sa.Column("geom", Geom("POLYGON"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_book"),
        sa.UniqueConstraint("uuid", name="uq_book_uuid"),
    )
    op.create_index("ix_book_owner_id", "book", ["owner_id"])


def _setting() -> None:
    op.create_table(
        "setting",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("setting", "person_id", "person", nullable=True),
        sa.Column("setting_key", sa.Text(), nullable=False),
        sa.Column("value_text", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_setting"),
        sa.UniqueConstraint("person_id", "setting_key", name="uq_setting_person_id_setting_key"),
    )


def _import_batch() -> None:
    op.create_table(
        "import_batch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("file_name", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("recognised_as", sa.Text(), nullable=False),
        refers("import_batch", "made_by", "person", nullable=True),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column("counts_text", sa.Text(), nullable=False),
        sa.Column("undone_at", Instant(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_import_batch"),
        sa.UniqueConstraint("sha256", name="uq_import_batch_sha256"),
        sa.UniqueConstraint("uuid", name="uq_import_batch_uuid"),
    )
    op.create_index("ix_import_batch_made_by", "import_batch", ["made_by"])


def _refused_line() -> None:
    op.create_table(
        "refused_line",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("refused_line", "batch_id", "import_batch", nullable=False),
        sa.Column("line_number", sa.Integer(), nullable=True),
        sa.Column("sorted_as", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("line_text", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_refused_line"),
    )


def upgrade() -> None:
    """Bring in the book, its people, settings and imports."""
    _person()
    _book()
    _setting()
    _import_batch()
    _refused_line()
