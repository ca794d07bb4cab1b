"""Readings of lots from a table of comma-separated values, each with where, by what and by whom it was read.

The columns, in any order: lot, time, read, point, instrument and person are needed; place and held (seconds)
may be there. `time` carries its offset from UTC, such as `2026-06-02T14:00-04:00`, `read` its unit: `135F`.
"""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import cast, get_args

from hearthtide.errors import Finding
from hearthtide.house.tables import table_rows
from hearthtide.house.validate import close_to
from hearthtide.safety.readings import Point, Reading, Unit

NEEDED = ("lot", "time", "read", "point", "instrument", "person")
COLUMNS = (*NEEDED, "place", "held")


def take_readings(path: Path) -> tuple[tuple[Reading, ...], tuple[Finding, ...]]:
    """The readings of a table, and what is wrong with the rows that were set aside.

    Raises
    ------
    InputError
        The whole cannot be read: not there, too large, not UTF-8, a column lacks or is not known.
    """
    good, wrong = [], []
    for line, row in table_rows(path, NEEDED, COLUMNS):
        taken = _reading(str(path), line, row)
        if isinstance(taken, Reading):
            good.append(taken)
        else:
            wrong.append(taken)
    return tuple(good), tuple(wrong)


def _reading(file: str, line: int, row: dict[str, str]) -> Reading | Finding:
    def bad(field: str, expected: str, remedy: str) -> Finding:
        return Finding(file, line, field, row.get(field, ""), expected, remedy)

    for field in ("lot", "instrument", "person"):
        if not row.get(field):
            return bad(field, "a word", "Write it.")
    try:
        when = datetime.fromisoformat(row.get("time", ""))
    except ValueError:
        return bad("time", "a time such as 2026-06-02T14:00-04:00", "Write it so.")
    offset = when.utcoffset()
    if offset is None:
        return bad("time", "its offset from UTC behind it", "Such as 2026-06-02T14:00-04:00.")
    value, unit = row.get("read", "")[:-1].strip(), row.get("read", "")[-1:].upper()
    if unit not in get_args(Unit):
        return bad("read", "a unit, such as 135F or 57.2C", "Write what the probe showed, with its unit.")
    try:
        number = Decimal(value)
    except InvalidOperation:
        return bad("read", "a number with a point for decimals, such as 57.2C", "Write it so.")
    if not number.is_finite():
        return bad("read", "a number", "Write what the probe showed.")
    if row.get("point") not in get_args(Point):
        return bad(
            "point", f"one of {', '.join(get_args(Point))}", close_to(row.get("point", ""), get_args(Point))
        )
    held = row.get("held") or "0"
    if not held.isascii() or not held.isdigit():
        return bad("held", "whole seconds", "Leave it empty if nobody watched it.")
    return Reading(
        id=f"line {line}",
        lot=row["lot"],
        at=when.astimezone(UTC),
        offset_min=round(offset.total_seconds() / 60),
        value=number,
        unit=cast(Unit, unit),
        point=cast(Point, row["point"]),
        instrument=row["instrument"],
        person=row["person"],
        place=row.get("place", ""),
        held_s=int(held),
    )
