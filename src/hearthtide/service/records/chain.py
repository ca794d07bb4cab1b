"""Entries chained by their hashes: what was altered, taken out or put in shows, and where.

Each link is the SHA-256 of the hash before it, its number and its entry's own bytes. Cutting off the end
shows only against a head that was kept elsewhere, such as on a print: so every export carries it. Writing the
whole chain anew from some entry on shows in the same way, and in no other.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass

from pydantic import ValidationError

from hearthtide.service.commands import plain_text
from hearthtide.service.log import Entry
from hearthtide.service.records.entries import RECORD, Record

WIDE = 64  # hexadecimal digits of a SHA-256
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
    return entry.body[:WIDE], entry.body[WIDE : 2 * WIDE], entry.body[2 * WIDE :]


def _hash(head: Head, text: str) -> str:
    return hashlib.sha256(f"{head.hash}\n{head.count + 1}\n{text}".encode()).hexdigest()


def read(entries: Iterable[Entry], before: Read = NOTHING) -> Read:
    """Reads and checks a chain from where it was read `before`."""
    head, records = before.head, list(before.records)
    for entry in entries:
        found = _next(entry, head)
        if isinstance(found, Break):
            return Read(tuple(records), head, found)
        record, head = found
        records.append(record)
    return Read(tuple(records), head, None)


def against(entries: Iterable[Entry], kept: Head) -> Break | None:
    """What is wrong with a chain beside a head that was noted elsewhere; None when that lies on it."""
    head = EMPTY
    for entry in entries:
        found = _next(entry, head)
        if isinstance(found, Break):
            return found
        _, head = found
        if head.count == kept.count and head.hash != kept.hash:
            words = f"entry {head.count} is not the one that was noted: the chain was written anew"
            return Break(head.count, words)
    if head.count < kept.count:
        words = f"{kept.count} entries were noted, {head.count} are here: the end was cut off"
        return Break(head.count + 1, words)
    return None


def _next(entry: Entry, head: Head) -> tuple[Record, Head] | Break:
    seq = head.count + 1
    if entry.seq != seq:
        return Break(seq, f"entry {seq} is missing: entry {entry.seq} comes next")
    before, said, text = parts(entry)
    if before != head.hash:
        return Break(
            seq, f"entry {seq} does not follow the one before it: one was put in, taken out or altered"
        )
    if said != _hash(head, text):
        return Break(seq, f"entry {seq} is not as it was written")
    try:
        record = RECORD.validate_json(text)
    except ValidationError as err:
        return Break(seq, f"entry {seq} is of another version: {err.errors()[0]['msg']}")
    if record.id != entry.id:
        return Break(seq, f"entry {seq} is not as it was written: its id in the table is another")
    return record, Head(seq, said)
