"""Entries stay: the database refuses to change one, to delete one and to put one in another's place."""

from alembic import op

revision = "0003"
down_revision = "0002"

SAID = "entries are never changed or deleted: write another"
# REPLACE deletes a row without asking the trigger for deleting (sqlite.org/lang_conflict.html), so a third
# one looks whether the row's place or id is taken.
SQLITE = (
    f"CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, '{SAID}'); END",
    f"CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, '{SAID}'); END",
    f"""CREATE TRIGGER entries_no_replace BEFORE INSERT ON entries
    WHEN EXISTS (SELECT 1 FROM entries WHERE night = NEW.night AND (seq = NEW.seq OR id = NEW.id))
    BEGIN SELECT RAISE(ABORT, '{SAID}'); END""",
)
# ALWAYS: a session that plays a replica skips other triggers (PostgreSQL documentation, ALTER TABLE).
POSTGRESQL = (
    f"""CREATE FUNCTION entries_stay() RETURNS trigger LANGUAGE plpgsql
    AS $$ BEGIN RAISE EXCEPTION '{SAID}' USING ERRCODE = 'restrict_violation'; END $$""",
    """CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON entries
    FOR EACH STATEMENT EXECUTE FUNCTION entries_stay()""",
    "ALTER TABLE entries ENABLE ALWAYS TRIGGER entries_stay",
)


def upgrade() -> None:
    """Adds the triggers; what is written stays as it is."""
    on_server = op.get_bind().dialect.name == "postgresql"
    for statement in POSTGRESQL if on_server else SQLITE:
        op.execute(statement)
