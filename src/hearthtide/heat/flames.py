"""Flames: how long they stand, what share of their heat they shine, and where along their length."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from hearthtide.ranges import Array, require

# Flame lengths in m of heat release in kW per metre of burner: NUREG-1805, equations 4-1 and 4-2, as coded
# with tests in an open library; only that code was seen.
WALL, FREE_LINE = 0.034, 0.017
# Heskestad: 0.235 Q^(2/5) - 1.02 D (SFPE handbook, ch. 13; validation guide of the Fire Dynamics Simulator).
ROUND, ROUND_WIDTH = 0.235, 1.02
# Seven published correlations at Q* = 1 give length over diameter 2.55 to 3.98 (flame length table of the
# firemodels experiment archive), Heskestad's 3.7 - 1.02: how far a real flame may stand from it.
LENGTH_SPREAD = (2.55 / 2.68, 3.98 / 2.68)
# Radiant share of a well loaded flame, and the burner loading (W/m²) at which it reaches 63 % of that: least
# squares over the 14 fires of each gas in Hamins, NIST TN 1926 (2016), burners 0.10, 0.353 and 1.00 m wide.
# What is left over is 13 % (propane) and 28 % (methane and natural gas) rms of the measured.
RADIANT = {"propane": (0.271, 200e3), "methane": (0.211, 181e3), "natural_gas": (0.211, 181e3)}
# Flames over logs: 0.3 to 0.4 of the chemical heat (from memory, not re-read).
WOOD_RADIANT = 0.35
# Share of the length at which the emission is strongest (Hankinson and Lowesmith 2012, Combustion and Flame
# 159, 1165-1177, as coded in an open hydrogen risk library; only that code was seen).
BRIGHTEST = 0.75


def line_flame_length_m(power_W: float, burner_length_m: float, against_wall: bool = True) -> float:
    """Length of a line burner's flame, m: 0.034 (against a wall) or 0.017 (free) (Q'/(kW/m))^(2/3).

    Power 0 to 1 MW, burner 0.01 to 100 m long; PhysicalRangeError beyond. NUREG-1805, equations 4-1 and 4-2.

    >>> round(line_flame_length_m(20_000, 0.5), 2)
    0.4
    """
    _require_power(power_W)
    require("burner_length_m", burner_length_m, "m", 0.01, 100.0)
    return float(_line(against_wall) * (power_W / 1000 / burner_length_m) ** (2 / 3))


def round_flame_length_m(power_W: float, diameter_m: float) -> float:
    """Length of a round burner's free flame, m: Heskestad's 0.235 Q^(2/5) - 1.02 D, 0 where that is negative.

    Power 0 to 1 MW, diameter 0.01 to 10 m; PhysicalRangeError beyond.

    >>> round(round_flame_length_m(20_000, 0.1), 2)
    0.68
    """
    _require_power(power_W)
    require("diameter_m", diameter_m, "m", 0.01, 10.0)
    return float(max(0.0, ROUND * (power_W / 1000) ** 0.4 - ROUND_WIDTH * diameter_m))


def line_flame_power_W(length_m: float, burner_length_m: float, against_wall: bool = True) -> float:
    """Power whose line flame is `length_m` long (0 to 20 m): the inverse of `line_flame_length_m`."""
    require("length_m", length_m, "m", 0.0, 20.0)
    require("burner_length_m", burner_length_m, "m", 0.01, 100.0)
    return float(1000 * burner_length_m * (length_m / _line(against_wall)) ** 1.5)


def round_flame_power_W(length_m: float, diameter_m: float) -> float:
    """Power whose round flame is `length_m` long (0 to 20 m): the inverse of `round_flame_length_m`.

    At length 0 it is the largest power whose flame has no length by Heskestad.
    """
    require("length_m", length_m, "m", 0.0, 20.0)
    require("diameter_m", diameter_m, "m", 0.01, 10.0)
    return float(1000 * ((length_m + ROUND_WIDTH * diameter_m) / ROUND) ** 2.5)


def power_band_W(length_m: float, power_of_length_W: Callable[[float], float]) -> tuple[float, float]:
    """Least and greatest power behind a flame seen `length_m` long, as far as published laws differ, W.

    `power_of_length_W` is one of the inverse laws with its burner filled in. The spread is that of round
    flames at Q* = 1, taken over to lines as our own choice. Power goes with length to the 1.5 or more, so
    a length says little about it.

    >>> [round(p, -2) for p in power_band_W(0.4, lambda length: line_flame_power_W(length, 0.5))]
    [11100.0, 21700.0]
    """
    low, high = LENGTH_SPREAD
    return power_of_length_W(length_m / high), power_of_length_W(length_m / low)


def radiant_fraction(fuel_name: str, loading_W_m2: float) -> float:
    """Share of a flame's heat release that it shines, by the loading of its burner (power over area, W/m²).

    A lightly loaded burner has a lazy blue flame that shines little. The form most (1 - exp(-loading/a)) is
    our own choice, fitted to the fires measured by Hamins, NIST TN 1926 (2016); wood has one value.
    Loading 0 to 1e9 W/m²; PhysicalRangeError beyond, KeyError for a fuel without a value.

    >>> round(radiant_fraction("propane", 1.5e6), 2)
    0.27
    """
    require("loading_W_m2", loading_W_m2, "W/m²", 0.0, 1e9)
    if fuel_name == "wood":
        return WOOD_RADIANT
    most, scale_W_m2 = RADIANT[fuel_name]
    return -most * math.expm1(-loading_W_m2 / scale_W_m2)


def emitted_below(shares: Array) -> Array:
    """Part (n,) of a flame's radiation that leaves it below `shares` (n,) of its length; both 0 to 1.

    The emission rises in proportion up to 0.75 of the length and falls to nothing at the tip: Hankinson and
    Lowesmith 2012, of jets. On four open burners of NIST TN 1926 it comes nearer the measured fluxes than an
    even emission, most of all close to the fire.

    >>> emitted_below(np.array([0.0, 0.75, 1.0]))
    array([0.  , 0.75, 1.  ])
    """
    require("shares", shares, "-", 0.0, 1.0)
    rising, falling = shares**2 / BRIGHTEST, 1 - (1 - shares) ** 2 / (1 - BRIGHTEST)
    return np.asarray(np.where(shares <= BRIGHTEST, rising, falling))


def _line(against_wall: bool) -> float:
    return WALL if against_wall else FREE_LINE


def _require_power(power_W: float) -> None:
    require("power_W", power_W, "W", 0.0, 1e6)
