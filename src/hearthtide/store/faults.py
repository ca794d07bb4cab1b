"""What a database says when it cannot, told as a StoreError: what is wrong and what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from hearthtide.errors import StoreError

AGAIN = "Nothing was half written; then tell it again."
# By the beginning of SQLite's own name for the fault (sqlite.org/rescode.html).
_SQLITE = {
    "SQLITE_FULL": ("the disk is full", f"Free some space. {AGAIN}"),
    "SQLITE_READONLY": (
        "it may not be written",
        f"Give this user the right to write it and its folder. {AGAIN}",
    ),
    "SQLITE_IOERR": (
        "the disk does not answer as it should",
        f"Look at the disk and its free space. {AGAIN}",
    ),
    "SQLITE_CANTOPEN": (
        "it cannot be opened",
        "Name a file in a folder that is there and that this user may read and write.",
    ),
    "SQLITE_BUSY": ("another program holds it", f"Stop that program. {AGAIN}"),
    "SQLITE_CORRUPT": ("it is damaged", "Keep the file as it is, and go on with a copy kept elsewhere."),
    "SQLITE_NOTADB": ("it is no database", "Name the file that the nights are kept in, or a new one."),
}
# By SQLSTATE (PostgreSQL documentation, appendix A).
_POSTGRES = {
    "53100": ("the server's disk is full", f"Free some space there. {AGAIN}"),
    "53300": ("the server has too many connections", f"Close some, or allow more. {AGAIN}"),
    "25006": ("the server takes no writing", f"Connect to the one that does. {AGAIN}"),
    "42501": ("this user may not", "Have the right to create tables and write them given to it."),
    "28P01": ("the password is wrong", "Correct it."),
    "3D000": ("the database is not there", "Create it, or correct its name."),
}
_LOST = (
    "the server does not answer",
    "Look at the server and the network, then tell it again: nothing is written twice.",
)


@contextmanager
def told_plainly(where: str) -> Iterator[None]:
    """Raises what the database raises as a StoreError that names `where`."""
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as err:
        what, remedy = _facts(err)
        raise StoreError(f"{where}: {what}. {remedy}") from err


def _facts(err: Exception) -> tuple[str, str]:
    cause = err.orig if isinstance(err, DBAPIError) else err
    if isinstance(cause, sqlite3.Error):
        name = getattr(cause, "sqlite_errorname", "")
        known = next((told for start, told in _SQLITE.items() if name.startswith(start)), None)
        return known or (f"the database says: {cause} ({name})", AGAIN)
    state = getattr(cause, "sqlstate", None) or ""
    if state in _POSTGRES:
        return _POSTGRES[state]
    if isinstance(err, DBAPIError) and (not state or state.startswith(("08", "57P"))):
        return _LOST
    words = " ".join(str(cause).split())
    return f"the database says: {words}", AGAIN
