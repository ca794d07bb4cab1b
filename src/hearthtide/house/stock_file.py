"""What is there of what is made ahead, counted by lot: a table of item, made (a date) and portions."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from pathlib import Path

from hearthtide.errors import Finding
from hearthtide.house.sheet import Row, read_sheet
from hearthtide.house.sold import Lot
from hearthtide.house.validate import close_to

NAME = "stock.csv"
COLUMNS = ("item", "made", "portions")


def take_stock(path: Path, items: Collection[str], day: date) -> tuple[tuple[Lot, ...], tuple[Finding, ...]]:
    """The lots counted for the morning of `day`, and what is wrong with the rows that were set aside.

    Dates are written as year-month-day. Raises InputError when the table cannot be read as a whole.
    """
    lots: list[Lot] = []
    wrong: list[Finding] = []
    for row in read_sheet(path, path.name, COLUMNS):
        found = _lot(row, items, day)
        if isinstance(found, Lot):
            lots.append(found)
        else:
            wrong += found
    return tuple(lots), tuple(wrong)


def _lot(row: Row, items: Collection[str], day: date) -> Lot | tuple[Finding, ...]:
    wrong: list[Finding] = []
    key, made, portions = row.cells["item"], row.day("made", "year-month-day"), row.whole("portions")
    if key not in items:
        wrong.append(row.wrong("item", "something that pars.yaml makes", close_to(key, items)))
    if isinstance(made, Finding):
        wrong.append(made)
    elif made > day:
        wrong.append(row.wrong("made", f"a day up to {day.isoformat()}", "Correct the date."))
    if portions is None:
        wrong.append(row.wrong("portions", "a whole number", "Count it, or remove the row."))
    elif isinstance(portions, Finding):
        wrong.append(portions)
    if wrong or isinstance(made, Finding) or not isinstance(portions, int):
        return tuple(wrong)
    return Lot(key, made, portions)
