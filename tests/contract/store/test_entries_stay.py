"""Raw SQL that would change, delete or replace an entry is refused by the database itself."""

from itertools import count

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError

from hearthtide.store.database import MIGRATIONS, open_database

NIGHTS = count(1)
NO = "never changed or deleted"
CHANGES = (
    "UPDATE entries SET body = 'other' WHERE night = :night",
    "UPDATE entries SET seq = 9 WHERE night = :night AND seq = 2",
    "UPDATE entries SET id = 'other' WHERE night = :night AND seq = 2",
    "UPDATE entries SET night = 'elsewhere' WHERE night = :night",
    "DELETE FROM entries WHERE night = :night",
    "DELETE FROM entries",
)
ONLY = {
    "sqlite": (
        "INSERT OR REPLACE INTO entries VALUES (:night, 2, 'x', 'other')",
        "REPLACE INTO entries VALUES (:night, 9, 'id-2', 'other')",
        "UPDATE OR REPLACE entries SET seq = 1 WHERE night = :night AND seq = 2",
        "INSERT INTO entries VALUES (:night, 2, 'x', 'o') ON CONFLICT (night, seq) DO UPDATE SET body = 'o'",
    ),
    "postgresql": (
        "TRUNCATE entries",
        "INSERT INTO entries VALUES (:night, 2, 'x', 'o') ON CONFLICT (night, seq) DO UPDATE SET body = 'o'",
        "SET session_replication_role = replica; DELETE FROM entries WHERE night = :night",
    ),
}


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request, tmp_path):
    """Where a database is, as we open it, and as anybody's SQL reaches it."""
    if request.param == "sqlite":
        return request.param, tmp_path / "nights.db", f"sqlite:///{tmp_path / 'nights.db'}"
    address = request.getfixturevalue("server")
    return request.param, address, make_url(address).set(drivername="postgresql+psycopg")


def refused(engine, night, statement):
    with pytest.raises(DBAPIError, match=NO), engine.begin() as connection:
        for one in statement.split("; "):
            connection.execute(text(one), {"night": night} if ":night" in one else {})


def test_raw_sql_that_changes_an_entry_is_refused_and_nothing_is_changed(place):
    kind, where, address = place
    night = f"kept {next(NIGHTS)}"
    with open_database(where) as database:
        log = database.log(night)
        for n in range(3):
            log.append(f"id-{n + 1}", f"body {n}", n)
        before = log.read()
        engine = create_engine(address)
        for statement in (*CHANGES, *ONLY[kind]):
            refused(engine, night, statement)
            assert log.read() == before, statement
        engine.dispose()
        assert log.append("id-4", "body 3", 3).seq == 4, "writing goes on"


def test_a_database_of_before_gets_them_when_it_is_opened(place, tmp_path):
    _, where, address = place
    if not str(where).startswith("postgresql"):
        engine = create_engine(address)
    else:
        older = f"older_{next(NIGHTS)}"
        with create_engine(address, isolation_level="AUTOCOMMIT").connect() as connection:
            connection.execute(text(f"CREATE DATABASE {older}"))
        where = where.replace("/postgres?", f"/{older}?")
        engine = create_engine(make_url(where).set(drivername="postgresql+psycopg"))
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0002")
        connection.execute(text("INSERT INTO entries VALUES ('old', 1, 'a', 'one'), ('old', 2, 'b', 'one')"))
    with engine.begin() as connection:
        assert connection.execute(text("UPDATE entries SET body = 'two'")).rowcount == 2
    with open_database(where) as database:
        assert [one.body for one in database.log("old").read()] == ["two", "two"]
    for statement in CHANGES:
        refused(engine, "old", statement)
    engine.dispose()
