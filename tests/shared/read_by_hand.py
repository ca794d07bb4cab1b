"""Readings of an invented lot as a cook would take them, for the tests of rules."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import count

from hearthtide.safety.readings import Point, Reading, Unit

DAY = datetime(2026, 6, 2, tzinfo=UTC)  # a Tuesday
_ids = count(1)


def at(clock: str, day: datetime = DAY) -> datetime:
    """An instant of that day, such as `14:00`; hours beyond 24 are of the next."""
    hours, minutes = clock.split(":")
    return day + timedelta(hours=int(hours), minutes=int(minutes))


def read(
    value: str,
    when: str | datetime,
    point: Point = "coldest",
    *,
    held_s: int = 0,
    place: str = "",
    instrument: str = "probe 1",
) -> Reading:
    """A reading such as `165F` or `5.0C` at a time of the day."""
    unit: Unit = "F" if value.endswith("F") else "C"
    instant = at(when) if isinstance(when, str) else when
    number = Decimal(value[:-1])
    return Reading(
        f"r{next(_ids)}", "lot 1", instant, 0, number, unit, point, instrument, "Ben", place, held_s
    )
