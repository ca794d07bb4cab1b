"""A reading of a probe as it was taken, the limits a code publishes, and the time between two readings.

A limit is a pair, in °F and in °C, and a reading is compared in the unit it was read in: 165 °F is 73.9 °C
and would miss 74 °C, 21.1 °C is 70 °F and would miss 21 °C. Nothing is rounded first. Limits are
inclusive. Elapsed time is taken between instants, so that a change of the clocks adds or takes nothing.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import ConfigDict, Field, model_validator
from pydantic.dataclasses import dataclass

from hearthtide.errors import HearthtideError

Unit = Literal["C", "F"]
Point = Literal["coldest", "warmest", "air", "surface", "other"]
STRICT = ConfigDict(extra="forbid")


class TwoTimes(HearthtideError):
    """A local time that came twice, or never, where the clocks change: the person who took it is asked."""


@dataclass(frozen=True, config=STRICT)
class Reading:
    """One reading as it was read: `value` in `unit`, at the instant `at`, `offset_min` ahead of UTC there.

    `point` says which part was probed: the coldest decides while heating, the warmest while cooling. `place`
    names it, such as `inner thigh`. `held_s`: how long it was watched to stand there, in seconds.
    """

    id: str
    lot: str
    at: datetime
    offset_min: int
    value: Decimal
    unit: Unit
    point: Point
    instrument: str
    person: str
    place: str = ""
    held_s: int = Field(default=0, ge=0)

    @model_validator(mode="after")
    def _is_an_instant(self) -> Reading:
        if self.at.utcoffset() != timedelta(0):
            raise ValueError("expected an instant in UTC; say the offset of the place beside it")
        if not self.value.is_finite():
            raise ValueError("expected a number that was read")
        return self

    @property
    def words(self) -> str:
        """As a person would read it out: `150 °F at 18:02`."""
        return f"{self.value} °{self.unit} at {self.local:%H:%M}"

    @property
    def local(self) -> datetime:
        """The clock on the wall when it was taken."""
        return self.at + timedelta(minutes=self.offset_min)


@dataclass(frozen=True, config=STRICT)
class Limit:
    """A temperature a code publishes, in the units it publishes it in.

    A code that states one unit only is converted exactly: 70 °C is 158 °F.

    >>> Limit(C=Decimal(70)).in_unit("F")
    Decimal('158')
    """

    F: Decimal | None = None
    C: Decimal | None = None

    @model_validator(mode="after")
    def _is_stated(self) -> Limit:
        if self.F is None and self.C is None:
            raise ValueError("expected a limit in F, in C or in both")
        return self

    def in_unit(self, unit: Unit) -> Decimal:
        """The limit in the unit of a reading."""
        if unit == "F":
            return self.F if self.F is not None else _stated(self.C) * 9 / 5 + 32
        return self.C if self.C is not None else (_stated(self.F) - 32) * 5 / 9

    @property
    def words(self) -> str:
        """The limit as it is published."""
        return " or ".join(
            f"{value} °{unit}" for value, unit in ((self.F, "F"), (self.C, "C")) if value is not None
        )


def _stated(value: Decimal | None) -> Decimal:
    assert value is not None
    return value


def at_or_above(reading: Reading, limit: Limit) -> bool:
    """Whether a reading is at or above a limit, in its own unit.

    >>> at = datetime(2026, 6, 2, 18, tzinfo=UTC)
    >>> read = Reading("r1", "l1", at, 0, Decimal("165"), "F", "coldest", "probe 2", "Ben")
    >>> at_or_above(read, Limit(F=Decimal(165), C=Decimal(74)))
    True
    """
    return reading.value >= limit.in_unit(reading.unit)


def at_or_below(reading: Reading, limit: Limit) -> bool:
    """Whether a reading is at or below a limit, in its own unit."""
    return reading.value <= limit.in_unit(reading.unit)


# What a probe in food can read, °C: no colder than a freezer, no hotter than its water boils. Own choice.
COLDEST_FOOD_C, HOTTEST_FOOD_C = Decimal(-40), Decimal(105)


def can_be(reading: Reading) -> bool:
    """Whether food can be so hot or cold: a slip of the finger, 615 for 165, is kept and decides nothing."""
    if reading.point not in ("coldest", "warmest"):
        return True
    of_C = reading.value if reading.unit == "C" else (reading.value - 32) * 5 / 9
    return COLDEST_FOOD_C <= of_C <= HOTTEST_FOOD_C


def in_order(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Readings that can be so, by the instant they were taken, whenever they were written down."""
    return tuple(sorted(filter(can_be, readings), key=lambda one: (one.at, one.id)))


def local_date(at: datetime, offset_min: int) -> date:
    """The date on the wall at an instant: what calendar days are counted by."""
    return (at + timedelta(minutes=offset_min)).date()


def instant_of(wall: datetime, zone: str) -> datetime:
    """The instant of a time on the wall of a place, `zone` its name such as `Europe/Madrid`.

    Raises
    ------
    TwoTimes
        The clocks change then: the time comes twice, or not at all.
    """
    there = ZoneInfo(zone)
    first, second = (wall.replace(tzinfo=there, fold=fold).astimezone(UTC) for fold in (0, 1))
    if first == second:
        return first
    back = first.astimezone(there).replace(tzinfo=None)
    if back != wall:
        raise TwoTimes(f"{wall:%H:%M %d %B %Y} never came: the clocks went forward. Say the time again.")
    raise TwoTimes(f"{wall:%H:%M %d %B %Y} came twice: the clocks went back. Say the first or the second.")


def span_words(span: timedelta) -> str:
    """A time span as it is said.

    >>> span_words(timedelta(hours=2, minutes=20)), span_words(timedelta(minutes=45))
    ('2 h 20 min', '45 min')
    """
    minutes = int(span.total_seconds() // 60)
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02} min" if hours else f"{rest} min"
