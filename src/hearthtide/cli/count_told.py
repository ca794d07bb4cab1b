"""What the records say is there of each lot, beside what was counted; what could explain a difference."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from hearthtide.errors import Finding
from hearthtide.house.models import House
from hearthtide.house.pars_file import MadeFile
from hearthtide.house.sheet import read_sheet
from hearthtide.house.validate import close_to
from hearthtide.printing.lot_codes import lots_meant
from hearthtide.printing.lot_labels import days_of, item_of, left_of
from hearthtide.service.records.course import course
from hearthtide.service.records.ledger import Ledger

COLUMNS = ("lot", "portions")


@dataclass(frozen=True)
class Told:
    """One lot: `told` portions by the records (None: not told in portions), `counted` (None: not counted).

    `item` is its key in pars.yaml, None where it is of none; `could_be` what could explain a difference.
    """

    lot: str
    item: str | None
    made: date
    state: str
    told: int | None
    counted: int | None
    last: date | None
    could_be: tuple[str, ...] = ()

    @property
    def off(self) -> int | None:
        """Counted less told; None where one of them is not known."""
        return None if self.told is None or self.counted is None else self.counted - self.told


def take_count(path: Path, lots: Sequence[str]) -> tuple[dict[str, int], tuple[Finding, ...]]:
    """Portions counted by lot, and what is wrong with rows that were set aside.

    A lot is named by its name or its label's number; a lot that stands twice is added up. Raises InputError.
    """
    found: dict[str, int] = {}
    wrong: list[Finding] = []
    for row in read_sheet(path, path.name, COLUMNS):
        meant, portions = lots_meant(row.cells["lot"], lots), row.whole("portions")
        if len(meant) != 1:
            expected = (
                f"one of two lots of that number: {', '.join(meant)}" if meant else "a lot that is there"
            )
            wrong.append(row.wrong("lot", expected, close_to(row.cells["lot"], lots)))
        if portions is None:
            wrong.append(row.wrong("portions", "a whole number", "Count it, or remove the row."))
        elif isinstance(portions, Finding):
            wrong.append(portions)
        elif len(meant) == 1:
            found[meant[0]] = found.get(meant[0], 0) + portions
    return found, tuple(wrong)


def told_lots(
    ledger: Ledger,
    lots: Sequence[str],
    counted: Mapping[str, int],
    house: House,
    made: Mapping[str, MadeFile],
) -> tuple[Told, ...]:
    """Every lot that is there by the records, as it was counted."""
    plain = tuple(_told(ledger, lot, counted.get(lot), house, made) for lot in lots)
    return tuple(_explained(one, plain) for one in plain)


def _told(ledger: Ledger, lot: str, counted: int | None, house: House, made: Mapping[str, MadeFile]) -> Told:
    of = course(ledger, lot)
    assert of is not None  # lots are those of which somebody wrote down that they were made
    days = days_of(ledger, of, house, made)
    return Told(
        lot=lot,
        item=item_of(of.dish, made, house),
        made=(of.made + timedelta(minutes=of.offset_min)).date(),
        state=of.state,
        told=left_of(ledger, lot),
        counted=counted,
        last=days.last,
    )


def _explained(one: Told, others: Sequence[Told]) -> Told:
    """A difference with what could be behind it, the likeliest first: own choice of order."""
    off = one.off
    if not off:
        return one
    alike = [
        f"{abs(off)} counted as {other.lot} by mistake, which is {abs(off)} {'over' if off < 0 else 'short'}"
        if off < 0
        else f"{abs(off)} of {other.lot} counted here by mistake, which is {abs(off)} short"
        for other in others
        if other.lot != one.lot and other.off == -off
    ]
    plain = (
        (
            "served, and nobody wrote down that they were pulled",
            "thrown away or eaten by the house, not written down",
        )
        if off < 0
        else ("more was made than was written down", "portions were written down as pulled and came back")
    )
    return Told(**{**one.__dict__, "could_be": (*alike, *plain)})


def stock_table(lots: Sequence[Told]) -> str:
    """The count as `pars` reads it in the morning: what was counted of what pars.yaml makes, lot by lot.

    >>> stock_table([Told("a", "wings", date(2026, 6, 2), "chilled", 5, 4, None)])
    'item,made,portions\\nwings,2026-06-02,4\\n'
    """
    rows = (
        f"{one.item},{one.made.isoformat()},{one.counted}\n"
        for one in sorted(lots, key=lambda one: (one.item or "", one.made, one.lot))
        if one.item is not None and one.counted
    )
    return "item,made,portions\n" + "".join(rows)
