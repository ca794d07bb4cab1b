"""What the records say is there of each lot, beside what was counted; what could explain a difference."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from hearthtide.errors import Finding
from hearthtide.house.models import House
from hearthtide.house.pars_file import MadeFile
from hearthtide.house.sheet import read_sheet
from hearthtide.house.validate import close_to
from hearthtide.printing.lot_codes import lots_meant
from hearthtide.printing.lot_labels import days_of, item_of, label_of, left_of
from hearthtide.printing.lot_out import left_at
from hearthtide.service.records.course import Course, course
from hearthtide.service.records.ledger import Ledger

COLUMNS = ("lot", "portions")


@dataclass(frozen=True)
class Told:
    """One lot: `told` portions by the records (None: not told in portions), `counted` (None: not counted).

    `item` is its key in pars.yaml, None where it is of none; `could_be` what could explain a difference.
    `words` and `warning` are its label's: until when it is used, or DO NOT USE and why. `not_stock`: why it
    is nothing to serve from in the morning; empty where it is.
    """

    lot: str
    item: str | None
    made: date
    state: str
    told: int | None
    counted: int | None
    last: date | None
    words: str = ""
    warning: str = ""
    not_stock: str = ""
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
    now: datetime,
) -> tuple[Told, ...]:
    """Every lot that is there by the records, as it was counted, and as it stands at `now` (UTC)."""
    plain = tuple(_told(ledger, lot, counted.get(lot), house, made, now) for lot in lots)
    return tuple(_explained(one, plain) for one in plain)


def _told(
    ledger: Ledger, lot: str, counted: int | None, house: House, made: Mapping[str, MadeFile], now: datetime
) -> Told:
    of = course(ledger, lot)
    assert of is not None  # lots are those of which somebody wrote down that they were made
    label = label_of(ledger, lot, house, made, now, False)
    item = item_of(of.dish, made, house)
    return Told(
        lot=lot,
        item=item,
        made=(of.made + timedelta(minutes=of.offset_min)).date(),
        state=of.state,
        told=left_of(ledger, lot),
        counted=counted,
        last=days_of(ledger, of, house, made).last,
        words=f"{label.state.lower()}, {label.state_words}. {label.last}",
        warning=label.warning,
        not_stock=label.warning or _not_stock(of, item),
    )


def _not_stock(of: Course, item: str | None) -> str:
    """Why a lot is nothing to serve from in the morning, as a whole lot that is chilled, of pars.yaml, is."""
    if of.of or left_at(of) is not None:
        return "it has left the cold"
    if of.is_frozen:
        return "it is in the freezer"
    if of.state != "chilled":
        return f"it is {of.state}, not chilled"
    return "" if item is not None else "pars.yaml names nothing that it is, or more than one"


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
    """The count as `pars` reads it in the morning: what was counted of what may be served from, lot by lot.

    >>> stock_table([Told("a", "wings", date(2026, 6, 2), "chilled", 5, 4, None)])
    'item,made,portions\\nwings,2026-06-02,4\\n'
    """
    rows = (
        f"{one.item},{one.made.isoformat()},{one.counted}\n"
        for one in sorted(lots, key=lambda one: (one.item or "", one.made, one.lot))
        if one.counted and not one.not_stock
    )
    return "item,made,portions\n" + "".join(rows)


def left_out(lots: Sequence[Told]) -> tuple[Told, ...]:
    """The lots that were counted and are not in `stock_table`; `not_stock` says why."""
    return tuple(one for one in lots if one.counted and one.not_stock)
