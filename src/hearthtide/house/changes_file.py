"""A chef's own numbers, kept in the house's folder: a table that is only ever added to."""

from __future__ import annotations

import csv
import os
from io import StringIO
from pathlib import Path

from hearthtide.errors import Finding, StoreError
from hearthtide.house.sheet import Row, read_sheet
from hearthtide.house.sold import Change

NAME = "changes.csv"
COLUMNS = ("told", "day", "figure", "ours", "yours", "person", "why")


def read_changes(folder: Path) -> tuple[tuple[Change, ...], tuple[Finding, ...]]:
    """All changes in the order they were told, and what is wrong with rows that were set aside."""
    path = folder / NAME
    changes: list[Change] = []
    wrong: list[Finding] = []
    for row in read_sheet(path, NAME, COLUMNS) if path.is_file() else ():
        found = _change(row)
        if isinstance(found, Change):
            changes.append(found)
        else:
            wrong += found
    return tuple(changes), tuple(wrong)


def _change(row: Row) -> Change | tuple[Finding, ...]:
    day, ours, yours = row.day("day", "year-month-day"), row.whole("ours"), row.whole("yours")
    if isinstance(day, Finding) or not isinstance(ours, int) or not isinstance(yours, int):
        found = [one for one in (day, ours, yours) if isinstance(one, Finding)]
        empty = [name for name, one in (("ours", ours), ("yours", yours)) if one is None]
        found += [row.wrong(name, "a whole number", "Write it, or remove the row.") for name in empty]
        return tuple(found)
    cells = row.cells
    return Change(cells["told"], day, cells["figure"], ours, yours, cells["person"], cells["why"])


def add_change(folder: Path, change: Change) -> None:
    """Writes one change at the end of the house's table, on disk before this returns.

    Raises
    ------
    StoreError
        It cannot be written; nothing of the table is lost.
    """
    path = folder / NAME
    rows = StringIO()
    writer = csv.writer(rows, lineterminator="\n")
    try:
        if not path.is_file() or not path.stat().st_size:
            writer.writerow(COLUMNS)
        elif not path.read_bytes().endswith(b"\n"):
            rows.write("\n")
        writer.writerow([getattr(change, name) for name in COLUMNS])
        with path.open("a", encoding="utf-8", newline="") as file:
            file.write(rows.getvalue())
            file.flush()
            os.fsync(file.fileno())
    except OSError as err:
        raise StoreError(
            f"{path}: cannot be written ({err.strerror}). Make room or rights and tell it again."
        ) from err
