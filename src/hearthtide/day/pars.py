"""How much to have ready of what is made ahead, by what a portion too few and one too many cost.

One day's life is the newsvendor's sum: the best par is passed by demand with a chance of waste / (short +
waste) (Arrow, Harris and Marschak, Econometrica 19 (1951) 250). What lives longer is charged, when it is
made, with what of it is expected to be binned at the end of its days; on which days cannot depend on what is
made later, because the oldest goes first (Nahmias and Pierskalla, Nav. Res. Logist. Q. 20 (1973) 207, for two
days; Nahmias, Manage. Sci. 24 (1977) 82, measured such a sum within a fraction of a percent of the optimum).
Days are taken as independent of each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.day.counts import Counts, summed
from hearthtide.ranges import Array

RULE = 1.2  # "the last four same weekdays and a fifth more", as it is taught; common practice, no source
FAR = 0.9999  # demand of all days to the next making that no sum looks beyond


@dataclass(frozen=True)
class Costs:
    """Money, for one portion: wanted and not there, binned, and carried on to the next day."""

    short: float
    waste: float
    older: float = 0.0

    def __post_init__(self) -> None:
        if self.short <= 0 or self.waste < 0 or self.older < 0 or self.waste + self.older <= 0:
            raise ValueError(f"{self}: expected a cost of short, of waste or of older, none below 0")


@dataclass(frozen=True)
class Ahead:
    """What a par is reckoned from.

    `demand`: of today and the days after it, as many as what is made today lives (`life`). `stock[i]`:
    portions there already whose last day is i days from today. `until_next`: days to the next making, today
    counted; what is made today must do until then.
    Raises ValueError where these do not fit together.
    """

    demand: tuple[Counts, ...]
    costs: Costs
    stock: tuple[int, ...] = ()
    until_next: int = 1
    batch: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.until_next <= len(self.demand):
            raise ValueError(f"{self.until_next} days to the next making: expected 1 to {len(self.demand)}")
        if self.batch < 1 or any(portions < 0 for portions in self.stock):
            raise ValueError("batch and stock: expected a batch of at least 1, no stock below 0")

    @property
    def life(self) -> int:
        return len(self.demand)

    @property
    def on_hand(self) -> int:
        return sum(self.stock)


@dataclass(frozen=True)
class Sum:
    """What making `make` more comes to. Expected portions, and money over the days until the next making.

    `runs_out`: the chance that somebody wants one today who cannot have it. `binned`: of what is made today.
    `old_binned`: of what is there already, whatever is made.
    """

    on_hand: int
    make: int
    runs_out: float
    short: float
    carried: float
    binned: float
    old_binned: float
    costs: Costs

    @property
    def par(self) -> int:
        return self.on_hand + self.make

    @property
    def money(self) -> float:
        costs = self.costs
        return costs.short * self.short + costs.waste * self.binned + costs.older * self.carried


def sum_of(ahead: Ahead, make: int) -> Sum:
    """What `make` portions made today come to, all by exact chances.

    Chances of how many have left the shelf, sold or binned, are followed from night to night: after a day it
    is at least what had to go by then (its last day is over) and at most all there was.

    >>> day = Counts(np.full(5, 0.2))
    >>> one = sum_of(Ahead((day, day), Costs(short=3, waste=1)), 2)
    >>> round(one.short, 3), round(one.binned, 3)
    (0.6, 0.16)
    """
    last_days = max(ahead.life, len(ahead.stock))
    going = np.zeros(last_days, dtype=int)  # portions whose last day is each
    going[: len(ahead.stock)] = ahead.stock
    going[ahead.life - 1] += make
    all_there, must_go = int(going.sum()), np.cumsum(going)
    gone = np.zeros(all_there + 1)
    gone[0] = 1.0
    short, carried, old_binned, binned, runs_out = 0.0, 0.0, 0.0, 0.0, 0.0
    for day, demand in enumerate(ahead.demand):
        wanted = np.convolve(gone, demand.shares)  # gone before, and wanted today
        if day < ahead.until_next:
            over = np.arange(len(wanted)) - all_there
            short += float(wanted @ np.maximum(over, 0))
            if day == 0:
                runs_out = float(wanted[all_there + 1 :].sum())
        unsold = np.maximum(must_go[day] - np.arange(len(wanted)), 0)
        if day == ahead.life - 1:  # of two lots that end the same night the one made later is eaten last
            ours = np.minimum(unsold, make)
            binned = float(wanted @ ours)
            unsold = unsold - ours
        old_binned += float(wanted @ unsold)
        gone = _after(wanted, int(must_go[day]), all_there)
        if day < ahead.until_next:
            carried += all_there - float(gone @ np.arange(all_there + 1))
    return Sum(ahead.on_hand, make, runs_out, short, carried, binned, old_binned, ahead.costs)


def _after(wanted: Array, must_go: int, all_there: int) -> Array:
    """Chances of what has left the shelf by the end of a day: at least what must go, at most all."""
    gone = np.zeros(all_there + 1)
    left = np.clip(np.arange(len(wanted)), must_go, all_there)
    np.add.at(gone, left, wanted)
    return gone


def best(ahead: Ahead) -> Sum:
    """The making, in whole batches, whose sum of money is the least; of equals the smallest.

    The sum is convex in what is made, so the least lies where one batch more first saves nothing.
    """
    low, high = 0, -(-top(ahead) // ahead.batch)
    while low < high:
        middle = (low + high) // 2
        here = sum_of(ahead, middle * ahead.batch)
        if sum_of(ahead, (middle + 1) * ahead.batch).money < here.money - 1e-9:
            low = middle + 1
        else:
            high = middle
    return sum_of(ahead, low * ahead.batch)


def top(ahead: Ahead) -> int:
    """No more is ever worth making: all demand to the next making but one run of days in ten thousand.

    What is there already is not taken off: it may be over before it is wanted.
    """
    return summed(ahead.demand[: ahead.until_next]).quantile(FAR)


def to_par(ahead: Ahead, par: int) -> int:
    """What is to be made so that `par` are there, in whole batches, rounded up."""
    lacks = max(0, par - ahead.on_hand)
    return -(-lacks // ahead.batch) * ahead.batch


def rule_of_thumb(same_weekdays: Sequence[float]) -> int:
    """The par as it is taught: the last four same weekdays on average and a fifth more, rounded up.

    >>> rule_of_thumb((20, 24, 21, 23))
    27
    """
    if not same_weekdays:
        raise ValueError("no same weekday: expected at least one")
    raised = RULE * sum(same_weekdays) / len(same_weekdays)
    return int(np.ceil(raised - 1e-9))
