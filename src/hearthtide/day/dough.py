"""Dough by age and tray: what is there on three days, and which trays come out of the cold when.

Trade teaching from public threads: good on day one, best on day two, binned after day three; tempered 60 to
90 minutes, used within two to three hours then. The day it is made is day one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

DAYS = 3  # days looked ahead, and the last day of dough; trade teaching, anecdote
HALF_HOUR_S = 1800
Word = Literal["good", "best", "last day"]
_WORDS: tuple[Word, ...] = ("good", "best", "last day")


@dataclass(frozen=True)
class Balls:
    """So many balls that were made on a day."""

    made: date
    count: int

    def age(self, day: date) -> int:
        """Its day, the one it was made on being the first."""
        return (day - self.made).days + 1


def age_word(age: int) -> Word:
    """What dough of a day (1 to 3) is.

    >>> age_word(2)
    'best'
    """
    return _WORDS[age - 1]


@dataclass(frozen=True)
class DoughDay:
    """One day: the balls there after its making by their age, made, wanted, short, binned that night."""

    day: date
    there: tuple[Balls, ...]
    made: int
    wanted: int
    short: int
    binned: int


def dough_days(
    lots: Sequence[Balls], day: date, made: Sequence[int], wanted: Sequence[int]
) -> tuple[DoughDay, ...]:
    """What `made` each day does for what is `wanted`, the oldest used first; days as many as both tell.

    >>> one, two = dough_days([Balls(date(2026, 5, 31), 10)], date(2026, 6, 2), (30, 0), (25, 25))
    >>> one.binned, two.short, [balls.count for balls in two.there]
    (0, 10, [15])
    """
    kept = [balls for balls in lots if balls.count and balls.age(day) <= DAYS]
    days = []
    for n, (make, want) in enumerate(zip(made, wanted, strict=True)):
        today = day + timedelta(days=n)
        kept = sorted([*kept, *([Balls(today, make)] if make else [])], key=lambda balls: balls.made)
        there, left, want_left = tuple(kept), [], want
        for balls in kept:
            used = min(balls.count, want_left)
            want_left -= used
            if balls.count > used:
                left.append(Balls(balls.made, balls.count - used))
        binned = sum(balls.count for balls in left if balls.age(today) >= DAYS)
        kept = [balls for balls in left if balls.age(today) < DAYS]
        days.append(DoughDay(today, there, make, want, want_left, binned))
    return tuple(days)


@dataclass(frozen=True)
class TrayOut:
    """A tray, or part of one, that leaves the cold: when, when it is tempered, by when its balls are used."""

    out_s: int
    ready_s: int
    use_by_s: int
    balls: int
    made: date


@dataclass(frozen=True)
class Evening:
    """How many balls each half hour from `from_s` on wants."""

    from_s: int
    balls: tuple[float, ...]

    @property
    def total(self) -> int:
        return round(sum(self.balls))

    def used_at(self, count: float) -> float:
        """The moment at which so many have been used, evenly within each half hour; its end for more.

        >>> Evening(61200, (6.0, 12.0)).used_at(12)
        63900.0
        """
        gone = 0.0
        for n, balls in enumerate(self.balls):
            if balls > 0 and gone + balls >= count:
                return self.from_s + HALF_HOUR_S * (n + (count - gone) / balls)
            gone += balls
        return float(self.from_s + HALF_HOUR_S * len(self.balls))


@dataclass(frozen=True)
class Trays:
    """What comes out tonight, and how many balls that are wanted are not there."""

    out: tuple[TrayOut, ...]
    short: int


def trays_out(
    evening: Evening, lots: Sequence[Balls], day: date, tray: int, temper_s: int, use_within_s: int
) -> Trays:
    """Trays in the order they come out, the oldest dough first: each ready when the one before it is
    used up, to the minute.

    A tray that the evening would not use up within its time comes out in part; what is not wanted stays in
    the cold. ValueError for a tray of none or times not above 0.
    """
    if tray < 1 or temper_s <= 0 or use_within_s <= 0:
        raise ValueError("expected a tray of at least one ball and times above 0")
    out: list[TrayOut] = []
    gone = 0
    for balls in sorted(lots, key=lambda one: one.made):
        left = balls.count if balls.age(day) <= DAYS else 0
        while left and gone < evening.total:
            ready_s = int(evening.used_at(gone)) // 60 * 60 if gone else evening.from_s
            count = min(tray, left, evening.total - gone)
            while count > 1 and evening.used_at(gone + count) > ready_s + use_within_s:
                count -= 1
            out.append(TrayOut(ready_s - temper_s, ready_s, ready_s + use_within_s, count, balls.made))
            gone, left = gone + count, left - count
    return Trays(tuple(out), evening.total - gone)


def evening_of(from_s: int, covers: Sequence[int], balls: int) -> Evening:
    """So many balls over an evening as its guests come; ValueError where nobody comes.

    >>> evening_of(61200, (4, 8), 6).balls
    (2.0, 4.0)
    """
    if sum(covers) <= 0:
        raise ValueError("expected somebody to come")
    return Evening(from_s, tuple(balls * one / sum(covers) for one in covers))
