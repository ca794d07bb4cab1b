"""A house's records in a log of their own: written behind one another, each durable before it is answered."""

from __future__ import annotations

from collections.abc import Callable
from json.encoder import encode_basestring_ascii

from hearthtide.errors import StoreError
from hearthtide.safety.rules import RuleSet
from hearthtide.service.log import AlreadyThere, Log, LogMoved
from hearthtide.service.records.chain import (
    EMPTY,
    NOTHING,
    TEXT,
    Break,
    Head,
    Read,
    Walk,
    linked,
    read,
    record_of,
    sealed,
)
from hearthtide.service.records.course import lot_accepted
from hearthtide.service.records.entries import Corrected, Record
from hearthtide.service.records.ledger import Ledger, NotSo, accepted
from hearthtide.service.records.search import READING, parsed

LOG = "records"  # the name of their log in a house's database, beside those of its nights


class Tampered(StoreError):
    """The records are not what was written: nothing more is written behind them."""


class Book:
    """Records on a log. `rules` are the house's, where it has chosen some. Reads on what others wrote.

    Whoever only writes holds no readings: of years of records a small part.
    """

    def __init__(self, log: Log, rules: RuleSet | None) -> None:
        self._log, self._rules, self._read = log, rules, NOTHING
        self._head = EMPTY
        self._frame: list[Record] = []  # all that are no readings, up to the head

    def read(self) -> Read:
        """All that is written, checked: what was read before is not read again."""
        if self._read.broken is None:
            self._read = read(self._log.read(self._read.head.count), self._read)
        return self._read

    def walk(self, noted: Head | None = None) -> Walk:
        """Along all that is written, from the first entry, each one's bytes checked: for logs of years."""
        return Walk(self._log.lines(), EMPTY, noted)

    def about(self, wanted: Callable[[str], bool]) -> Ledger:
        """All entries that are no readings, and the readings whose body is wanted; all are checked.

        Raises
        ------
        Tampered
            What is there is not what was written.
        StoreError
            An entry is of a version that this one cannot read.
        """
        walk = self.walk()
        kept = {n: body[TEXT:] for n, body in enumerate(walk, 1) if READING not in body or wanted(body)}
        _whole(walk.broken)
        return Ledger(tuple(parsed(kept)))

    def head(self) -> Head:
        """Where the records end, checked on from where this book checked before. Raises Tampered."""
        walk = Walk(self._log.lines(self._head.count), self._head)
        frame: list[Record] = []
        for body in walk:
            if READING not in body:
                found = record_of(walk.head.count, body[TEXT:])
                if isinstance(found, Break):
                    raise _tampered(found)
                frame.append(found)
        _whole(walk.broken)
        self._head = walk.head
        self._frame += frame
        return self._head

    def write(self, record: Record, known: Head | None = None) -> Head:
        """Writes an entry and returns where the records end then; a repeat of an entry changes nothing.

        With `known` only behind that end: what proves the entry was worked out there.

        Raises
        ------
        LogMoved
            The records do not end at `known`.
        NotSo
            The entry cannot be written as it is.
        Tampered
            What is there is not what was written.
        """
        while True:
            head = self.head()
            if known is not None and head != known:
                raise LogMoved(known.count, head.count)
            body, after = sealed(head, record)
            there = self._log.by_id(record.id)
            if there is not None and there.seq > head.count:
                continue
            if there is not None:
                if there.body[TEXT:] != body[TEXT:]:
                    raise NotSo(f"entry {record.id} is there already. Nothing was written.")
                return head
            ledger = Ledger((*self._frame, *self._corrected(record)))
            lot_accepted(ledger, record)
            accepted(ledger, record, self._rules)
            try:
                self._log.append(record.id, body, head.count)
            except (LogMoved, AlreadyThere):
                continue
            return after

    def _corrected(self, record: Record) -> tuple[Record, ...]:
        """The reading that an entry corrects, if it corrects one."""
        if not isinstance(record.body, Corrected):
            return ()
        there = self._log.by_id(record.body.of)
        if there is None or READING not in there.body:
            return ()
        found = record_of(there.seq, there.body[TEXT:]) if linked(there) else Break(there.seq, "")
        if isinstance(found, Break):
            raise _tampered(Break(there.seq, found.words or f"entry {there.seq} is not as it was written"))
        return (found,)


def says(key: str, value: str) -> Callable[[str], bool]:
    """Whether an entry's body has a word under a key, such as its lot: for `Book.about`."""
    words = f'"{key}":{encode_basestring_ascii(value)}'
    return lambda body: words in body


def _whole(broken: Break | None) -> None:
    if broken is not None:
        raise _tampered(broken)


def _tampered(broken: Break) -> Tampered:
    words = "Keep the file as it is, and begin another."
    return Tampered(f"the records cannot be gone on with: {broken.words}. {words}")
