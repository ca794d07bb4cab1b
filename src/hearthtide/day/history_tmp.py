"""A house's days as they were, and the plain rule that every forecast is shown beside."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import pairwise

WEEK = 7
LAST = 4  # same weekdays that the plain rule takes; common practice, no source
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
SHUT_AFTER_WEEKS = 12  # a weekday without one open day for so long is not an open day; own choice


@dataclass(frozen=True)
class SoldDay:
    """One day as the house wrote it down. `covers` None: shut, or still to come.

    `note`: what made the day unlike others; it is kept and shown, and nothing is learned from it. `ran_out`:
    dishes that were gone before the end, so that less was sold than wanted.
    """

    day: date
    covers: int | None
    booked: int | None = None
    holiday: str = ""
    note: str = ""
    dishes: Mapping[str, int] | None = None
    ran_out: frozenset[str] = frozenset()

    @property
    def ordinary(self) -> bool:
        """Whether it is like others: open, no holiday, nothing noted."""
        return self.covers is not None and not self.holiday and not self.note


@dataclass(frozen=True)
class History:
    """All days of a house, sorted, one for each date (ValueError otherwise)."""

    days: tuple[SoldDay, ...]

    def __post_init__(self) -> None:
        dates = [one.day for one in self.days]
        if any(later <= sooner for sooner, later in pairwise(dates)):
            raise ValueError("days: expected them sorted, each date once")

    @cached_property
    def by_date(self) -> Mapping[date, SoldDay]:
        return {one.day: one for one in self.days}

    @property
    def open_days(self) -> tuple[SoldDay, ...]:
        return tuple(one for one in self.days if one.covers is not None)

    def before(self, day: date) -> History:
        """What was known on the morning of `day`: nothing sold on it or later; bookings stay."""
        return History(
            tuple(
                one
                if one.day < day
                else SoldDay(one.day, None, one.booked, one.holiday, one.note if one.covers is None else "")
                for one in self.days
            )
        )

    def is_open(self, day: date) -> bool:
        """Whether the house is open on such a weekday, and has not written that it is shut."""
        written = self.by_date.get(day)
        if written is not None and written.covers is None and written.note:
            return False
        known = [one.day for one in self.open_days if one.day < day]
        if not known:
            return False
        first = known[-1] - timedelta(weeks=SHUT_AFTER_WEEKS)
        return any(one.weekday() == day.weekday() and one > first for one in known)


Count = Callable[[SoldDay], float | None]
"""What is counted of a day, None where it is not told: covers, or portions of something."""


def covers_sold(one: SoldDay) -> float | None:
    return one.covers


def last_same_weekdays(
    history: History, day: date, known: date, count: Count = covers_sold, most: int = LAST
) -> tuple[tuple[date, float], ...]:
    """The last ordinary days of that weekday up to `known`, newest first, each with its count.

    >>> from datetime import date
    >>> week = tuple(SoldDay(date(2026, 5, n), 60 + n) for n in range(1, 29))
    >>> last = last_same_weekdays(History(week), date(2026, 6, 2), date(2026, 5, 28), most=2)
    >>> [(one.day, count) for one, count in last]
    [(26, 86), (19, 79)]
    """
    found: list[tuple[date, float]] = []
    at = day - timedelta(weeks=1)
    oldest = history.days[0].day if history.days else day
    while at >= oldest and len(found) < most:
        one = history.by_date.get(at)
        value = count(one) if one is not None and one.ordinary and at <= known else None
        if value is not None:
            found.append((at, value))
        at -= timedelta(weeks=1)
    return tuple(found)


def mean(values: Sequence[float]) -> float | None:
    """The plain mean; None of nothing."""
    return sum(values) / len(values) if values else None
