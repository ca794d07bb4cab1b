"""The plain rule that every forecast is shown beside: the last same weekdays."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from hearthtide.house.sold import History, SoldDay

WEEK = 7
LAST = 4  # same weekdays that the plain rule takes; common practice, no source
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

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
