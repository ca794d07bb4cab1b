"""The lots that are there now, with what decides about them alone: of years of records a few."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from hearthtide.cli.records_command import opened
from hearthtide.errors import Finding, InputError
from hearthtide.service.records.book import Book
from hearthtide.service.records.chain import TEXT
from hearthtide.service.records.course import DONE
from hearthtide.service.records.entries import LotBecame, LotMade, ProbeChecked, ProcedureKept, Pulled, Record
from hearthtide.service.records.ledger import Ledger, lots_of
from hearthtide.service.records.search import lot_of

STORE = "nights.db"  # as the board keeps it


@dataclass(frozen=True)
class There:
    """Lots neither served nor discarded in the order they were made, those that are `gone`, and the entries
    of the former, of what went into them and of what was pulled from them, of thermometers and procedures.
    """

    lots: tuple[str, ...]
    gone: tuple[str, ...]
    ledger: Ledger


def lots_there(folder: Path, records: str | None) -> There:
    """What is there by a house's records. Raises InputError, Tampered, StoreError."""
    where = records or str(folder / STORE)
    if "://" not in where and not Path(where).is_file():
        remedy = "Name the database that the board or `hearthtide records` writes, with --records."
        raise InputError((Finding("records", 0, "--records", where, "the house's records", remedy),))
    with opened(where) as log:
        frame = Book(log, None).about(lambda _: False).records
        lots, gone = _open(frame)
        near = _near(frame, lots)
        whole = Book(log, None).about(lambda body: lot_of(body[TEXT:]) in near)
    of_all = ProbeChecked | ProcedureKept
    kept = (one for one in whole.records if isinstance(one.body, of_all) or near & set(lots_of(one)))
    return There(lots, gone, Ledger(tuple(kept)))


def _open(frame: Iterable[Record]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The lots that are there, and those that are not any more."""
    there: dict[str, None] = {}
    gone: dict[str, None] = {}
    for one in frame:
        if isinstance(one.body, LotMade | Pulled):
            there[one.body.lot] = None
        elif isinstance(one.body, LotBecame) and one.body.state in DONE and one.body.lot in there:
            del there[one.body.lot]
            gone[one.body.lot] = None
    return tuple(there), tuple(gone)


def _near(frame: Iterable[Record], lots: Iterable[str]) -> frozenset[str]:
    """The lots, what went into them, what they were pulled from, and what was pulled from any of these."""
    from_: dict[str, tuple[str, ...]] = {}
    pulled: dict[str, list[str]] = {}
    for one in frame:
        if isinstance(one.body, LotMade):
            from_[one.body.lot] = one.body.made_of
        elif isinstance(one.body, Pulled):
            from_[one.body.lot] = (one.body.of,)
            pulled.setdefault(one.body.of, []).append(one.body.lot)
    names = list(dict.fromkeys(lots))
    for name in names:
        names += [lot for lot in from_.get(name, ()) if lot not in names]
    return frozenset((*names, *(child for name in names for child in pulled.get(name, ()))))
