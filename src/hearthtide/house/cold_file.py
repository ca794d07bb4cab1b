"""What is known of a cold unit that failed: the logger's table of its air, and what was found inside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import cast, get_args

from hearthtide.errors import Finding
from hearthtide.house.tables import table_rows
from hearthtide.house.validate import close_to
from hearthtide.safety.readings import Reading, Unit

LOGGED = ("time", "read")
NEEDED = ("item", "needs_cold", "read", "value")
COLUMNS = (*NEEDED, "time", "portions", "best_day", "instrument", "person", "note")
NOBODY = "nobody: a logger"
MOST_VALUE = 1_000_000.0
YES = {"yes": True, "no": False}


@dataclass(frozen=True)
class Found:
    """An item found inside: its reading, None where nobody read it, its worth in the house's money.

    `needs_cold`: for its safety, by the food code. `best_day`: the day of its life it is best on, the day
    it is made counted as 1 (dough).
    """

    item: str
    needs_cold: bool
    reading: Reading | None
    value: float
    portions: int | None = None
    best_day: int | None = None
    note: str = ""


def take_logger(path: Path, unit: str) -> tuple[tuple[Reading, ...], tuple[Finding, ...]]:
    """The air of a unit from a table: time (with its offset from UTC) and read (such as 9.5C).

    Rows that are wrong come back as findings. Raises InputError when the table cannot be read as a whole.
    """
    good: list[Reading] = []
    wrong: list[Finding] = []
    for line, row in table_rows(path, LOGGED, LOGGED):
        when, read = _time(str(path), line, row), _read(str(path), line, row)
        if isinstance(when, Finding):
            wrong.append(when)
        elif isinstance(read, Finding):
            wrong.append(read)
        else:
            good.append(_reading(f"logger line {line}", unit, when, read, "air", "logger", NOBODY))
    return tuple(good), tuple(wrong)


def take_inside(path: Path, now: datetime) -> tuple[tuple[Found, ...], tuple[Finding, ...]]:
    """What was found: item, needs_cold (yes, no), read (8.1C, or empty), value; and more where it is known.

    A row without a time was read at `now`. Rows that are wrong come back as findings. Raises InputError when
    the table cannot be read as a whole.
    """
    good: list[Found] = []
    wrong: list[Finding] = []
    for line, row in table_rows(path, NEEDED, COLUMNS):
        found = _found(str(path), line, row, now)
        if isinstance(found, Found):
            good.append(found)
        else:
            wrong += found
    return tuple(good), tuple(wrong)


def _found(file: str, line: int, row: dict[str, str], now: datetime) -> Found | tuple[Finding, ...]:
    wrong: list[Finding] = []

    def bad(field: str, expected: str, remedy: str) -> None:
        wrong.append(Finding(file, line, field, row.get(field, ""), expected, remedy))

    item, needs = row.get("item", ""), row.get("needs_cold", "").lower()
    if not item:
        bad("item", "a word", "Write what it is.")
    if needs not in YES:
        bad("needs_cold", "yes or no", "Yes where the food code wants it cold; in doubt, yes.")
    read = _read(file, line, row) if row.get("read") else None
    when = _time(file, line, row) if row.get("time") else now
    wrong += [one for one in (read, when) if isinstance(one, Finding)]
    value = _number(row.get("value", ""), MOST_VALUE)
    if value is None:
        bad("value", "what it cost, such as 169", "Write the money alone, 0 where it is worth nothing.")
    portions, best_day = _whole(row.get("portions", "")), _whole(row.get("best_day", ""))
    if portions is None:
        bad("portions", "a whole number", "Count it, or leave the cell empty.")
    if best_day is None:
        bad("best_day", "a whole number of days", "Leave it empty where it is as good on its first day.")
    if wrong or value is None or isinstance(read, Finding) or isinstance(when, Finding):
        return tuple(wrong)
    by = (row.get("instrument") or "probe", row.get("person") or "not written down")
    reading = None if read is None else _reading(f"line {line}", item, when, read, "warmest", *by)
    return Found(item, YES[needs], reading, value, portions or None, best_day or None, row.get("note", ""))


def _number(text: str, most: float) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if 0 <= value <= most else None


def _whole(text: str) -> int | None:
    """A whole number; 0 for an empty cell, None for anything else."""
    if not text:
        return 0
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else None


def _time(file: str, line: int, row: dict[str, str]) -> datetime | Finding:
    try:
        when = datetime.fromisoformat(row.get("time", ""))
    except ValueError:
        when = datetime.min
    if when.utcoffset() is None:
        expected = "a time with its offset, such as 2026-06-02T08:30-04:00"
        return Finding(file, line, "time", row.get("time", ""), expected, "Write it so.")
    return when


def _read(file: str, line: int, row: dict[str, str]) -> tuple[Decimal, Unit] | Finding:
    text = row.get("read", "")
    unit = text[-1:].upper()
    if unit not in get_args(Unit):
        remedy = close_to(unit, get_args(Unit)) if unit else "Write what was read, with its unit."
        return Finding(file, line, "read", text, "a unit, such as 9.5C or 49F", remedy)
    try:
        number = Decimal(text[:-1].strip())
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite():
        return Finding(file, line, "read", text, "a number with its unit, such as 9.5C", "Write it so.")
    return number, cast(Unit, unit)


def _reading(
    id: str, lot: str, when: datetime, read: tuple[Decimal, Unit], point: str, instrument: str, person: str
) -> Reading:
    offset = when.utcoffset()
    assert offset is not None
    return Reading(
        id=id,
        lot=lot,
        at=when.astimezone(UTC),
        offset_min=round(offset.total_seconds() / 60),
        value=read[0],
        unit=read[1],
        point="air" if point == "air" else "warmest",
        instrument=instrument,
        person=person,
    )
