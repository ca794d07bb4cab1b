"""Burning fuels: how much air they take, how much heat they give, what their burnt gas carries away."""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.heat.kernel import AIR_J_kgK
from hearthtide.ranges import require

# Standard atomic and molecular masses, kg/kmol (IUPAC values rounded; from memory, not re-read).
CARBON, HYDROGEN, OXYGEN2, NITROGEN2 = 12.011, 1.008, 31.998, 28.014
# Dry air as 1 O2 : 3.76 N2 by volume (textbook convention).
NITROGEN_PER_OXYGEN = 3.76
# The same mean for single gases at low pressure (CoolProp's CP0MASS integrated), J/kgK.
CARBON_DIOXIDE_J_kgK, STEAM_J_kgK, NITROGEN_J_kgK = 1025.5, 1982.8, 1067.5
# Heat to evaporate water at 25 °C, J/kg (rounded; the usual allowance for wood's moisture).
EVAPORATION_J_kg = 2.44e6
# Net heat of cellulosics per mass of oxygen burnt, J/kg (Dietenberger 2002, Fire and Materials 26, 255-267).
PER_OXYGEN_J_kg = 13.23e6
# Dry wood free of ash as C H1.44 O0.66 (from memory, not re-read).
WOOD_HYDROGEN, WOOD_OXYGEN = 1.44, 0.66


@dataclass(frozen=True)
class Fuel:
    """A fuel as fired. `calorific_J_kg` is the net value, `air_kg_kg` stoichiometric dry air,
    `products_J_kgK` the mean heat capacity of its burnt gas without excess air, 25 to 500 °C.
    """

    name: str
    calorific_J_kg: float
    air_kg_kg: float
    products_J_kgK: float


def stoichiometric_air_kg_kg(carbon: float, hydrogen: float, oxygen: float = 0.0) -> float:
    """Dry air to burn 1 kg of C_x H_y O_z completely, kg/kg.

    >>> round(stoichiometric_air_kg_kg(1, 4), 1)
    17.1
    """
    air = _oxygen(carbon, hydrogen, oxygen) * (OXYGEN2 + NITROGEN_PER_OXYGEN * NITROGEN2)
    return air / _mass(carbon, hydrogen, oxygen)


def _oxygen(carbon: float, hydrogen: float, oxygen: float) -> float:
    """Moles of O2 that one mole needs."""
    return carbon + hydrogen / 4 - oxygen / 2


def _mass(carbon: float, hydrogen: float, oxygen: float) -> float:
    return carbon * CARBON + hydrogen * HYDROGEN + oxygen * OXYGEN2 / 2


def _products_J_kgK(carbon: float, hydrogen: float, oxygen: float = 0.0, water_kg_kg: float = 0.0) -> float:
    """Burnt gas of C_x H_y O_z with `water_kg_kg` of moisture per mass of it."""
    dioxide = carbon * (CARBON + OXYGEN2)
    steam = hydrogen * (HYDROGEN + OXYGEN2 / 4) + water_kg_kg * _mass(carbon, hydrogen, oxygen)
    nitrogen = _oxygen(carbon, hydrogen, oxygen) * NITROGEN_PER_OXYGEN * NITROGEN2
    heat = dioxide * CARBON_DIOXIDE_J_kgK + steam * STEAM_J_kgK + nitrogen * NITROGEN_J_kgK
    return heat / (dioxide + steam + nitrogen)


# Net calorific values: methane 50.03, propane 46.35, natural gas 49.1-49.4 MJ/kg (Hamins, NIST TN 1926).
METHANE = Fuel("methane", 50.03e6, stoichiometric_air_kg_kg(1, 4), _products_J_kgK(1, 4))
PROPANE = Fuel("propane", 46.35e6, stoichiometric_air_kg_kg(3, 8), _products_J_kgK(3, 8))
# The rest of natural gas is mostly inert, so its air need falls with its calorific value (common practice).
NATURAL_GAS = Fuel("natural_gas", 49.2e6, METHANE.air_kg_kg * 49.2 / 50.03, METHANE.products_J_kgK)
FUELS: dict[str, Fuel] = {gas.name: gas for gas in (METHANE, NATURAL_GAS, PROPANE)}
# Dry wood's net value, J/kg: heat per oxygen times the oxygen its composition needs.
DRY_WOOD_J_kg = (
    PER_OXYGEN_J_kg * _oxygen(1, WOOD_HYDROGEN, WOOD_OXYGEN) * OXYGEN2 / _mass(1, WOOD_HYDROGEN, WOOD_OXYGEN)
)


def fuel(name: str, moisture: float = 0.18) -> Fuel:
    """The fuel `natural_gas`, `propane`, `methane` or `wood`; KeyError for any other name.

    `moisture` is the water's share of wood's wet mass, 0 to 0.5 (PhysicalRangeError beyond); gases ignore it.

    >>> round(fuel("wood").calorific_J_kg / 1e6, 1)
    14.4
    """
    if name == "wood":
        return _wood(moisture)
    if name not in FUELS:
        raise KeyError(f"no fuel {name!r}; there are {', '.join(sorted([*FUELS, 'wood']))}")
    return FUELS[name]


def _wood(moisture: float) -> Fuel:
    require("moisture", moisture, "-", 0.0, 0.5)
    dry = 1 - moisture
    return Fuel(
        "wood",
        dry * DRY_WOOD_J_kg - moisture * EVAPORATION_J_kg,
        dry * stoichiometric_air_kg_kg(1, WOOD_HYDROGEN, WOOD_OXYGEN),
        _products_J_kgK(1, WOOD_HYDROGEN, WOOD_OXYGEN, moisture / dry),
    )


def products_extra_W_K(fuel: Fuel, power_W: float) -> float:
    """What the burnt gas carries per kelvin beyond what the air it is made from carried in, W/K.

    `power_W` is heat release on the net value, 0 to 1 MW. Excess air cancels out: it leaves as it came.

    >>> round(products_extra_W_K(METHANE, 20e3), 2)
    1.39
    """
    require("power_W", power_W, "W", 0.0, 1e6)
    fuel_kg_s = power_W / fuel.calorific_J_kg
    return fuel_kg_s * ((1 + fuel.air_kg_kg) * fuel.products_J_kgK - fuel.air_kg_kg * AIR_J_kgK)
