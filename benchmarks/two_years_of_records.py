"""Two years of records, 500,000 entries: read and checked, searched, exported.

    python benchmarks/two_years_of_records.py [--entries 500000]

Prints seconds of each. The entries are put in in one go, past the program's own writing, one at a time.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from sqlalchemy import create_engine, insert

from hearthtide.cli.records_command import run_export
from hearthtide.safety.readings import Reading
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.chain import EMPTY, sealed
from hearthtide.service.records.entries import ReadingTaken, Record
from hearthtide.service.records.ledger import Ledger, found
from hearthtide.store.database import open_database
from hearthtide.store.schema import ENTRIES

FROM = datetime(2024, 6, 2, tzinfo=UTC)


def fill(file: Path, entries: int) -> None:
    with open_database(file):
        pass
    head, rows = EMPTY, []
    for n in range(entries):
        at = FROM + timedelta(seconds=126 * n)
        lot = f"{('chicken', 'wings', 'dip', 'roots')[n % 4]} {at:%Y-%m-%d}"
        reading = Reading(
            f"r{n}", lot, at, -240, Decimal(600 - n % 500) / 10, "C", "warmest", f"probe {n % 3}", "Ben"
        )
        body, head = sealed(head, Record(f"r{n}", "Ben", "pass", at, at, -240, ReadingTaken(reading)))
        rows.append({"night": LOG, "seq": n + 1, "id": f"r{n}", "body": body})
    with create_engine(f"sqlite:///{file}").begin() as connection:
        connection.execute(insert(ENTRIES), rows)


def run(entries: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "records.db"
        fill(file, entries)
        with open_database(file) as database:
            began = time.perf_counter()
            read = Book(database.log(LOG), None).read()
            took_s = time.perf_counter() - began
            print(f"read and checked: {took_s:.1f} s, {read.head.count} entries, {read.broken}")
            began = time.perf_counter()
            days = found(Ledger(read.records), "chicken", date(2025, 6, 3))
            print(f"searched: {time.perf_counter() - began:.1f} s, {len(days)} found")
        began = time.perf_counter()
        run_export(file, Path(folder) / "out.csv", None)
        print(f"read, checked and exported as a table: {time.perf_counter() - began:.1f} s")


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--entries", type=int, default=500_000)
    run(asked.parse_args().entries)
