"""Dry orders: how much to order by when, so that what is there lasts until the delivery after the next.

Base stock under periodic review: what is there and ordered is brought up to what the days until then want,
with a margin for their chance. Of demand spread as the normal law with days independent of each other that
level is mean + z sd over lead time and review period (Arrow, Karlin and Scarf 1958, as every text on stock
has it; from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import NormalDist

from hearthtide.day.counts import Counts
from hearthtide.day.dishes import Share


@dataclass(frozen=True)
class Use:
    """What one day uses of a supply: mean and standard deviation, kg (or the supply's own unit)."""

    mean: float
    sd: float


@dataclass(frozen=True)
class Supply:
    """Something that is ordered: by `pack`, delivered on weekdays (Monday 0) at least `lead_days` after the
    order, `on_hand` in the morning, `coming` with the next delivery. `level`, 0.5 to below 1: how surely it
    is to last."""

    key: str
    name: str
    pack: float
    on_hand: float
    lead_days: int
    delivered: frozenset[int]
    level: float
    coming: float = 0.0

    def __post_init__(self) -> None:
        if self.pack <= 0 or self.on_hand < 0 or self.lead_days < 0 or not self.delivered:
            raise ValueError(f"{self.key}: expected a pack above 0, stock and lead from 0, delivery weekdays")
        if not 0.5 <= self.level < 1:
            raise ValueError(f"{self.key}: level {self.level}, expected 0.5 to below 1")


@dataclass(frozen=True)
class Ordered:
    """One order: placed at the latest on `by` for `arrives`, to last until `until` (the delivery after it).

    `mean`, `sd` and `up_to` are what all days from today to then want, and the level stock is brought up to;
    `there` what is there and on its way before it; `packs` to order. `short` is the chance that what is there
    does not last until it arrives.
    """

    by: date
    arrives: date
    until: date
    mean: float
    sd: float
    up_to: float
    there: float
    packs: int
    short: float


def use_of(kg_each: Mapping[str, float], shares: Mapping[str, Share], covers: Counts) -> Use:
    """A day's use of a supply from portions of each dish, given the covers.

    The guests of one night are the same for all dishes: by the law of total variance their spread counts with
    all dishes together, the dishes' own spread each by itself.
    """
    mean, own, together = 0.0, 0.0, 0.0
    for dish, kg in kg_each.items():
        share = shares[dish]
        portions = covers.mean * share.each
        spread = share.spread * (1 + portions / share.portions)
        mean += kg * portions
        own += kg**2 * spread * portions
        together += kg * share.each
    return Use(mean, math.sqrt(own + together**2 * covers.sd**2))


def over(uses: Sequence[Use]) -> Use:
    """Several days together, each by itself.

    >>> over((Use(10, 3), Use(12, 4)))
    Use(mean=22, sd=5.0)
    """
    return Use(sum(one.mean for one in uses), math.sqrt(sum(one.sd**2 for one in uses)))


def base_stock(use: Use, level: float) -> float:
    """What has to be there so that it lasts with that chance: mean + z sd.

    >>> round(base_stock(Use(100, 10), 0.975), 1)
    119.6
    """
    return use.mean + NormalDist().inv_cdf(level) * use.sd


def runs_short(use: Use, there: float) -> float:
    """The chance that more is wanted than is there."""
    if use.sd <= 0:
        return float(use.mean > there)
    return 1 - NormalDist(use.mean, use.sd).cdf(there)


def orders(supply: Supply, today: date, uses: Sequence[Use]) -> tuple[Ordered, ...]:
    """Orders for the deliveries of the days ahead, `uses` from today on; each to last until the one after.

    Delivered in the morning, before that day's use. An order for today's delivery can no longer be made
    unless `lead_days` is 0. A delivery that needs nothing is left out. Those whose next delivery lies beyond
    `uses` are not told.
    """
    days = [n for n in range(supply.lead_days, len(uses) + 1) if _weekday(today, n) in supply.delivered]
    found, coming = [], supply.coming
    for at, after in pairwise(days):
        whole, before = over(uses[:after]), over(uses[:at])
        up_to, there = base_stock(whole, supply.level), supply.on_hand + coming
        ordered_is_in = any(_weekday(today, n) in supply.delivered for n in range(1, at))
        in_time = there if ordered_is_in else there - supply.coming
        packs = math.ceil(max(0.0, up_to - there) / supply.pack - 1e-9)
        if packs:
            found.append(
                Ordered(
                    by=today + timedelta(days=at - supply.lead_days),
                    arrives=today + timedelta(days=at),
                    until=today + timedelta(days=after),
                    mean=whole.mean,
                    sd=whole.sd,
                    up_to=up_to,
                    there=there,
                    packs=packs,
                    short=runs_short(before, in_time),
                )
            )
            coming += packs * supply.pack
    return tuple(found)


def _weekday(today: date, days: int) -> int:
    return (today + timedelta(days=days)).weekday()
