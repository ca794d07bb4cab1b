"""A house's own sales by day: `history.yaml` says once which column is what, a table holds the days.

Rows that cannot be used are set aside by line; what is good is kept. Dates that lack are told, because a day
that is missing and a day that was shut are not the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Annotated

from pydantic import Field

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.sheet import BEYOND, DateOrder, Row, read_sheet
from hearthtide.house.sold import History, SoldDay
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document

NAME = "history.yaml"
OPEN_SHARE = 0.5  # a weekday with rows in so many of its weeks is missed when one lacks; own choice
Column = Annotated[str, Field(min_length=1, max_length=80)]


class ColumnsFile(Written):
    """Names as they stand in the table's first line."""

    date: Column
    covers: Column
    booked: Column | None = Field(default=None, description="covers on the books on the morning of the day")
    holiday: Column | None = Field(default=None, description="a holiday's name, empty on other days")
    note: Column | None = Field(
        default=None, description="what made a day unlike others: kept, nothing is learned from it"
    )
    ran_out: Column | None = Field(
        default=None, description="dishes gone before the end, parted by `/`: less was sold than wanted"
    )


class HistoryFile(Written):
    """history.yaml: where the house's sales stand and how they are written; said once."""

    table: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_. -]{0,79}$")] = Field(
        default="sales.csv", description="the table's file name in the house's folder"
    )
    dates: DateOrder = Field(default="year-month-day", description="how the table writes dates")
    columns: ColumnsFile
    dishes: dict[str, Column | tuple[Column, ...]] = Field(
        default={}, description="a dish of this house: its column, or several that are added up"
    )


@dataclass(frozen=True)
class Taken:
    """The days that can be used, what is wrong with the rows set aside, and the days that have no row."""

    history: History
    wrong: tuple[Finding, ...]
    lacks: tuple[Finding, ...]


def has_history(house: House) -> bool:
    return (Path(house.folder) / NAME).is_file()


def take_history(house: House) -> Taken:
    """The house's days, good rows kept, with a finding for each row set aside and each day without a row.

    Raises
    ------
    InputError
        history.yaml or its table cannot be read as a whole, or no row is left.
    """
    file = _read(house)
    path = Path(house.folder) / file.table
    rows: dict[date, tuple[SoldDay, Row]] = {}
    wrong: list[Finding] = []
    needed = [name for one in file.dishes.values() for name in ([one] if isinstance(one, str) else one)]
    needed += [name for name in file.columns.model_dump().values() if name is not None]
    for row in read_sheet(path, file.table, needed):
        found = _day(row, file)
        if not isinstance(found, SoldDay):
            wrong += found
        elif found.day in rows:
            line = rows[found.day][1].line
            expected = f"each date once; line {line} has it already and is kept"
            remedy = "Add the two up on one line, or remove the wrong one."
            wrong.append(row.wrong(file.columns.date, expected, remedy))
        else:
            rows[found.day] = (found, row)
    if not any(day.covers is not None for day, _ in rows.values()):
        where = Finding(file.table, 0, "the rows", "", "at least one day with its covers", "Mend the rows.")
        raise InputError((*wrong, where))
    days = sorted(rows)
    history = History(tuple(rows[day][0] for day in days))
    lacks = tuple(_lacking(file, {day: rows[day] for day in days}))
    return Taken(history, tuple(sorted(wrong, key=lambda one: one.line)), lacks)


def _read(house: House) -> HistoryFile:
    file, document = read_one(house, NAME, HistoryFile, "the house's history to be described", "day.md")
    wrong = tuple(_unknown(document, file, house))
    if wrong:
        raise InputError(wrong)
    return file


def _unknown(document: Document, file: HistoryFile, house: House) -> Iterator[Finding]:
    known = {*house.dishes, *house.set_aside}
    for key in file.dishes:
        if key not in known:
            yield document.finding(("dishes", key), "a dish of this house", close_to(key, known))


def _day(row: Row, file: HistoryFile) -> SoldDay | tuple[Finding, ...]:
    columns = file.columns
    wrong: list[Finding] = []
    day = row.day(columns.date, file.dates)
    if isinstance(day, Finding):
        wrong.append(day)

    def number(column: str | None) -> int | None:
        found = None if column is None else row.whole(column)
        if isinstance(found, Finding):
            wrong.append(found)
            return None
        return found

    covers, booked = number(columns.covers), number(columns.booked)
    dishes: dict[str, int] = {}
    for key, names in file.dishes.items():
        parts = [number(name) for name in ([names] if isinstance(names, str) else names)]
        told = [part for part in parts if part is not None]
        if told and len(told) == len(parts):
            dishes[key] = sum(told)
    ran_out = _ran_out(row, file, wrong)
    if row.cells.get(BEYOND):
        remedy = "Put a cell that holds commas in quotes."
        wrong.append(row.wrong(BEYOND, "no more cells than columns", remedy))
    if isinstance(day, Finding) or wrong:
        return tuple(wrong)
    holiday, note = (row.cells.get(name or "", "") for name in (columns.holiday, columns.note))
    return SoldDay(day, covers, booked, holiday, note, dishes, ran_out)


def _ran_out(row: Row, file: HistoryFile, wrong: list[Finding]) -> frozenset[str]:
    column = file.columns.ran_out
    words = [word.strip() for word in row.cells.get(column or "", "").split("/") if word.strip()]
    for word in words:
        if column is not None and word not in file.dishes:
            remedy = close_to(word, file.dishes)
            wrong.append(Finding(row.file, row.line, column, word, "a dish that history.yaml names", remedy))
    return frozenset(words)


def _lacking(file: HistoryFile, rows: dict[date, tuple[SoldDay, Row]]) -> Iterable[Finding]:
    """Days without a row though their weekday mostly has one; runs of them are told together."""
    days = list(rows)
    last = max(day for day, (one, _) in rows.items() if one.covers is not None)
    weeks = max(1.0, (last - days[0]).days / 7)
    usual = {
        n for n in range(7) if sum(day.weekday() == n and day <= last for day in days) / weeks >= OPEN_SHARE
    }
    for before, after in pairwise(days):
        between = [before + timedelta(days=n) for n in range(1, (after - before).days)]
        lacks = [day for day in between if day.weekday() in usual and day < last]
        if lacks:
            said = lacks[0].isoformat() + (f" to {lacks[-1].isoformat()}" if len(lacks) > 1 else "")
            expected = f"a row for {'each open day' if len(lacks) > 1 else 'it'} before this line"
            remedy = "Add it; if the house was shut, write the date with a note and no covers."
            if file.columns.note is None:
                remedy = "Add it, or name a column for notes and write there that the house was shut."
            yield Finding(file.table, rows[after][1].line, file.columns.date, said, expected, remedy)
