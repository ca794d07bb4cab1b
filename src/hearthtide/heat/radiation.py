"""Blackbody emission."""

from __future__ import annotations

import numpy as np

from hearthtide.heat.kernel import ZERO_C_K as ZERO_C_K
from hearthtide.heat.kernel import STEFAN_BOLTZMANN_W_m2K4 as STEFAN_BOLTZMANN_W_m2K4
from hearthtide.ranges import Array


def blackbody_W_m2(temperature_C: Array | float) -> Array:
    """Emissive power of a black surface, W/m², any shape.

    >>> round(float(blackbody_W_m2(330.0)))
    7504
    """
    kelvin = np.asarray(temperature_C, dtype=float) + ZERO_C_K
    square = kelvin * kelvin
    return STEFAN_BOLTZMANN_W_m2K4 * square * square
