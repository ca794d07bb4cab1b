"""The append-only log a night is kept in, as the service asks for it; and one in memory, for tests.

A log holds one night. Entries are numbered from 1 without a gap, each under an id that stands once. The log
knows nothing of what its bodies mean. A snapshot only saves folding: losing one loses nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Protocol

from hearthtide.errors import HearthtideError

Line = tuple[int, str, str]  # an entry's number, id and text


@dataclass(frozen=True)
class Entry:
    """One thing written: its number, the id a device made for it, its text."""

    seq: int
    id: str
    body: str


@dataclass(frozen=True)
class Snapshot:
    """A folded state as text: of all entries up to `seq`, by the fold of version `fold`."""

    seq: int
    fold: int
    body: str


class LogMoved(HearthtideError):
    """The log does not end where the writer believed: somebody else wrote. Read on and try again."""

    def __init__(self, expected: int, last: int) -> None:
        self.expected, self.last = expected, last
        super().__init__(f"the log ends at entry {last} (expected {expected}). Read on from there.")


class AlreadyThere(HearthtideError):
    """The id stands in the log already, with the entry it stands at."""

    def __init__(self, entry: Entry) -> None:
        self.entry = entry
        super().__init__(f"{entry.id} stands in the log already, as entry {entry.seq}. Nothing was written.")


class Log(Protocol):
    """What the service needs of a log. Every method may raise StoreError, and then nothing was written."""

    def append(self, id: str, body: str, after: int) -> Entry:
        """Writes an entry behind entry `after` (0: the first) and returns once it is durable.

        Raises
        ------
        LogMoved
            The log does not end at `after`.
        AlreadyThere
            The log ends there and holds the id.
        """

    def read(self, after: int = 0) -> Sequence[Entry]:
        """All entries behind entry `after`, in order."""

    def lines(self, after: int = 0) -> Iterator[Line]:
        """The same one by one, as bare number, id and text, none of them held: for logs of years."""

    def by_id(self, id: str) -> Entry | None:
        """The entry under an id."""

    def keep(self, snapshot: Snapshot) -> None:
        """Keeps a snapshot in place of the one before it."""

    def snapshot(self) -> Snapshot | None:
        """The last snapshot kept."""


class MemoryLog:
    """A log that forgets everything at the end of the program."""

    def __init__(self) -> None:
        self._entries: list[Entry] = []
        self._by_id: dict[str, Entry] = {}
        self._snapshot: Snapshot | None = None
        self._lock = Lock()

    def append(self, id: str, body: str, after: int) -> Entry:
        with self._lock:
            if after != len(self._entries):
                raise LogMoved(after, len(self._entries))
            if id in self._by_id:
                raise AlreadyThere(self._by_id[id])
            entry = Entry(after + 1, id, body)
            self._entries.append(entry)
            self._by_id[id] = entry
            return entry

    def read(self, after: int = 0) -> Sequence[Entry]:
        return tuple(self._entries[after:])

    def lines(self, after: int = 0) -> Iterator[Line]:
        return ((one.seq, one.id, one.body) for one in self.read(after))

    def by_id(self, id: str) -> Entry | None:
        return self._by_id.get(id)

    def keep(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot

    def snapshot(self) -> Snapshot | None:
        return self._snapshot
