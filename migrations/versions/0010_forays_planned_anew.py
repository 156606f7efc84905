"""Keep where the car of a foray stood, what time a stop was asked for, and whether it was done before."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    """Add what a day planned anew at noon, and given again, needs."""
    op.add_column("foray", sa.Column("car_lon", sa.Double(), nullable=True))
    op.add_column("foray", sa.Column("car_lat", sa.Double(), nullable=True))
    op.add_column("foray_stop", sa.Column("begins_at", sa.Text(), nullable=True))
    op.add_column("foray_stop", sa.Column("done_before", sa.Boolean(), nullable=True))
