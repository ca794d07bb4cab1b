"""Two years of records, 500,000 entries: searched and exported, checked and read.

    python benchmarks/two_years_of_records.py [--entries 500000]

Prints seconds of each command, on the clock and of the processor; every one of them checks the whole chain.
The entries are put in in one go, past the program's own writing, one at a time.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from contextlib import redirect_stdout
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from io import StringIO
from pathlib import Path

from sqlalchemy import create_engine, insert

from hearthtide.cli.records_command import run_check, run_export, run_find
from hearthtide.safety.readings import Reading
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.chain import EMPTY, sealed
from hearthtide.service.records.entries import ReadingTaken, Record
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
        timed("found, a day's chicken", lambda: run_find(str(file), "chicken", "2025-06-03", False))
        timed("found, a word in all years", lambda: run_find(str(file), "2026-05-30", None, False))
        timed("exported as a table", lambda: run_export(str(file), Path(folder) / "out.csv", None))
        timed("exported as JSON", lambda: run_export(str(file), None, Path(folder) / "out.json"))
        both = Path(folder) / "both.csv", Path(folder) / "both.json"
        timed("exported as both", lambda: run_export(str(file), *both))
        timed("checked in full, each entry's meaning too", lambda: run_check(str(file), None, False))
        with open_database(file) as database:
            timed("read and held as records", lambda: Book(database.log(LOG), None).read())


def timed(what: str, done: Callable[[], object]) -> None:
    began, busy = time.perf_counter(), time.process_time()
    with redirect_stdout(StringIO()):
        done()
    took_s, busy_s = time.perf_counter() - began, time.process_time() - busy
    print(f"{what}: {took_s:.1f} s, {busy_s:.1f} s of them at work", flush=True)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--entries", type=int, default=500_000)
    run(asked.parse_args().entries)
