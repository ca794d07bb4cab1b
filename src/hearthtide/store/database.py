"""A database of nights: a file on this machine, or a PostgreSQL server that several share."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Self

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from hearthtide.errors import StoreError
from hearthtide.store.door import SqlDoor
from hearthtide.store.faults import told_plainly
from hearthtide.store.schema import REVISION
from hearthtide.store.sql_log import SqlLog

WAIT_S = 10  # for another program that is writing; own choice
MIGRATIONS = Path(__file__).parent / "migrations"
_ONE_AT_A_TIME = 7_304_117  # of PostgreSQL's advisory locks: our own number, held while tables are made


class Database:
    """An open database whose tables are as this version wants them."""

    def __init__(self, engine: Engine, where: str) -> None:
        self._engine, self._where = engine, where

    def log(self, night: str) -> SqlLog:
        """One night's log; a night is named by whoever opens it, such as `brindlecote/2026-03-06`.

        Raises ValueError for a name that is empty or longer than 200 characters.
        """
        if not 0 < len(night) <= 200:
            raise ValueError(f"night {night!r}: expected a name of 1 to 200 characters")
        return SqlLog(self._engine, self._where, night)

    def door(self) -> SqlDoor:
        """Who may tell nights of this database something."""
        return SqlDoor(self._engine, self._where)

    def close(self) -> None:
        """Lets go of the file or the server."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def open_database(where: str | Path) -> Database:
    """The database in a file (made when it is not there), or behind a `postgresql://` address.

    Raises
    ------
    StoreError
        It cannot be opened or made, it is no database of ours, or a newer version made it.
    """
    place = str(where)
    engine, shown = _postgres(place) if "://" in place else (_sqlite(Path(where)), place)
    try:
        with told_plainly(shown):
            _brought_up(engine, shown)
    except BaseException:
        engine.dispose()
        raise
    return Database(engine, shown)


def _sqlite(path: Path) -> Engine:
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": WAIT_S})

    @event.listens_for(engine, "connect")
    def _durable(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # transactions begin as `_begin` says
        (mode,) = connection.execute("PRAGMA journal_mode=WAL").fetchone()
        if mode != "wal":
            raise StoreError(
                f"{path}: its disk cannot keep a log that several read (it stays in mode `{mode}`). "
                "Name a file on a disk of this machine, not on a network drive."
            )
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("PRAGMA fullfsync=ON")  # macOS keeps data in the drive's own memory otherwise

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def _postgres(address: str) -> tuple[Engine, str]:
    try:
        url = make_url(address)
    except (ArgumentError, ValueError):  # ValueError: a port that is no number
        raise StoreError(
            "the database's address cannot be read. Write `postgresql://user@host/name`."
        ) from None
    shown = url.render_as_string(hide_password=True)
    if url.drivername not in ("postgresql", "postgresql+psycopg"):
        raise StoreError(f"{shown}: expected a file, or an address such as `postgresql://user@host/name`.")
    try:
        import psycopg  # noqa: F401
    except ImportError:
        raise StoreError(
            f"{shown}: PostgreSQL needs one more package. Install `hearthtide[postgres]`."
        ) from None
    # Acknowledged is durable, whatever the server's own setting.
    options = {"options": "-c synchronous_commit=on", "connect_timeout": WAIT_S}
    engine = create_engine(url.set(drivername="postgresql+psycopg"), connect_args=options, pool_pre_ping=True)
    return engine, shown


def _brought_up(engine: Engine, shown: str) -> None:
    """Makes the tables, or brings older ones up to this version; one program at a time."""
    if _revision(engine) == REVISION:
        return
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _ONE_AT_A_TIME})
        _migrate(connection, shown)


def _revision(engine: Engine) -> str | None:
    with engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def _migrate(connection: Connection, shown: str) -> None:
    from alembic import command
    from alembic.config import Config
    from alembic.util import CommandError

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    try:
        command.upgrade(config, "head")
    except CommandError as err:
        raise StoreError(
            f"{shown}: a newer version of Hearthtide made it ({err}). Open it with that one."
        ) from err
