"""A day of an invented kitchen in the records: a lot that cooled too slowly, found out, thrown away."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.readings import Point, Reading, Unit
from hearthtide.safety.rule_sets import rule_set
from hearthtide.service.log import Log
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.entries import (
    Body,
    Closed,
    Corrected,
    Deviation,
    LotMade,
    ProbeChecked,
    ReadingTaken,
    Record,
)
from hearthtide.store.database import open_database

OFFSET_MIN = -240
FDA = rule_set("us-fda-2022")


def local(clock: str) -> datetime:
    """An instant of Tuesday 2 June 2026 by the clock on the wall there."""
    hours, minutes = map(int, clock.split(":"))
    return datetime(2026, 6, 2, tzinfo=UTC) + timedelta(hours=hours, minutes=minutes - OFFSET_MIN)


def reading(
    id: str,
    value: str,
    clock: str,
    *,
    point: Point = "warmest",
    place: str = "middle tray",
    instrument: str = "probe 2",
    lot: str = "wings Tuesday",
    person: str = "Ben",
) -> Reading:
    unit: Unit = "F" if value.endswith("F") else "C"
    number = Decimal(value[:-1])
    return Reading(id, lot, local(clock), OFFSET_MIN, number, unit, point, instrument, person, place)


def record(id: str, body: Body, clock: str, person: str = "Ben", late_min: int = 0) -> Record:
    then = local(clock)
    entered = then + timedelta(minutes=late_min)
    return Record(id, person, "tablet at the pass", then, entered, OFFSET_MIN, body)


def checked(id: str, clock: str, shown: str) -> Record:
    """Probe 2 in ice slush."""
    body = Checked(id, "probe 2", local(clock), "Ana", Decimal(shown), Decimal(32), "F", "both")
    return record(id, ProbeChecked(body), clock, "Ana")


def the_day() -> tuple[Record, ...]:
    """All of it, in the order it was written down."""
    wrong = "71 °F after 2 h 20 min; 70 °F within 2 h is the limit"
    mended = ("pans stacked two high", "spread out in ice", "one layer of pans", "14 kg thrown away")
    return (
        checked("check-1", "9:00", "32.5"),
        record("lot-1", LotMade("wings Tuesday", "smoked wings", "14 kg"), "11:00"),
        record("r-1", ReadingTaken(reading("r-1", "135F", "14:00")), "14:00"),
        record("r-2", ReadingTaken(reading("r-2", "97F", "15:00")), "15:00", late_min=200),
        record("r-3", ReadingTaken(reading("r-3", "70F", "16:20", person="José")), "16:20", "José"),
        record("r-4", ReadingTaken(reading("r-4", "41F", "18:00")), "18:00"),
        record(
            "c-1", Corrected("r-3", reading("c-1", "71F", "16:20", person="José"), "misread"), "16:40", "Ana"
        ),
        record("d-1", Deviation("wings Tuesday", "CL1", wrong, ("r-3",)), "18:05", "Ana"),
        record("x-1", Closed("d-1", *mended), "18:50", "Ana"),
        record("d-2", Deviation("dip Tuesday", "CD1", "the walk-in stood at 48 °F"), "19:00", "Ana"),
        record("r-5", ReadingTaken(reading("r-5", "39F", "19:10", lot="dip Tuesday", place="")), "19:10"),
    )


def write(log: Log, records: tuple[Record, ...]) -> Book:
    book = Book(log, FDA)
    for one in records:
        book.write(one)
    return book


def kept_in(file: Path) -> Path:
    """A database with the day in it."""
    with open_database(file) as database:
        write(database.log(LOG), the_day())
    return file
