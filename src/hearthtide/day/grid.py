"""A history on a calendar without gaps: square roots of covers, what is known beforehand, the plain rule."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from hearthtide.day.history import LAST, WEEK
from hearthtide.house.sold import History
from hearthtide.ranges import Array

MOST_DAYS = 1100  # three years: what lies further back tells little of next week; own choice
SEASON_DAYS = 400  # a season is learned once a year and a month are known; own choice
SEASON_WAVES = 2  # a year and half a year, as sines and cosines; own choice
YEAR_DAYS = 365.25
LEAST_BOOKED = 42  # days with bookings before they are learned from: as many as the states warm up on


@dataclass(frozen=True, eq=False)
class Grid:
    """One row a day from `first` on; `known_days` of them are past, the rest is still to come.

    `covers` and `booked`: not-a-number where there is none. `learned`: covers of the days that are learned
    from (no note). `ordinary`: those the plain rule takes (no holiday either).
    """

    first: date
    known_days: int
    covers: Array
    learned: Array
    ordinary: Array
    booked: Array
    holiday: Array

    @property
    def has_season(self) -> bool:
        return self.known_days >= SEASON_DAYS

    @property
    def has_holidays(self) -> bool:
        past = slice(0, self.known_days)
        return bool(np.any(self.holiday[past][np.isfinite(self.learned[past])] > 0))

    @property
    def has_bookings(self) -> bool:
        past = slice(0, self.known_days)
        return int(np.sum(np.isfinite(self.booked[past]) & np.isfinite(self.learned[past]))) >= LEAST_BOOKED

    def at(self, day: date) -> int:
        return (day - self.first).days

    def knowns(self, with_bookings: bool) -> Array:
        """Known of each day beforehand: holiday, bookings, season; a column for each that can be learned."""
        columns = []
        if self.has_holidays:
            columns.append(self.holiday)
        if with_bookings:
            root = np.sqrt(self.booked)
            past = root[: self.known_days]
            columns.append(np.nan_to_num(root - np.mean(past[np.isfinite(past)])))
        if self.has_season:
            day_of_year = self.first.timetuple().tm_yday + np.arange(len(self.covers))
            turn = 2 * np.pi * day_of_year / YEAR_DAYS
            columns += [wave(k * turn) for k in range(1, SEASON_WAVES + 1) for wave in (np.sin, np.cos)]
        return np.column_stack(columns) if columns else np.zeros((len(self.covers), 0))

    def values(self, with_bookings: bool) -> Array:
        """Square roots of the covers that can be learned from."""
        roots = np.sqrt(self.learned[: self.known_days])
        return (
            np.where(np.isfinite(self.booked[: self.known_days]), roots, np.nan) if with_bookings else roots
        )

    def rule(self, days: int, last: int = LAST) -> Array:
        """For each day what the last ordinary same weekdays say, known `days` days before it."""
        told = np.full(len(self.covers), np.nan)
        seen: list[list[float]] = [[] for _ in range(WEEK)]
        late = -(-days // WEEK) - 1  # weeks of the same weekday that are not known yet
        waiting: list[list[float]] = [[] for _ in range(WEEK)]
        for i in range(len(told)):
            known, weekday = seen[i % WEEK], i % WEEK
            if known:
                told[i] = np.mean(known[-last:])
            waiting[weekday].append(self.ordinary[i] if i < self.known_days else np.nan)
            if len(waiting[weekday]) > late:
                value = waiting[weekday].pop(0)
                if np.isfinite(value):
                    known.append(value)
        return told


def grid_of(history: History, known: date, until: date) -> Grid:
    """The days up to `until`, of which those up to `known` are past."""
    first = max(history.open_days[0].day, known - timedelta(days=MOST_DAYS - 1))
    n = (until - first).days + 1
    covers, booked = np.full(n, np.nan), np.full(n, np.nan)
    noted, holiday = np.zeros(n, dtype=bool), np.zeros(n)
    for one in history.days:
        i = (one.day - first).days
        if not 0 <= i < n:
            continue
        if one.covers is not None and one.day <= known:
            covers[i] = one.covers
        if one.booked is not None:
            booked[i] = one.booked
        noted[i], holiday[i] = bool(one.note), float(bool(one.holiday))
    learned = np.where(noted, np.nan, covers)
    ordinary = np.where(holiday > 0, np.nan, learned)
    return Grid(first, (known - first).days + 1, covers, learned, ordinary, booked, holiday)
