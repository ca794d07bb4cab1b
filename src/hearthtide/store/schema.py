"""The tables: every night's entries and its last snapshot; people and passes. One schema for both databases.

Bodies are text, not the database's own JSON: what is read is byte for byte what was written. `migrations`
makes and changes the tables; a test holds that both say the same. Triggers refuse to change or delete an
entry: whoever owns the database can take those away, and the chain of the records shows what was done then.
"""

from __future__ import annotations

from sqlalchemy import Column, Float, Integer, MetaData, String, Table, Text, UniqueConstraint

REVISION = "0003"  # the last of migrations/versions

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

# A pin is kept as what scrypt makes of it, a pass as the SHA-256 of its token: neither can be read back.
PEOPLE = Table(
    "people",
    METADATA,
    Column("name", String(80), primary_key=True),
    Column("role", String(20), nullable=False),
    Column("pin", String(200), nullable=False),
)

PASSES = Table(
    "passes",
    METADATA,
    Column("hash", String(64), primary_key=True),
    Column("kind", String(20), nullable=False),
    Column("name", String(80), nullable=False),
    Column("role", String(20), nullable=False),
    Column("device", String(64), nullable=False),  # of a session: the hash of the device it was opened on
    Column("until_s", Float, nullable=False),
)
