"""Blackbody emission: the only place where kelvin appears."""

from __future__ import annotations

import numpy as np

from hearthtide.heat.ranges import Array

# CODATA 2018, exact since the SI revision of 2019 (from memory, not re-read).
STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8
ZERO_C_K = 273.15


def blackbody_W_m2(temperature_C: Array | float) -> Array:
    """Emissive power of a black surface, W/m², any shape.

    >>> round(float(blackbody_W_m2(330.0)))
    7504
    """
    kelvin = np.asarray(temperature_C, dtype=float) + ZERO_C_K
    square = kelvin * kelvin
    return STEFAN_BOLTZMANN_W_m2K4 * square * square
