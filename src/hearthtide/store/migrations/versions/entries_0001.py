"""The first tables: entries and snapshots."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Makes the tables; nothing is there before."""
    op.create_table(
        "entries",
        sa.Column("night", sa.String(200), primary_key=True),
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.UniqueConstraint("night", "id", name="entries_id_once"),
    )
    op.create_table(
        "snapshots",
        sa.Column("night", sa.String(200), primary_key=True),
        sa.Column("seq", sa.Integer, nullable=False),
        sa.Column("fold", sa.Integer, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
