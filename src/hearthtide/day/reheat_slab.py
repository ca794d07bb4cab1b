"""The slab rule: how long a flat piece takes to heat through whose two faces are held at one temperature.

Conduction alone, by the series for a slab (Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959,
section 3.4; from memory, checked against its other form in the tests): what a cook's table of minutes by
thickness is made of. It stands beside the food model as a check from outside.
"""

from __future__ import annotations

import math

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.composition import conductivity_W_mK, density_kg_m3, heat_capacity_J_kgK
from hearthtide.food.library import Foodstuff

FACE_C = 100.0  # wet meat keeps its browned face near it; trade teaching, derived
MIDDLE_C = 50.0  # properties are taken at: between fridge and face; own choice
ENOUGH = 1e-12  # terms of the series below this are left out


def middle_share(fourier: float) -> float:
    """Share of the first difference to the faces that a slab's middle still has, at a t / (half its depth)^2.

    >>> round(middle_share(0.5), 3)
    0.371
    """
    if fourier <= 0:
        return 1.0
    total, n = 0.0, 0
    while True:
        odd = 2 * n + 1
        term = 4 / math.pi / odd * math.exp(-((odd * math.pi / 2) ** 2) * fourier)
        total += -term if n % 2 else term
        n += 1
        if term < ENOUGH:
            return min(total, 1.0)


def slab_seconds(
    thickness_m: float, start_C: float, core_C: float, diffusivity_m2_s: float, face_C: float = FACE_C
) -> float:
    """Seconds until the middle is at `core_C`, by halving; 0 where it begins there.

    Raises PhysicalRangeError unless thickness and diffusivity are above 0 and the faces above the core.
    """
    if not (thickness_m > 0 and diffusivity_m2_s > 0 and face_C > core_C):
        raise PhysicalRangeError(
            f"slab of {thickness_m} m, {diffusivity_m2_s} m2/s, core {core_C}, faces {face_C} °C: expected "
            "thickness and diffusivity above 0, faces above the core"
        )
    if start_C >= core_C:
        return 0.0
    wanted = (face_C - core_C) / (face_C - start_C)
    low, high = 0.0, 1.0
    while middle_share(high) > wanted:
        low, high = high, 2 * high
    while high - low > 1e-10 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if middle_share(middle) > wanted else (low, middle)
    return high * (thickness_m / 2) ** 2 / diffusivity_m2_s


def diffusivity_m2_s(food: Foodstuff, at_C: float = MIDDLE_C) -> float:
    """How fast heat spreads in a food by its composition: conductivity over density and heat capacity."""
    what, porosity = food.composition, food.porosity
    stored = density_kg_m3(what, at_C, porosity) * heat_capacity_J_kgK(what, at_C)
    return conductivity_W_mK(what, at_C, porosity) / stored
