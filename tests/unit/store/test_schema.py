"""The tables the migrations make are the tables the code speaks of; durable as promised."""

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from hearthtide.store.database import MIGRATIONS, open_database
from hearthtide.store.schema import METADATA, REVISION


def test_the_migrations_end_where_the_code_believes():
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    assert ScriptDirectory.from_config(config).get_heads() == [REVISION]


def test_a_file_of_the_first_revision_is_brought_up_and_keeps_its_entries(tmp_path):
    path, config = tmp_path / "nights.db", Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with create_engine(f"sqlite:///{path}").begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        connection.exec_driver_sql("INSERT INTO entries VALUES ('tonight', 1, 'device-a-1', 'one')")
    for _ in range(2):
        with open_database(path) as database:
            assert [entry.body for entry in database.log("tonight").read()] == ["one"]
            assert database.door().people() == ()


def test_migrated_tables_are_those_of_the_code(tmp_path):
    with open_database(tmp_path / "nights.db") as database, database._engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []


def test_every_connection_is_durable_and_several_may_read(tmp_path):
    with open_database(tmp_path / "nights.db") as database, database._engine.connect() as connection:
        asked = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous")
        }
    assert asked == {"journal_mode": "wal", "synchronous": 2}  # 2 is FULL (sqlite.org/pragma.html)


def test_an_open_file_opens_again_and_keeps_nights_apart(tmp_path):
    path = tmp_path / "a name with % and ?.db"
    with open_database(path) as database:
        database.log("tuesday").append("device-a-1", "one", 0)
        database.log("friday").append("device-a-1", "other", 0)
    with open_database(path) as database:
        assert [e.body for e in database.log("tuesday").read()] == ["one"]
        assert [e.body for e in database.log("friday").read()] == ["other"]
    assert path.exists()
