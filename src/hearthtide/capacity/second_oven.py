"""Whether a second oven pays: what is turned away, what it brings and costs, and what flips the answer."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import inf
from typing import Literal

from hearthtide.capacity.supply import Hour
from hearthtide.ranges import require

Verdict = Literal["steps first", "second oven", "neither"]


@dataclass(frozen=True)
class Case:
    """Covers turned away on each of `nights` a year, money a cover brings; the oven's price; each night
    `hours` of a cook and of fuel, money per hour each; the share of those covers that it would win back.
    """

    turned_away: float
    nights: float
    margin: float
    price: float
    cook_h: float
    fuel_h: float
    hours: float
    recovered: float

    def __post_init__(self) -> None:
        for one in fields(self):
            require(one.name, getattr(self, one.name), "", 0.0, 1e9)
        require("recovered", self.recovered, "-", 0.0, 1.0)

    @property
    def lost_year(self) -> float:
        """Money turned away in a year."""
        return self.turned_away * self.nights * self.margin

    @property
    def running_year(self) -> float:
        """Cook and fuel of a year."""
        return (self.cook_h + self.fuel_h) * self.hours * self.nights

    @property
    def net_year(self) -> float:
        return self.recovered * self.lost_year - self.running_year

    @property
    def payback_years(self) -> float:
        """Years until the price is back; infinite where it never is."""
        return self.price / self.net_year if self.net_year > 0 else inf


@dataclass(frozen=True)
class Flip:
    """The value of one input, all others as they are, at which the oven is back just in the years asked for.

    None where no value of it does that. `pays_above`: it pays for more of it, else for less.
    """

    name: str
    now: float
    at: float | None
    pays_above: bool


def flips(case: Case, within_years: float) -> tuple[Flip, ...]:
    """Each input's own value at which recovered - running = price / years; nearest to now first, as a factor.

    With c covers, n nights, m margin, r recovered, P price, k cook and f fuel per hour, h hours, Y years:
    r c n m - (k + f) h n = P / Y, solved for one at a time. Raises PhysicalRangeError for years outside 0.1
    to 50.
    """
    require("within_years", within_years, "a", 0.1, 50.0)
    a_year = case.price / within_years
    night_m = case.recovered * case.turned_away * case.margin - (case.cook_h + case.fuel_h) * case.hours
    needed = a_year + case.running_year
    left_h = (case.recovered * case.lost_year - a_year) / case.nights if case.nights else -1.0

    def ratio(top: float, bottom: float) -> float | None:
        return top / bottom if bottom > 0 and top >= 0 else None

    share = ratio(needed, case.lost_year)
    rate_h = ratio(left_h, case.hours)
    found = [
        Flip(
            "turned_away", case.turned_away, ratio(needed, case.recovered * case.nights * case.margin), True
        ),
        Flip("nights", case.nights, ratio(a_year, night_m), True),
        Flip("margin", case.margin, ratio(needed, case.recovered * case.turned_away * case.nights), True),
        Flip("recovered", case.recovered, share if share is not None and share <= 1 else None, True),
        Flip("price", case.price, case.net_year * within_years if case.net_year > 0 else None, False),
        Flip("cook_h", case.cook_h, _over(rate_h, case.fuel_h), False),
        Flip("fuel_h", case.fuel_h, _over(rate_h, case.cook_h), False),
        Flip("hours", case.hours, ratio(left_h, case.cook_h + case.fuel_h), False),
    ]
    return tuple(sorted(found, key=_far))


def _over(rate: float | None, other: float) -> float | None:
    return rate - other if rate is not None and rate >= other else None


def _far(flip: Flip) -> float:
    if flip.at is None or flip.at <= 0 or flip.now <= 0:
        return inf
    return max(flip.at / flip.now, flip.now / flip.at)


def payback_range(case: Case, low: float, high: float) -> tuple[float, float]:
    """Years at the highest and at the lowest share recovered."""
    return replace(case, recovered=high).payback_years, replace(case, recovered=low).payback_years


def verdict(after_steps: Hour, case: Case, within_years: float) -> Verdict:
    """Steps that make the hour fit come first; else the oven, if it is paid back in time; else neither."""
    if after_steps.of_limit <= 1.0:
        return "steps first"
    return "second oven" if case.payback_years <= within_years else "neither"


def hour_flips(hour: Hour, after_steps: Hour) -> dict[str, float]:
    """Values, one at a time, at which the hour is just full with all steps taken: covers wanted in it, usable
    stone in m², m²·min a plate of the dish that takes most.

    Empty where the steps leave nothing on the stone: no one value of these fills it again.

    >>> hour = Hour(1.0, 50.0, {"pizza": 100.0}, {"pizza": 0.5})
    >>> {name: round(value, 3) for name, value in hour_flips(hour, hour).items()}
    {'covers': 84.0, 'usable_m2': 0.595, 'use of pizza': 0.84}
    """
    if after_steps.wanted_m2min <= 0:
        return {}
    dish = next(iter(after_steps.parts_m2min))
    plates = after_steps.covers / 100 * after_steps.per_100[dish]
    spare = after_steps.limit_m2min - after_steps.wanted_m2min
    return {
        "covers": after_steps.most_covers * hour.covers / after_steps.covers,
        "usable_m2": after_steps.usable_m2 * after_steps.of_limit,
        f"use of {dish}": after_steps.uses_m2min[dish] + spare / plates,
    }
