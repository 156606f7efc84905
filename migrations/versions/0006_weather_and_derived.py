"""Bring in weather stations, their days, and kept results."""

import sqlalchemy as sa
from alembic import op

from sitebook.store.column_types import Geom, Instant
from sitebook.store.references import refers

revision = "0006"
down_revision = "0005"


def _weather_station() -> None:
    op.create_table(
        "weather_station",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uuid", sa.Text(), nullable=False),
        sa.Column("created_at", Instant(), nullable=False),
        sa.Column("changed_at", Instant(), nullable=False),
        refers("weather_station", "entered_by", "person", nullable=True),
        refers("weather_station", "batch_id", "import_batch", nullable=True),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("elevation_m", sa.Double(), nullable=True),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("rain_day_offset_d", sa.Integer(), nullable=False),
        sa.Column("own", sa.Boolean(), nullable=False),
        sa.Column("geom", Geom("POINT"), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_weather_station"),
        sa.UniqueConstraint("uuid", name="uq_weather_station_uuid"),
        sa.UniqueConstraint("code", name="uq_weather_station_code"),
    )


def _weather_day() -> None:
    op.create_table(
        "weather_day",
        sa.Column("id", sa.Integer(), nullable=False),
        refers("weather_day", "station_id", "weather_station", nullable=False),
        refers("weather_day", "batch_id", "import_batch", nullable=True),
        sa.Column("local_date", sa.Date(), nullable=False),
        sa.Column("temp_min_degc", sa.Double(), nullable=True),
        sa.Column("temp_max_degc", sa.Double(), nullable=True),
        sa.Column("rain_mm", sa.Double(), nullable=True),
        sa.Column("trace", sa.Boolean(), nullable=False),
        sa.Column("covers_days", sa.Integer(), nullable=False),
        sa.Column("flags", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_weather_day"),
        sa.UniqueConstraint("station_id", "local_date", name="uq_weather_day_station_id_local_date"),
    )


def _derived() -> None:
    op.create_table(
        "derived",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("derived_key", sa.Text(), nullable=False),
        sa.Column("input_hash", sa.Text(), nullable=False),
        sa.Column("made_at", Instant(), nullable=False),
        sa.Column("payload", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_derived"),
        sa.UniqueConstraint("kind", "derived_key", name="uq_derived_kind_derived_key"),
    )


def upgrade() -> None:
    """Bring in weather stations, their days, and kept results."""
    _weather_station()
    _weather_day()
    _derived()
