"""Who may tell a night something: people with their PINs, and passes of devices, sessions and feeds."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Adds the two tables; entries and snapshots stay as they are."""
    op.create_table(
        "people",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("pin", sa.String(200), nullable=False),
    )
    op.create_table(
        "passes",
        sa.Column("hash", sa.String(64), primary_key=True),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("device", sa.String(64), nullable=False),
        sa.Column("until_s", sa.Float, nullable=False),
    )
