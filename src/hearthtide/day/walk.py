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

WARM_DAYS = 24  # seen by the states before their misses count, four weeks of six: own choice
LEAST_MISSES = 20  # of which the band is made; own choice
LEAST_HOLIDAYS = 3  # that have passed, before a holiday's band is widened by how they missed; own choice
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
        by_model, by_rule, on_holidays = self._misses(i - self.days)
        if len(by_model) < LEAST_MISSES or not np.isfinite(self.model[i]):
            return None
        rule = float(self.rule[i]) if np.isfinite(self.rule[i]) else None
        if bool(self.grid.holiday[i]) and self.grid.has_holidays:
            counts = from_misses(float(self.model[i]), by_model * _wider(by_model, on_holidays))
            return Said(day, counts, None if rule is None else rule**2, 1.0)
        weight = 1.0 if rule is None else _weight(by_model, by_rule)
        middle = weight * float(self.model[i]) + (1 - weight) * (rule or 0.0)
        counts = from_misses(middle, weight * by_model + (1 - weight) * by_rule)
        return Said(day, counts, None if rule is None else rule**2, weight)

    def _misses(self, last: int) -> tuple[Array, Array, Array]:
        """What came less what was said of the days up to `last`: on ordinary days by both, on holidays by the
        model."""
        until = max(min(last + 1, self.grid.known_days), 0)
        seen = np.cumsum(np.isfinite(self.values[:until]))
        past = slice(self.days + int(np.searchsorted(seen, WARM_DAYS)), until)
        holiday = self.grid.holiday[past] > 0
        model, rule = self.values[past] - self.model[past], self.values[past] - self.rule[past]
        both = np.isfinite(model) & np.isfinite(rule) & ~holiday
        on_holidays = model[holiday & np.isfinite(model)]
        return model[both][-MOST_MISSES:], rule[both][-MOST_MISSES:], on_holidays


def _weight(by_model: Array, by_rule: Array) -> float:
    """The model's share: the rule's mean squared miss over both."""
    model, rule = float(np.mean(by_model**2)), float(np.mean(by_rule**2))
    return rule / (model + rule) if model + rule else 0.5


def _wider(ordinary: Array, on_holidays: Array) -> float:
    """How many times wider holidays have missed than other days; never narrower."""
    if len(on_holidays) < LEAST_HOLIDAYS or not np.any(ordinary):
        return 1.0
    return max(1.0, float(np.sqrt(np.mean(on_holidays**2) / np.mean(ordinary**2))))


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
