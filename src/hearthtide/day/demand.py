"""Covers of a day with an honest band, from the house's own history, always beside the plain rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from hearthtide.day.counts import NONE, Counts
from hearthtide.day.grid import Grid, grid_of
from hearthtide.day.history import WEEK, last_same_weekdays, mean
from hearthtide.day.walk import Basis, Said, Walk, basis, walk
from hearthtide.house.sold import History

FURTHEST_DAYS = 28  # ahead of the last day known; own choice
LEAST_DAYS = 28  # that can be learned from, before the model is asked at all; own choice
SCORED_DAYS = 56  # eight weeks back-tested, as a chef would look back
LOOKED_BACK_WEEKS = 4  # for a same weekday that was open


@dataclass(frozen=True, eq=False)
class Covers:
    """Covers of one day. `counts` None: too little is known, and only the plain rule speaks.

    `known` is the last day it was told from; `last` the same weekdays the rule takes, newest first; `weight`
    the model's share in the number (the rule has the rest); `learned` what was used beside level, weekday.
    """

    day: date
    known: date
    counts: Counts | None
    last: tuple[tuple[date, float], ...]
    weight: float
    learned: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def rule(self) -> float | None:
        return mean([count for _, count in self.last])

    @property
    def ahead_days(self) -> int:
        return (self.day - self.known).days


@dataclass(frozen=True)
class Score:
    """Mean misses of covers over days that have passed, each told as far ahead. `held`: share in the band."""

    days: int
    ours: float
    rule: float
    week_before: float
    mean: float
    held: float


@dataclass(frozen=True, eq=False)
class Miss:
    """A day that has passed: what was said of it as far ahead, and what came."""

    said: Covers
    came: int


def covers_of(history: History, day: date) -> Covers:
    """Covers of a day by all that was known before it. What was sold on it or later is not looked at.

    Raises ValueError when nothing was known before, or the day lies more than 28 days beyond.
    """
    return covers_ahead(history, (day,))[0]


def covers_ahead(history: History, days: Sequence[date]) -> tuple[Covers, ...]:
    """The same for several days in their order, all told from what was known before the first of them."""
    past = history.before(days[0])
    if not past.open_days:
        raise ValueError(f"nothing known before {days[0]}: expected a day that was sold on")
    known = past.open_days[-1].day
    if (days[-1] - known).days > FURTHEST_DAYS:
        raise ValueError(f"{days[-1]}: expected at most {FURTHEST_DAYS} days after {known}")
    grid = grid_of(past, known, days[-1])
    kept: dict[bool, Basis] = {}
    return tuple(_told(past, grid, known, day, kept) for day in days)


def _told(past: History, grid: Grid, known: date, day: date, kept: dict[bool, Basis]) -> Covers:
    last = last_same_weekdays(past, day, known)
    if not past.is_open(day):
        return Covers(day, known, NONE, last, 1.0, (), ("shut",))
    booked = _has_booked(grid, day) and grid.has_bookings
    said = _said(grid, day, known, booked, kept)
    if said is None and booked:
        booked, said = False, _said(grid, day, known, False, kept)
    learned, remarks = _learned(grid, day, booked, said)
    if booked in kept and not kept[booked].followed.settled:
        remarks += ("the fit of the model's variances did not settle: mind the misses",)
    counts, weight = (None, 0.0) if said is None else (said.counts, said.weight)
    return Covers(day, known, counts, last, weight, learned, remarks)


def _said(grid: Grid, day: date, known: date, booked: bool, kept: dict[bool, Basis]) -> Said | None:
    if int(np.isfinite(grid.learned).sum()) < LEAST_DAYS:
        return None
    if booked not in kept:
        kept[booked] = basis(grid, booked)
    return walk(kept[booked], (day - known).days).said(day)


def _has_booked(grid: Grid, day: date) -> bool:
    return bool(np.isfinite(grid.booked[grid.at(day)]))


def _learned(
    grid: Grid, day: date, booked: bool, said: Said | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was used besides level and weekday, and what a chef should know of it."""
    remarks = []
    holiday = bool(grid.holiday[grid.at(day)])
    if said is None:
        remarks.append("too few days to learn from: only the plain rule speaks")
    if holiday and not grid.has_holidays:
        remarks.append("a holiday, and none is in the history: told as if it were none")
    elif holiday:
        remarks.append("a holiday: told from all holidays alike")
    if _has_booked(grid, day) and not booked:
        remarks.append("bookings are not used: too few past days tell theirs")
    if said is None:
        return (), tuple(remarks)
    used = (("season", grid.has_season), ("holidays", grid.has_holidays), ("bookings", booked))
    return tuple(name for name, is_used in used if is_used), tuple(remarks)


def last_miss(history: History, told: Covers) -> Miss | None:
    """The same weekday a week before (or up to four) as it was told as far ahead, and what came.

    It is told anew from what was known then; None where no such day was open, or nothing was known then.
    """
    for weeks in range(1, LOOKED_BACK_WEEKS + 1):
        day = told.day - timedelta(weeks=weeks)
        came = history.by_date.get(day)
        if day > told.known or came is None or came.covers is None:
            continue
        before = history.before(day - timedelta(days=told.ahead_days - 1))
        if not before.open_days:
            return None
        return Miss(covers_of(before, day), came.covers)
    return None


def score_of(history: History, told: Covers) -> Score | None:
    """How far off it would have been over the last eight weeks, told as far ahead each day; None of none.

    The variances are fitted to what lies before those weeks; days with a note are left out.
    """
    past = history.before(told.day)
    grid = grid_of(past, told.known, told.day)
    start = told.known - timedelta(days=SCORED_DAYS - 1)
    if grid.at(start) < LEAST_DAYS:
        return None
    walked = walk(basis(grid, "bookings" in told.learned, start - timedelta(days=1)), told.ahead_days)
    return scored(walked, start, told.known)


def scored(walked: Walk, first: date, last: date) -> Score | None:
    """Misses of the days from `first` to `last` that both we and the rule told, open a week before too."""
    rows, grid = [], walked.grid
    for i in range(grid.at(first), grid.at(last) + 1):
        came, before = grid.learned[i], grid.learned[i - WEEK]
        said = walked.said(grid.first + timedelta(days=i)) if np.isfinite(came) else None
        if said is None or said.rule is None or not np.isfinite(before):
            continue
        low, high = said.counts.band()
        misses = (abs(said.counts.middle - came), abs(said.rule - came), abs(before - came))
        rows.append((*misses, came, float(low <= came <= high)))
    if not rows:
        return None
    return Score(len(rows), *(float(value) for value in np.mean(rows, axis=0)))
