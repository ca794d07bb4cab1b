"""A house's records in a log of their own: written behind one another, each durable before it is answered."""

from __future__ import annotations

from hearthtide.errors import StoreError
from hearthtide.safety.rules import RuleSet
from hearthtide.service.log import AlreadyThere, Log, LogMoved
from hearthtide.service.records.chain import NOTHING, Head, Read, read, sealed
from hearthtide.service.records.entries import Record
from hearthtide.service.records.ledger import Ledger, accepted
from hearthtide.service.records.standing import lot_accepted

LOG = "records"  # the name of their log in a house's database, beside those of its nights


class Tampered(StoreError):
    """The records are not what was written: nothing more is written behind them."""


class Book:
    """Records on a log. `rules` are the house's, where it has chosen some. Reads on what others wrote."""

    def __init__(self, log: Log, rules: RuleSet | None) -> None:
        self._log, self._rules, self._read = log, rules, NOTHING

    def read(self) -> Read:
        """All that is written, checked: what was read before is not read again."""
        if self._read.broken is None:
            self._read = read(self._log.read(self._read.head.count), self._read)
        return self._read

    def write(self, record: Record) -> Head:
        """Writes an entry and returns where the records end then; a repeat of an entry changes nothing.

        Raises
        ------
        NotSo
            The entry cannot be written as it is.
        Tampered
            What is there is not what was written.
        """
        while True:
            found = self.read()
            if found.broken is not None:
                words = "Keep the file as it is, and begin another."
                raise Tampered(f"the records cannot be gone on with: {found.broken.words}. {words}")
            if record in found.records:
                return found.head
            ledger = Ledger(found.records)
            accepted(ledger, record, self._rules)
            lot_accepted(ledger, record, self._rules)
            body, head = sealed(found.head, record)
            try:
                self._log.append(record.id, body, found.head.count)
            except (LogMoved, AlreadyThere):
                continue
            return head
