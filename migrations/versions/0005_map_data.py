"""Bring in what map extracts hold, counts and hazards."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0005"
down_revision = "0004"


def _extract() -> None:
    op.create_table(
        "extract",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("extract", "entered_by", "person", nullable=True),
        refers("extract", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("data_date", sa.Date(), nullable=True),
        sa.Column("attribution", sa.Text(), nullable=False),
        refers("extract", "superseded_by", "extract", nullable=True),
        sa.Column("geom", Geom("POLYGON"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_extract"),
        sa.UniqueConstraint("uuid", name="uq_extract_uuid"),
        sa.UniqueConstraint("sha256", name="uq_extract_sha256"),
    )
    op.create_index("ix_extract_superseded_by", "extract", ["superseded_by"])


def _way() -> None:
    op.create_table(
        "way",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("osm_ref", sa.Text(), nullable=True),
        refers("way", "extract_id", "extract", nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("raw_tags", sa.Text(), nullable=True),
        sa.Column("road_class", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("width_m", sa.Double(), nullable=True),
        sa.Column("lanes", sa.Double(), nullable=True),
        sa.Column("oneway", sa.Boolean(), nullable=False),
        sa.Column("tunnel", sa.Boolean(), nullable=False),
        sa.Column("bridge", sa.Boolean(), nullable=False),
        sa.Column("layer", sa.Integer(), nullable=False),
        sa.Column("link", sa.Boolean(), nullable=False),
        sa.Column("foot_access", sa.Text(), nullable=True),
        sa.Column("bicycle_access", sa.Text(), nullable=True),
        sa.Column("motor_access", sa.Text(), nullable=True),
        sa.Column("surface", sa.Text(), nullable=True),
        sa.Column("geom", Geom("LINESTRING"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_way"),
        sa.UniqueConstraint("uuid", name="uq_way_uuid"),
    )
    op.create_index("ix_way_extract_id", "way", ["extract_id"])
    op.create_index("ix_way_osm_ref", "way", ["osm_ref"])


def _land_cover() -> None:
    op.create_table(
        "land_cover",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("osm_ref", sa.Text(), nullable=True),
        refers("land_cover", "extract_id", "extract", nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("raw_tags", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("geom", Geom("MULTIPOLYGON"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_land_cover"),
        sa.UniqueConstraint("uuid", name="uq_land_cover_uuid"),
    )
    op.create_index("ix_land_cover_extract_id", "land_cover", ["extract_id"])
    op.create_index("ix_land_cover_osm_ref", "land_cover", ["osm_ref"])


def _map_point() -> None:
    op.create_table(
        "map_point",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("osm_ref", sa.Text(), nullable=True),
        refers("map_point", "extract_id", "extract", nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("raw_tags", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_map_point"),
        sa.UniqueConstraint("uuid", name="uq_map_point_uuid"),
    )
    op.create_index("ix_map_point_extract_id", "map_point", ["extract_id"])
    op.create_index("ix_map_point_osm_ref", "map_point", ["osm_ref"])


def _mapped_tree() -> None:
    op.create_table(
        "mapped_tree",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("osm_ref", sa.Text(), nullable=True),
        refers("mapped_tree", "extract_id", "extract", nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("raw_tags", sa.Text(), nullable=True),
        sa.Column("verbatim_name", sa.Text(), nullable=True),
        sa.Column("girth_cm", sa.Double(), nullable=True),
        sa.Column("geom", Geom("POINT"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_mapped_tree"),
        sa.UniqueConstraint("uuid", name="uq_mapped_tree_uuid"),
    )
    op.create_index("ix_mapped_tree_extract_id", "mapped_tree", ["extract_id"])
    op.create_index("ix_mapped_tree_osm_ref", "mapped_tree", ["osm_ref"])


def _traffic_count() -> None:
    op.create_table(
        "traffic_count",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("traffic_count", "entered_by", "person", nullable=True),
        refers("traffic_count", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("vehicles_per_day", sa.Double(), nullable=False),
        sa.Column("counts_directions", sa.Text(), nullable=False),
        sa.Column("heavy_share", sa.Double(), nullable=True),
        sa.Column("counted_on", sa.Date(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("geom", Geom("POINT"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_traffic_count"),
        sa.UniqueConstraint("uuid", name="uq_traffic_count_uuid"),
    )


def _hazard() -> None:
    op.create_table(
        "hazard",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("hazard", "entered_by", "person", nullable=True),
        refers("hazard", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("standing", sa.Text(), nullable=False),
        sa.Column("past_use", sa.Text(), nullable=True),
        sa.Column("data_date", sa.Date(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("osm_ref", sa.Text(), nullable=True),
        refers("hazard", "extract_id", "extract", nullable=True),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("raw_tags", sa.Text(), nullable=True),
        sa.Column("geom", Geom("GEOMETRY"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_hazard"),
        sa.UniqueConstraint("uuid", name="uq_hazard_uuid"),
    )
    op.create_index("ix_hazard_extract_id", "hazard", ["extract_id"])
    op.create_index("ix_hazard_osm_ref", "hazard", ["osm_ref"])


def upgrade() -> None:
    """Bring in what map extracts hold, counts and hazards."""
    _extract()
    _way()
    _land_cover()
    _map_point()
    _mapped_tree()
    _traffic_count()
    _hazard()
