"""People and passes in a database, as the board's `access` asks for them."""

from __future__ import annotations

from sqlalchemy import Engine, delete, insert, select

from hearthtide.store.faults import told_plainly
from hearthtide.store.schema import PASSES, PEOPLE


class SqlDoor:
    """Who is known here, and which tokens are good; rows are told and given as plain words."""

    def __init__(self, engine: Engine, where: str) -> None:
        self._readers, self._writers = engine, engine.execution_options(writes=True)
        self._where = where

    def people(self) -> tuple[tuple[str, str, str], ...]:
        """Name, role and kept pin of everybody, by name."""
        with told_plainly(self._where), self._readers.begin() as connection:
            rows = connection.execute(select(PEOPLE).order_by(PEOPLE.c.name)).all()
        return tuple((row.name, row.role, row.pin) for row in rows)

    def put_person(self, name: str, role: str, pin: str) -> None:
        """Writes somebody down, in place of who had that name; sessions of that name end."""
        theirs = delete(PASSES).where(PASSES.c.kind == "session", PASSES.c.name == name)
        with told_plainly(self._where), self._writers.begin() as connection:
            connection.execute(theirs)
            connection.execute(delete(PEOPLE).where(PEOPLE.c.name == name))
            connection.execute(insert(PEOPLE).values(name=name, role=role, pin=pin))

    def give(self, hash: str, kind: str, name: str, role: str, device: str, until_s: float) -> None:
        """Makes a token good until then; a session's `device` is the hash of the one it was opened on."""
        row = {"hash": hash, "kind": kind, "name": name, "role": role, "device": device, "until_s": until_s}
        with told_plainly(self._where), self._writers.begin() as connection:
            connection.execute(insert(PASSES).values(row))

    def given(self, hash: str) -> tuple[str, str, str, float] | None:
        """Kind, name, role and end of a token that was made good."""
        with told_plainly(self._where), self._readers.begin() as connection:
            row = connection.execute(select(PASSES).where(PASSES.c.hash == hash)).first()
        return None if row is None else (row.kind, row.name, row.role, row.until_s)

    def take_back(self, hash: str) -> None:
        """Makes a token good no more."""
        with told_plainly(self._where), self._writers.begin() as connection:
            connection.execute(delete(PASSES).where(PASSES.c.hash == hash))

    def take_back_all(self, kind: str, name: str) -> int:
        """Makes all tokens of that kind and name good no more, and sessions on such devices; how many."""
        which = (PASSES.c.kind == kind, PASSES.c.name == name)
        with told_plainly(self._where), self._writers.begin() as connection:
            hashes = connection.execute(select(PASSES.c.hash).where(*which)).scalars().all()
            on_them = delete(PASSES).where(PASSES.c.hash.in_(hashes) | PASSES.c.device.in_(hashes))
            connection.execute(on_them)
        return len(hashes)

    def names(self, kind: str) -> tuple[str, ...]:
        """The names that tokens of that kind were given to."""
        query = select(PASSES.c.name).where(PASSES.c.kind == kind).distinct().order_by(PASSES.c.name)
        with told_plainly(self._where), self._readers.begin() as connection:
            return tuple(connection.execute(query).scalars())

    def any_device(self) -> bool:
        """Whether any device was ever enrolled."""
        with told_plainly(self._where), self._readers.begin() as connection:
            return (
                connection.execute(select(PASSES.c.hash).where(PASSES.c.kind == "device")).first() is not None
            )
