"""One probe reading and what it tells: members that foretold it count, the others fade."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.band import Band, Cooked, band, core_at
from hearthtide.food.column import Floats

# A reading this many of its standard deviations away from the nearest member agrees with none: beyond it
# lies one reading in 370 (the normal law). Own choice.
AGREES = 3.0
# Fewer members than this, counted by their weight, make a rough band. Own choice.
ENOUGH = 10.0
# A probe thermometer within 1 K, and its tip 2 mm off the middle of a cut 25 mm thick whose face is 60 K
# hotter: 1.5 K (hand sum on a parabola). Together some 1.5 to 2 K; own choice.
PROBE_K = 1.5


@dataclass(frozen=True)
class Reading:
    """A probe in the core: time since the start [s], what it says [°C], and its standard deviation [K].

    An infinite deviation says nothing. Raises PhysicalRangeError for a time below 0, a value outside -30 to
    150 °C or a deviation not above 0.
    """

    time_s: float
    value_C: float
    sd_K: float = PROBE_K
    where: Literal["core"] = "core"

    def __post_init__(self) -> None:
        if not 0 <= self.time_s < math.inf:
            raise PhysicalRangeError(f"reading at {self.time_s} s: expected 0 or more")
        if not -30 <= self.value_C <= 150:
            raise PhysicalRangeError(f"reading of {self.value_C} °C: expected -30 to 150 °C")
        if not self.sd_K > 0:
            raise PhysicalRangeError(f"reading's deviation {self.sd_K} K: expected above 0")
        if self.where != "core":
            raise PhysicalRangeError(f"reading in the {self.where}: expected the core")


@dataclass(frozen=True, eq=False)
class Narrowed:
    """What the readings leave. `left` is the time from the last reading to the end [s], `end` the end itself.

    `weights` (n,) sum to 1; `effective` is how many members they amount to, 1 / (sum of squares), and `rough`
    says that those are too few for the band's edges. When no member agrees `contradicted` is true, `left`
    and `end` are None, the weights stay even, and `off_K` is how far the worst reading lies above (below:
    negative) the nearest member.
    """

    weights: Floats
    effective: float
    rough: bool
    contradicted: bool
    off_K: float
    left: Band | None
    end: Band | None


@dataclass(frozen=True, eq=False)
class Agreement:
    """How far each member foretold what was read; fields as in `Narrowed`."""

    weights: Floats
    effective: float
    rough: bool
    contradicted: bool
    off_K: float


def agreement(above_K: Floats, sd_K: Floats) -> Agreement:
    """Weights of members by how far (r, n) each reading lies above each; `sd_K` (r,) are the readings' own.

    Importance weights by a Gaussian likelihood, the readings independent.
    """
    off = above_K / sd_K[:, None]
    members = above_K.shape[1]
    worst = np.abs(off).max(axis=0)
    nearest = int(worst.argmin())
    if worst[nearest] > AGREES:
        off_K = float(above_K[int(np.abs(off[:, nearest]).argmax()), nearest])
        return Agreement(np.full(members, 1 / members), float(members), False, True, off_K)
    log = -0.5 * (off**2).sum(axis=0)
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    effective = float(1 / (weights**2).sum())
    return Agreement(weights, effective, effective < ENOUGH, False, 0.0)


def narrowed(cooked: Cooked, readings: tuple[Reading, ...]) -> Narrowed:
    """The band after one or more readings, the members weighed as in `agreement`.

    A member past its target when it is read counts as cooked on in the same heat, with nothing left.
    Raises PhysicalRangeError where no reading is given.
    """
    if not readings:
        raise PhysicalRangeError("no readings: expected one or more")
    above_K = np.array([reading.value_C - core_at(cooked, reading.time_s) for reading in readings])
    told = agreement(above_K, np.array([reading.sd_K for reading in readings]))
    left = end = None
    if not told.contradicted:
        left_s = np.maximum(0.0, cooked.end_s - max(reading.time_s for reading in readings))
        left, end = band(left_s, told.weights), band(cooked.end_s, told.weights)
    return Narrowed(
        weights=told.weights,
        effective=told.effective,
        rough=told.rough,
        contradicted=told.contradicted,
        off_K=told.off_K,
        left=left,
        end=end,
    )
