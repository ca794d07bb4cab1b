"""How likely each whole number of portions or guests is: what a forecast says and a par is reckoned by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.ranges import Array

BAND = 0.8  # what a band is meant to hold: eight nights of ten
MOST = 20_000  # guests or portions of one day; own choice


@dataclass(frozen=True, eq=False)
class Counts:
    """`shares[k]` is the chance of exactly k; they sum to 1.

    Raises ValueError for an empty table, a negative share or a sum other than 1 (to 1e-6).

    >>> one = Counts(np.array([0.1, 0.2, 0.4, 0.3]))
    >>> round(one.mean, 2), one.quantile(0.5), round(one.short(2), 2), round(one.left(2), 2)
    (1.9, 2, 0.3, 0.4)
    """

    shares: Array

    def __post_init__(self) -> None:
        if self.shares.ndim != 1 or not len(self.shares):
            raise ValueError(f"shares of shape {self.shares.shape}: expected a row of at least one")
        if np.any(self.shares < -1e-12) or abs(float(self.shares.sum()) - 1.0) > 1e-6:
            raise ValueError(f"shares sum to {float(self.shares.sum()):.6g}: expected 1, none below 0")

    @property
    def mean(self) -> float:
        return float(self.shares @ np.arange(len(self.shares)))

    @property
    def sd(self) -> float:
        off = np.arange(len(self.shares)) - self.mean
        return float(np.sqrt(self.shares @ off**2))

    @property
    def middle(self) -> int:
        """The count that is as often passed as not reached."""
        return self.quantile(0.5)

    def quantile(self, level: float) -> int:
        """The least count that is not passed with a chance of at least `level` (0 to 1)."""
        reached = np.cumsum(self.shares) >= level - 1e-12
        return int(np.argmax(reached)) if reached.any() else len(self.shares) - 1

    def band(self, holds: float = BAND) -> tuple[int, int]:
        """Lowest and highest count of the middle `holds`; of whole numbers it holds that or a little more."""
        return self.quantile((1 - holds) / 2), self.quantile((1 + holds) / 2)

    def more_than(self, count: int) -> float:
        """The chance that more than `count` are wanted."""
        return float(self.shares[count + 1 :].sum()) if count >= 0 else 1.0

    def short(self, stock: int) -> float:
        """Portions that are wanted and not there, on average, with `stock` of them."""
        over = np.arange(len(self.shares)) - stock
        return float(self.shares @ np.maximum(over, 0))

    def left(self, stock: int) -> float:
        """Portions that are left over, on average."""
        return self.short(stock) + stock - self.mean

    def moved_to(self, mean: float) -> Counts:
        """The same spread in proportion, about another mean: what is left when a chef says the number.

        >>> Counts(np.array([0.0, 0.5, 0.5])).moved_to(3.0).mean
        3.0
        """
        if self.mean <= 0:
            return certain(round(mean))
        ratio = mean / self.mean
        at = np.arange(len(self.shares)) * ratio
        low = np.floor(at).astype(int)
        shares = np.zeros(int(low[-1]) + 2)
        np.add.at(
            shares, low, self.shares * (1 - (at - low))
        )  # between two whole numbers: shared by nearness
        np.add.at(shares, low + 1, self.shares * (at - low))
        return Counts(shares)


NONE = Counts(np.ones(1))
"""Nobody comes: the house is shut."""


def certain(count: int) -> Counts:
    """Exactly `count`."""
    shares = np.zeros(count + 1)
    shares[count] = 1.0
    return Counts(shares)


def from_misses(middle: float, misses: Array) -> Counts:
    """Counts whose square root lies about `middle` as past ones did: each past miss is as likely again.

    Square roots make the spread of counts even (their variance stabilised: Bartlett 1936). Between two
    misses the chance is spread evenly; beyond the least and the greatest 1/(n+1) is left on either side, as
    far out as half their standard deviation (own choice).
    """
    ordered = np.sort(misses)
    n = len(ordered)
    if n < 2:
        raise ValueError(f"{n} misses: expected at least two")
    reach = float(np.std(ordered)) / 2 + 1e-9
    at = np.concatenate(([ordered[0] - reach], ordered, [ordered[-1] + reach]))
    below = np.linspace(0.0, 1.0, n + 2)
    top = min(MOST, int((max(middle + at[-1], 0.0)) ** 2) + 2)
    edges = np.sqrt(np.arange(top + 1) + 0.5)
    return Counts(np.diff(np.interp(edges - middle, at, below, left=0.0, right=1.0), prepend=0.0, append=1.0))


def spread_counts(means: Array, spread: float, top: int) -> Array:
    """A row for each mean: chances of 0 to `top` with variance `spread` times the mean (1: Poisson).

    Above 1 it is the negative binomial with a variance in proportion to the mean, by the ratio of each
    chance to the one before. What lies beyond `top` is put on `top`.

    >>> spread_counts(np.array([1.0]), 1.0, 3).round(3).tolist()
    [[0.368, 0.368, 0.184, 0.08]]
    """
    k = np.arange(top)
    if spread <= 1.0 + 1e-9:
        first = -means
        steps = np.log(np.maximum(means, 1e-300))[:, None] - np.log(k + 1)[None, :]
    else:
        size = means / (spread - 1)
        first = -size * np.log(spread)
        with np.errstate(divide="ignore"):
            steps = np.log(size[:, None] + k) - np.log(k + 1) + np.log1p(-1 / spread)
    rows = np.exp(np.cumsum(np.concatenate((first[:, None], steps), axis=1), axis=1))
    rows[:, -1] = np.maximum(1.0 - rows[:, :-1].sum(axis=1), 0.0)
    made: Array = rows / rows.sum(axis=1, keepdims=True)
    return made


def summed(days: Sequence[Counts]) -> Counts:
    """What several days want together, each by itself."""
    shares = np.ones(1)
    for day in days:
        shares = np.convolve(shares, day.shares)
    return Counts(shares / shares.sum())
