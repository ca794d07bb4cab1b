"""How brown a face is, on the five steps a cook names.

Browning follows Zanoni, Peri, Bruno (1995), LWT 28:604, measured on dried bread crumb: the colour
difference from raw, dE = 52 (1 - exp(-integral of k dt)), where 52 is burnt. Other foods use the same
rate, times the portion's sugar.
"""

from __future__ import annotations

import math

from hearthtide.errors import PhysicalRangeError

BURNT_FOR_EVER_dE = 52.0  # zanoni-1995: the colour difference it tends to
# dE at which straw, golden, brown and dark begin, pale being 0. No standard exists. From the habit that
# golden crust reads L* 65 to 75 against 80 for raw dough, brown 50 to 65, dark below 50, and that dE is
# mostly loss of L*. Assumed: a house calibrates them with its own photographs.
STEP_dE = (0.0, 5.0, 12.0, 22.0, 34.0)
# Past dark: half-way from dark to the colour nothing gets beyond. Assumed.
BURNT_dE = 43.0


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


def step(colour_dE: float) -> float:
    """Where a colour difference lies on 1 pale, 2 straw, 3 golden, 4 brown, 5 dark; continuous.

    >>> step(0.0), step(17.0), step(50.0)
    (1.0, 3.5, 5.0)
    """
    for number in range(1, len(STEP_dE)):
        low, high = STEP_dE[number - 1], STEP_dE[number]
        if colour_dE < high:
            return number + (colour_dE - low) / (high - low)
    return float(len(STEP_dE))
