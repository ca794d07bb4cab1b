"""The tables: every night's entries, and its last snapshot. One schema for both databases.

Bodies are text, not the database's own JSON: what is read is byte for byte what was written. `migrations`
makes and changes the tables; a test holds that both say the same.
"""

from __future__ import annotations

from sqlalchemy import Column, Integer, MetaData, String, Table, Text, UniqueConstraint

REVISION = "0001"  # the last of migrations/versions

METADATA = MetaData()

ENTRIES = Table(
    "entries",
    METADATA,
    Column("night", String(200), primary_key=True),
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("id", String(64), nullable=False),
    Column("body", Text, nullable=False),
    UniqueConstraint("night", "id", name="entries_id_once"),
)

SNAPSHOTS = Table(
    "snapshots",
    METADATA,
    Column("night", String(200), primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("fold", Integer, nullable=False),
    Column("body", Text, nullable=False),
)
