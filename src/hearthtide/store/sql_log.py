"""One night's log in a database, as the service asks for it (`service.log.Log`)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sqlalchemy import Connection, Engine, RowMapping, func, insert, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import IntegrityError

from hearthtide.service.log import AlreadyThere, Entry, Line, LogMoved, Snapshot
from hearthtide.store.faults import told_plainly
from hearthtide.store.schema import ENTRIES, SNAPSHOTS

AT_ONCE = 200  # rows fetched from the database in one go: more are no faster, and are held; own choice


class SqlLog:
    """Entries of one night. An append is durable when it returns; it was rolled back when it raises."""

    def __init__(self, engine: Engine, where: str, night: str) -> None:
        self._readers, self._writers = engine, engine.execution_options(writes=True)
        self._where, self._night = where, night

    def append(self, id: str, body: str, after: int) -> Entry:
        """See `service.log.Log.append`."""
        with told_plainly(self._where):
            try:
                with self._writers.begin() as connection:
                    self._check(connection, id, after)
                    row = {"night": self._night, "seq": after + 1, "id": id, "body": body}
                    connection.execute(insert(ENTRIES).values(row))
            except IntegrityError:
                # Another program wrote between the check and the insert; a key of the table stopped us.
                with self._readers.begin() as connection:
                    self._check(connection, id, after)
                raise
        return Entry(after + 1, id, body)

    def _check(self, connection: Connection, id: str, after: int) -> None:
        """Raises unless an entry under that id may follow entry `after`."""
        last = connection.execute(
            select(func.coalesce(func.max(ENTRIES.c.seq), 0)).where(ENTRIES.c.night == self._night)
        ).scalar_one()
        if last != after:
            raise LogMoved(after, last)
        found = self._found(connection, id)
        if found is not None and found.seq > after:  # written since the line above looked
            raise LogMoved(after, found.seq)
        if found is not None:
            raise AlreadyThere(found)

    def _found(self, connection: Connection, id: str) -> Entry | None:
        query = select(ENTRIES).where(ENTRIES.c.night == self._night, ENTRIES.c.id == id)
        row = connection.execute(query).mappings().first()
        return None if row is None else _entry(row)

    def read(self, after: int = 0) -> Sequence[Entry]:
        """See `service.log.Log.read`."""
        return tuple(Entry(*line) for line in self.lines(after))

    def lines(self, after: int = 0) -> Iterator[Line]:
        """See `service.log.Log.lines`."""
        query = (
            select(ENTRIES.c.seq, ENTRIES.c.id, ENTRIES.c.body)
            .where(ENTRIES.c.night == self._night, ENTRIES.c.seq > after)
            .order_by(ENTRIES.c.seq)
        )
        with told_plainly(self._where), self._readers.begin() as connection:
            rows = connection.execution_options(yield_per=AT_ONCE).execute(query)
            for some in rows.partitions():
                yield from some

    def by_id(self, id: str) -> Entry | None:
        """See `service.log.Log.by_id`."""
        with told_plainly(self._where), self._readers.begin() as connection:
            return self._found(connection, id)

    def keep(self, snapshot: Snapshot) -> None:
        """See `service.log.Log.keep`."""
        row = {"seq": snapshot.seq, "fold": snapshot.fold, "body": snapshot.body}
        with told_plainly(self._where), self._writers.begin() as connection:
            on_server = connection.dialect.name == "postgresql"
            new: postgresql.Insert | sqlite.Insert = (
                postgresql.insert(SNAPSHOTS) if on_server else sqlite.insert(SNAPSHOTS)
            )
            new = new.values(night=self._night, **row)
            connection.execute(new.on_conflict_do_update(index_elements=["night"], set_=row))

    def snapshot(self) -> Snapshot | None:
        """See `service.log.Log.snapshot`."""
        query = select(SNAPSHOTS).where(SNAPSHOTS.c.night == self._night)
        with told_plainly(self._where), self._readers.begin() as connection:
            row = connection.execute(query).mappings().first()
        return None if row is None else Snapshot(row["seq"], row["fold"], row["body"])


def _entry(row: RowMapping) -> Entry:
    return Entry(row["seq"], row["id"], row["body"])
