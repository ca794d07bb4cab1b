"""Entries chained by their hashes: what was altered, taken out or put in shows, and where.

Each link is the SHA-256 of the hash before it, its number and its entry's own bytes. Cutting off the end
shows only against a head that was kept elsewhere, such as on a print: so every export carries it. Writing the
whole chain anew from some entry on shows in the same way, and in no other. Nothing is remembered as checked:
whoever reads the records checks them all, from the first.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from json.encoder import encode_basestring_ascii

from pydantic import ValidationError

from hearthtide.service.commands import plain_text
from hearthtide.service.log import Entry, Line
from hearthtide.service.records.entries import RECORD, Record

WIDE = 64  # hexadecimal digits of a SHA-256
TEXT = 2 * WIDE  # where an entry's text begins in its body, behind the hash before and its own
GENESIS = "0" * WIDE


@dataclass(frozen=True)
class Head:
    """Where the records end: how many entries, and the hash of the last."""

    count: int
    hash: str

    @property
    def words(self) -> str:
        return f"{self.count}:{self.hash}"


EMPTY = Head(0, GENESIS)


@dataclass(frozen=True)
class Break:
    """The first place at which the records are not what was written."""

    seq: int
    words: str


@dataclass(frozen=True)
class Read:
    """Records as far as they are whole, where they end, and what is wrong after that; None: nothing."""

    records: tuple[Record, ...]
    head: Head
    broken: Break | None


NOTHING = Read((), EMPTY, None)


def sealed(head: Head, record: Record) -> tuple[str, Head]:
    """A record's text in the log behind `head`, and where the records end with it."""
    text = plain_text(RECORD.dump_python(record, mode="json"))
    link = _hash(head, text)
    return f"{head.hash}{link}{text}", Head(head.count + 1, link)


def parts(entry: Entry) -> tuple[str, str, str]:
    """The hash before an entry, its own, and its text, as its body holds them behind one another."""
    return entry.body[:WIDE], entry.body[WIDE:TEXT], entry.body[TEXT:]


def _hash(head: Head, text: str) -> str:
    return hashlib.sha256(f"{head.hash}\n{head.count + 1}\n{text}".encode()).hexdigest()


class Walk:
    """Goes along a chain behind `head` and checks every entry's bytes; what they mean is not read.

    Gives the entries' bodies, each checked, until the end or the first that is not what was written. `head`
    is where the walk has come to, `broken` what is wrong after it; None: nothing. `noted` is an end that was
    kept elsewhere: the chain must go through it.
    """

    def __init__(self, lines: Iterable[Line], head: Head = EMPTY, noted: Head | None = None) -> None:
        self._lines, self._count, self._hash, self._noted = lines, head.count, head.hash, noted
        self.broken: Break | None = None

    @property
    def head(self) -> Head:
        """Where the walk has come to."""
        return Head(self._count, self._hash)

    def __iter__(self) -> Iterator[str]:
        seq, link, sha256 = self._count, self._hash, hashlib.sha256
        noted = -1 if self._noted is None else self._noted.count
        for there, id, body in self._lines:
            said, text = body[WIDE:TEXT], body[TEXT:]
            if (
                there != seq + 1
                or body[:WIDE] != link
                or sha256(f"{link}\n{there}\n{text}".encode()).hexdigest() != said
                or f',"id":{encode_basestring_ascii(id)},"offset_min":' not in text
            ):
                self.broken = _why(there, body, self.head)
                return
            if there == noted and self._noted is not None and said != self._noted.hash:
                words = f"entry {there} is not the one that was noted: the chain was written anew"
                self.broken = Break(there, words)
                return
            seq, link = there, said
            self._count, self._hash = seq, link
            yield body
        if seq < noted:
            self.broken = Break(seq + 1, f"{noted} entries were noted, {seq} are here: the end was cut off")


def _why(there: int, body: str, head: Head) -> Break:
    """What is wrong with the entry behind `head`."""
    seq = head.count + 1
    if there != seq:
        return Break(seq, f"entry {seq} is missing: entry {there} comes next")
    if body[:WIDE] != head.hash:
        words = f"entry {seq} does not follow the one before it: one was put in, taken out or altered"
        return Break(seq, words)
    if body[WIDE:TEXT] != _hash(head, body[TEXT:]):
        return Break(seq, f"entry {seq} is not as it was written")
    return Break(seq, f"entry {seq} is not as it was written: its id in the table is another")


def linked(entry: Entry) -> bool:
    """Whether an entry by itself is as it was written behind the hash it names."""
    before, said, text = parts(entry)
    return said == _hash(Head(entry.seq - 1, before), text)


def record_of(seq: int, text: str) -> Record | Break:
    """What an entry's text means; a break where this version cannot read it."""
    try:
        return RECORD.validate_json(text)
    except ValidationError as err:
        return Break(seq, f"entry {seq} is of another version: {err.errors()[0]['msg']}")


def read(entries: Iterable[Entry], before: Read = NOTHING) -> Read:
    """Reads and checks a chain from where it was read `before`."""
    walk = Walk(((one.seq, one.id, one.body) for one in entries), before.head)
    head, records = before.head, list(before.records)
    for body in walk:
        found = record_of(head.count + 1, body[TEXT:])
        if isinstance(found, Break):
            return Read(tuple(records), head, found)
        records.append(found)
        head = walk.head
    return Read(tuple(records), head, walk.broken)


def checked(walk: Walk) -> tuple[Head, Break | None]:
    """The full check: every entry's bytes along a walk, and that this version can read what it means.

    Gives where the records end, and the first that is wrong.
    """
    unread: Break | None = None
    for body in walk:
        if unread is None:
            found = record_of(walk.head.count, body[TEXT:])
            unread = found if isinstance(found, Break) else None
    return walk.head, min(filter(None, (walk.broken, unread)), key=lambda one: one.seq, default=None)


def against(entries: Iterable[Entry], kept: Head) -> Break | None:
    """What is wrong with a chain beside a head that was noted elsewhere; None when that lies on it."""
    walk = Walk(((one.seq, one.id, one.body) for one in entries), EMPTY, kept)
    for _ in walk:
        pass
    return walk.broken
