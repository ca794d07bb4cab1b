"""What is said of a day so many days before it: the structural model and the plain rule together.

Two ways of telling are averaged by how far each has missed: the weight of one is the other's mean squared
miss over the sum of both (Bates and Granger, Operational Research Quarterly 20 (1969) 451). The band is the
past: every miss of the last year is as likely again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from hearthtide.day.counts import Counts, from_misses
from hearthtide.day.grid import Grid
from hearthtide.day.structural import Followed, follow
from hearthtide.ranges import Array

WARM_DAYS = 28  # before the states have seen every weekday four times their misses do not count; own choice
LEAST_MISSES = 20  # of which the band is made; own choice
MOST_MISSES = 365  # as of the last year


@dataclass(frozen=True, eq=False)
class Said:
    """What was said of one day. `weight` is the model's share; the rule has the rest."""

    day: date
    counts: Counts
    rule: float | None
    weight: float


@dataclass(frozen=True, eq=False)
class Walk:
    """Everything `days` days ahead, for each day of a grid: `model` and `rule` in square roots of covers."""

    grid: Grid
    days: int
    values: Array
    model: Array
    rule: Array

    def said(self, day: date) -> Said | None:
        """What is said of a day by what was known `days` before; None when too little was."""
        i = self.grid.at(day)
        holiday = bool(self.grid.holiday[i])
        by_model, by_rule = self._misses(i - self.days, holiday)
        if len(by_model) < LEAST_MISSES or not np.isfinite(self.model[i]):
            return None
        weight = 1.0
        if np.isfinite(self.rule[i]) and not (holiday and self.grid.has_holidays):
            squares = float(np.mean(by_model**2)), float(np.mean(by_rule**2))
            weight = squares[1] / (squares[0] + squares[1]) if sum(squares) else 0.5
        rule = self.rule[i] if np.isfinite(self.rule[i]) else 0.0
        middle = weight * self.model[i] + (1 - weight) * rule
        counts = from_misses(float(middle), weight * by_model + (1 - weight) * by_rule)
        return Said(day, counts, float(rule**2) if np.isfinite(self.rule[i]) else None, float(weight))

    def _misses(self, last: int, with_holidays: bool) -> tuple[Array, Array]:
        """What came less what was said, of the days up to `last` that both told."""
        until = min(last + 1, self.grid.known_days)
        past = slice(max(WARM_DAYS + self.days, 0), max(until, 0))
        came = self.values[past]
        if not with_holidays:
            came = np.where(self.grid.holiday[past] > 0, np.nan, came)
        model, rule = came - self.model[past], came - self.rule[past]
        both = np.isfinite(model) & np.isfinite(rule)
        return model[both][-MOST_MISSES:], rule[both][-MOST_MISSES:]


@dataclass(frozen=True, eq=False)
class Basis:
    """The states a grid's days lead to; walks of any number of days ahead are made from it."""

    grid: Grid
    known: Array
    values: Array
    followed: Followed


def basis(grid: Grid, with_bookings: bool, until: date | None = None) -> Basis:
    """The structural model over a grid's past days; its variances fitted to those up to `until` alone."""
    known, values = grid.knowns(with_bookings), grid.values(with_bookings)
    variances = None
    if until is not None:
        n = grid.at(until) + 1
        variances = follow(values[:n], known[:n]).variances
    return Basis(grid, known, values, follow(values, known, variances))


def walk(on: Basis, days: int) -> Walk:
    """All days of the grid, each told `days` days ahead (at least 1)."""
    ahead = on.followed.ahead(on.known, days)
    model = np.full(len(on.known), np.nan)
    model[days - 1 : days - 1 + len(ahead)] = ahead
    return Walk(on.grid, days, on.values, model, np.sqrt(on.grid.rule(days)))
