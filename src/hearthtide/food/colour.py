"""How brown a face is, on the five steps a cook names.

Browning follows Zanoni, Peri, Bruno (1995), LWT 28:604, measured on dried bread crumb: the colour
difference from raw, dE = 52 (1 - exp(-integral of k dt)), where 52 is burnt. Other foods use the same
rate, times the portion's sugar.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import astuple, dataclass

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import BURNT_FOR_EVER_dE


@dataclass(frozen=True)
class ColourScale:
    """The colour difference from raw at which each word begins; pale begins at 0.

    No standard exists. The values given are from the habit that golden crust reads L* 65 to 75 against 80
    for raw dough, brown 50 to 65, dark below 50, and that dE is mostly loss of L*; burnt is half-way from
    dark to the colour nothing gets beyond. Assumed: a house calibrates them with its own photographs.
    Raises PhysicalRangeError unless they rise from above 0 and stay below 52.
    """

    straw_dE: float = 5.0
    golden_dE: float = 12.0
    brown_dE: float = 22.0
    dark_dE: float = 34.0
    burnt_dE: float = 43.0

    def __post_init__(self) -> None:
        bounds = (0.0, *astuple(self), BURNT_FOR_EVER_dE)
        if not all(low < high for low, high in itertools.pairwise(bounds)):
            raise PhysicalRangeError(f"colour differences {bounds[1:-1]}: expected to rise between 0 and 52")

    @property
    def starts_dE(self) -> tuple[float, ...]:
        """Where pale, straw, golden, brown and dark begin."""
        return (0.0, self.straw_dE, self.golden_dE, self.brown_dE, self.dark_dE)


STANDARD = ColourScale()


def calibrated(given_dE: Mapping[str, float]) -> ColourScale:
    """The scale with some words where a house has them (keys straw, golden, brown, dark, burnt).

    A word not given keeps its share of the way, on the standard scale, between its neighbours that are; raw
    (0) and what nothing gets beyond (52) count as given. KeyError for another word; PhysicalRangeError
    unless they rise between 0 and 52.

    >>> calibrated({"golden": 24.0}).straw_dE
    10.0
    """
    standard = {name.removesuffix("_dE"): dE for name, dE in vars(STANDARD).items()}
    knots = sorted([(0.0, 0.0), *((standard[w], dE) for w, dE in given_dE.items())])
    knots.append((BURNT_FOR_EVER_dE, BURNT_FOR_EVER_dE))
    return ColourScale(*(_between(knots, dE) for dE in standard.values()))


def _between(knots: list[tuple[float, float]], standard_dE: float) -> float:
    for (low, own_low), (high, own_high) in itertools.pairwise(knots):
        if standard_dE <= high:
            return own_low + (standard_dE - low) / (high - low) * (own_high - own_low)
    return knots[-1][1]


def colour_difference(browning: float) -> float:
    """dE from raw after a browning integral (0 or more, no unit).

    >>> round(colour_difference(math.log(2)), 6)
    26.0
    """
    if browning < 0:
        raise PhysicalRangeError(f"browning {browning}: expected 0 or more")
    return BURNT_FOR_EVER_dE * (1 - math.exp(-browning))


def browning_for(colour_dE: float) -> float:
    """The browning integral that gives a colour difference (0 up to below 52)."""
    if not 0 <= colour_dE < BURNT_FOR_EVER_dE:
        raise PhysicalRangeError(f"colour difference {colour_dE}: expected 0 up to below {BURNT_FOR_EVER_dE}")
    return -math.log(1 - colour_dE / BURNT_FOR_EVER_dE)


def step(colour_dE: float, scale: ColourScale = STANDARD) -> float:
    """Where a colour difference lies on 1 pale, 2 straw, 3 golden, 4 brown, 5 dark; continuous.

    >>> step(0.0), step(17.0), step(50.0)
    (1.0, 3.5, 5.0)
    """
    starts = scale.starts_dE
    for number, (low, high) in enumerate(itertools.pairwise(starts), start=1):
        if colour_dE < high:
            return number + (colour_dE - low) / (high - low)
    return float(len(starts))
