"""Burning gas: how much air it takes, how much heat it gives, what share of it shines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hearthtide.heat.ranges import require

# Standard atomic and molecular masses, kg/kmol (IUPAC values rounded; from memory, not re-read).
CARBON, HYDROGEN, OXYGEN2, NITROGEN2 = 12.011, 1.008, 31.998, 28.014
# Dry air as 1 O2 : 3.76 N2 by volume (textbook convention).
NITROGEN_PER_OXYGEN = 3.76
# Mean heat capacities between 25 and 500 °C, J/kgK. Gas burnt without excess air: what makes methane lose
# 20.2 % of its net calorific value at 500 °C (equilibrium composition, Cantera with GRI-3.0). Air: from
# property tables (from memory, not re-read).
BURNT_GAS_J_kgK, AIR_J_kgK = 1174.0, 1040.0


@dataclass(frozen=True)
class FuelGas:
    """`calorific_J_kg` is the net value; `air_kg_kg` stoichiometric dry air.

    `radiant_most` (0..1) is the share of its heat that a well loaded flame shines, `radiant_loading_W_m2`
    the burner loading at which it reaches 63 % of that.
    """

    name: str
    calorific_J_kg: float
    air_kg_kg: float
    radiant_most: float
    radiant_loading_W_m2: float


def stoichiometric_air_kg_kg(carbon: float, hydrogen: float) -> float:
    """Dry air to burn 1 kg of C_x H_y completely, kg/kg.

    >>> round(stoichiometric_air_kg_kg(1, 4), 1)
    17.1
    """
    oxygen = carbon + hydrogen / 4
    air = oxygen * (OXYGEN2 + NITROGEN_PER_OXYGEN * NITROGEN2)
    return air / (carbon * CARBON + hydrogen * HYDROGEN)


# Net calorific values: methane 50.03, propane 46.35, natural gas 49.1-49.4 MJ/kg (Hamins, NIST TN 1926).
# Radiant constants: least squares over its whole table, 14 fires of each gas on burners 0.10, 0.353 and
# 1.00 m wide; what is left over is 12 % (propane) and 28 % (methane and natural gas) rms of the measured.
METHANE = FuelGas("methane", 50.03e6, stoichiometric_air_kg_kg(1, 4), 0.211, 181e3)
PROPANE = FuelGas("propane", 46.35e6, stoichiometric_air_kg_kg(3, 8), 0.271, 200e3)
# The rest of natural gas is mostly inert, so its air need falls with its calorific value (common practice).
NATURAL_GAS = FuelGas("natural_gas", 49.2e6, METHANE.air_kg_kg * 49.2 / 50.03, 0.211, 181e3)
FUELS: dict[str, FuelGas] = {fuel.name: fuel for fuel in (METHANE, NATURAL_GAS, PROPANE)}


def carried_W_K(fuel: FuelGas, power_W: float, excess_air: float, room_air_kg_s: float = 0.0) -> float:
    """Heat that the leaving gas carries per kelvin above the room, W/K.

    A flame of `power_W` on the net value with `excess_air` (1.0 is 100 %), and room air that passes through.
    """
    require("power_W", power_W, "W", 0.0, 1e6)
    require("excess_air", excess_air, "-", 0.0, 20.0)
    require("room_air_kg_s", room_air_kg_s, "kg/s", 0.0, 10.0)
    fuel_kg_s = power_W / fuel.calorific_J_kg
    burnt_kg_s = fuel_kg_s * (1 + fuel.air_kg_kg)
    return (
        burnt_kg_s * BURNT_GAS_J_kgK + (fuel_kg_s * fuel.air_kg_kg * excess_air + room_air_kg_s) * AIR_J_kgK
    )


def radiant_fraction(fuel: FuelGas, loading_W_m2: float) -> float:
    """Share of a flame's heat that it shines, by heat release over the burner's area (W/m²).

    A lightly loaded burner has a lazy blue flame that shines little. The form most (1 - exp(-loading/a)) is
    our own choice; the measured values are those of Hamins, NIST TN 1926 (2016).

    >>> round(radiant_fraction(PROPANE, 1.5e6), 2), round(radiant_fraction(PROPANE, 71e3), 2)
    (0.27, 0.08)
    """
    require("loading_W_m2", loading_W_m2, "W/m²", 0.0, 1e9)
    return fuel.radiant_most * -math.expm1(-loading_W_m2 / fuel.radiant_loading_W_m2)


def line_flame_length_m(power_W: float, burner_length_m: float) -> float:
    """Length of the flame of a ribbon against a wall: 0.034 (Q'/(kW/m))^(2/3), m (NUREG-1805).

    >>> round(line_flame_length_m(26_000, 0.5), 2)
    0.47
    """
    require("power_W", power_W, "W", 0.0, 1e6)
    require("burner_length_m", burner_length_m, "m", 0.01, 100.0)
    return float(0.034 * (power_W / 1000 / burner_length_m) ** (2 / 3))
