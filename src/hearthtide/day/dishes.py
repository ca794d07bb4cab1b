"""Portions of a dish, or of what is made ahead for several, from the covers: so many for each guest.

The share of a weekday is the house's own, drawn towards that of all days until the weekday has shown enough
of itself (a gamma prior on a Poisson rate). The spread about it is measured, not supposed: nights differ
more than chance alone would have it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from hearthtide.day.counts import Counts, spread_counts
from hearthtide.day.history import Count
from hearthtide.house.sold import History, SoldDay
from hearthtide.ranges import Array

HALF_DAYS = 56.0  # what lies eight weeks back counts half; own choice
PRIOR_PORTIONS = 30.0  # so many of all days' portions stand against a weekday's own; own choice
LEAST_NIGHTS = 12  # with the dish told, before a share is said; own choice
MOST_STEPS = 400
FAR_SDS = 8.0  # a table of chances ends where nothing is left
PASSES = 3  # of guessing what would have been sold had it not run out


@dataclass(frozen=True)
class Share:
    """Portions a guest. `all_days` times `weekday` is that day's; `spread`: variance over mean, at least 1.

    `portions` and `nights`: how much it was learned from, older ones counted less; `ran_out`: nights on which
    what was sold is taken as the least that was wanted.
    """

    all_days: float
    weekday: float
    spread: float
    portions: float
    nights: int
    ran_out: int

    @property
    def each(self) -> float:
        return self.all_days * self.weekday


def portions_of(uses: Mapping[str, int]) -> Count:
    """What a day used, portions for each plate of the dishes that need it; None where one is not told.

    >>> count = portions_of({"pizza": 1, "flatbread": 1})
    >>> count(SoldDay(date(2026, 5, 1), 60, dishes={"pizza": 40, "flatbread": 7, "wings": 5}))
    47
    """

    def count(one: SoldDay) -> float | None:
        told = one.dishes or {}
        return None if any(key not in told for key in uses) else sum(n * told[key] for key, n in uses.items())

    return count


def share_of(history: History, uses: Mapping[str, int], day: date) -> Share | None:
    """The share by what was known before `day`, days with a note left out; None of too few nights."""
    count = portions_of(uses)
    rows = [
        (one, value)
        for one in history.before(day).open_days
        if not one.note and one.covers and (value := count(one)) is not None
    ]
    if len(rows) < LEAST_NIGHTS:
        return None
    covers: Array = np.array([one.covers for one, _ in rows], dtype=float)
    sold: Array = np.array([value for _, value in rows], dtype=float)
    short = np.array([bool(one.ran_out & set(uses)) for one, _ in rows])
    same = np.array([one.day.weekday() == day.weekday() for one, _ in rows])
    weights: Array = 0.5 ** (np.array([(day - one.day).days for one, _ in rows]) / HALF_DAYS)
    share = _share(covers, sold, same, weights, int(short.sum()))
    for _ in range(PASSES if short.any() else 0):
        wanted = np.where(short, _at_least(np.multiply(covers, share.each), share.spread, sold), sold)
        share = _share(covers, wanted, same, weights, int(short.sum()))
    return share


def _share(covers: Array, portions: Array, same: Array, weights: Array, ran_out: int) -> Share:
    all_days = max(float(weights @ portions), 0.5) / float(weights @ covers)
    own, expected = float(weights[same] @ portions[same]), float(weights[same] @ covers[same]) * all_days
    weekday = (own + PRIOR_PORTIONS) / (expected + PRIOR_PORTIONS)
    means = covers * all_days
    off = float(weights @ ((portions - means) ** 2 / means)) / float(weights.sum())
    nights = float(weights.sum()) ** 2 / float(weights @ weights)
    spread = max(1.0, off * nights / max(nights - 2, 1.0))
    return Share(all_days, weekday, spread, own + PRIOR_PORTIONS, len(covers), ran_out)


def _at_least(means: Array, spread: float, sold: Array) -> Array:
    """How much was wanted on average where `sold` were sold and then there was none."""
    top = int(np.max(np.maximum(means, sold)) + FAR_SDS * np.sqrt(np.max(means) * spread)) + 10
    rows = spread_counts(means, spread, top)
    k = np.arange(rows.shape[1])
    beyond = np.where(k[None, :] >= sold[:, None], rows, 0.0)
    total = beyond.sum(axis=1)
    mean = np.sum(beyond * k, axis=1) / np.maximum(total, 1e-12)
    wanted: Array = np.where(total > 1e-12, mean, sold)
    return wanted


def wanted(share: Share, covers: Counts) -> Counts:
    """Chances of each number of portions, over all numbers of guests.

    How sure the share itself is widens the spread: by the mean over the portions it was learned from.
    """
    chances, guests = _in_steps(covers)
    means: Array = guests * share.each
    spread = share.spread * (1 + covers.mean * share.each / share.portions)
    top = int(means[-1] + FAR_SDS * np.sqrt(means[-1] * spread)) + 10
    mixed = chances @ spread_counts(means, spread, top)
    return Counts(mixed / mixed.sum())


def _in_steps(covers: Counts) -> tuple[Array, Array]:
    """Chances and numbers of guests that can be; many of them are taken together, at most some 400 steps."""
    (there,) = np.nonzero(covers.shares > 1e-12)
    step = -(-len(there) // MOST_STEPS)
    starts = np.arange(0, len(there), step)
    chances: Array = np.add.reduceat(covers.shares[there], starts)
    guests: Array = np.add.reduceat(covers.shares[there] * there, starts) / chances
    return chances, guests
