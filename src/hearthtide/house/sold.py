"""A house's days as it wrote them down: covers, bookings, dishes, what made a day unlike others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import pairwise

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


@dataclass(frozen=True)
class Lot:
    """Portions of something made ahead that are there, made on one day. `key`: as pars.yaml names it."""

    key: str
    made: date
    portions: int


@dataclass(frozen=True)
class Change:
    """A number of ours that a chef changed. `told`: when, as written. `figure`: covers, a dish, or a par."""

    told: str
    day: date
    figure: str
    ours: int
    yours: int
    person: str
    why: str
