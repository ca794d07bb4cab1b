"""Burning gas: how much air it takes, how much heat it gives."""

from __future__ import annotations

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
    """`calorific_J_kg` is the net value; `air_kg_kg` stoichiometric dry air."""

    name: str
    calorific_J_kg: float
    air_kg_kg: float


def stoichiometric_air_kg_kg(carbon: float, hydrogen: float) -> float:
    """Dry air to burn 1 kg of C_x H_y completely, kg/kg.

    >>> round(stoichiometric_air_kg_kg(1, 4), 1)
    17.1
    """
    oxygen = carbon + hydrogen / 4
    air = oxygen * (OXYGEN2 + NITROGEN_PER_OXYGEN * NITROGEN2)
    return air / (carbon * CARBON + hydrogen * HYDROGEN)


# Net calorific values: methane 50.03, propane 46.35, natural gas 49.1-49.4 MJ/kg (Hamins, NIST TN 1926).
METHANE = FuelGas("methane", 50.03e6, stoichiometric_air_kg_kg(1, 4))
PROPANE = FuelGas("propane", 46.35e6, stoichiometric_air_kg_kg(3, 8))
# The rest of natural gas is mostly inert, so its air need falls with its calorific value (common practice).
NATURAL_GAS = FuelGas("natural_gas", 49.2e6, METHANE.air_kg_kg * 49.2 / 50.03)
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
