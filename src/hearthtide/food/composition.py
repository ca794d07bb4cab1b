"""Thermal properties of food from what it is made of.

Choi Y., Okos M.R. (1986), in Food Engineering and Process Applications 1:93, as reprinted in the
ASHRAE Refrigeration Handbook (2006, chapter 9, tables 1 and 2). Temperatures in °C, -40 to 150 °C.
Ice is left out: the models start at or above the point where food begins to freeze.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import latent_J_kg, saturation_Pa

VALID_C = (-40.0, 150.0)
# Thermal conductivity of still air near 100 °C [W/(m K)]; handbook value, from memory, not re-read.
AIR_CONDUCTIVITY_W_mK = 0.031

# Rows: constant, T, T² (choi-okos-1986 as reprinted; ash and fibre included).
CONDUCTIVITY_W_mK = {
    "water": (0.57109, 1.7625e-3, -6.7036e-6),
    "protein": (0.17881, 1.1958e-3, -2.7178e-6),
    "fat": (0.18071, -2.7604e-4, -1.7749e-7),
    "carbohydrate": (0.20141, 1.3874e-3, -4.3312e-6),
    "fibre": (0.18331, 1.2497e-3, -3.1683e-6),
    "ash": (0.32962, 1.4011e-3, -2.9069e-6),
}
DENSITY_KG_M3 = {
    "water": (997.18, 3.1439e-3, -3.7574e-3),
    "protein": (1329.9, -0.51840, 0.0),
    "fat": (925.59, -0.41757, 0.0),
    "carbohydrate": (1599.1, -0.31046, 0.0),
    "fibre": (1311.5, -0.36589, 0.0),
    "ash": (2423.8, -0.28063, 0.0),
}
# Water: the constant 4.1289 of ASHRAE, about 1.3 % below the true 4.18; 4.1762 is also in circulation.
HEAT_CAPACITY_J_kgK = {
    "water": (4128.9, -9.0864e-2, 5.4731e-3),
    "protein": (2008.2, 1.2089, -1.3129e-3),
    "fat": (1984.2, 1.4733, -4.8008e-3),
    "carbohydrate": (1548.8, 1.9625, -5.9399e-3),
    "fibre": (1845.9, 1.8306, -4.6509e-3),
    "ash": (1092.6, 1.8896, -3.6817e-3),
}


@dataclass(frozen=True)
class Composition:
    """Mass fractions of a food without its gas; they must add up to 1.

    Raises PhysicalRangeError when a fraction is negative or the sum is off by more than 0.001.
    """

    water: float
    protein: float
    fat: float
    carbohydrate: float
    fibre: float
    ash: float

    def __post_init__(self) -> None:
        parts = self.parts()
        if min(parts.values()) < 0 or abs(sum(parts.values()) - 1) > 1e-3:
            raise PhysicalRangeError(f"mass fractions {parts}: expected none negative and a sum of 1")

    def parts(self) -> dict[str, float]:
        """Component name to mass fraction."""
        return {field.name: getattr(self, field.name) for field in fields(self)}


def component(table: dict[str, tuple[float, float, float]], name: str, temperature_C: float) -> float:
    """A component's property at a temperature [°C], -40 to 150 °C (PhysicalRangeError outside).

    >>> round(component(CONDUCTIVITY_W_mK, "water", 20.0), 4)
    0.6037
    """
    low, high = VALID_C
    if not low <= temperature_C <= high:
        raise PhysicalRangeError(f"temperature {temperature_C} °C: expected {low} to {high} °C")
    constant, linear, square = table[name]
    return constant + temperature_C * (linear + temperature_C * square)


def density_kg_m3(food: Composition, temperature_C: float, porosity: float = 0.0) -> float:
    """Density by adding the components' volumes (harmonic, not the mass-weighted mean).

    `porosity` 0..1 is the share of gas in the food's volume.

    Lean beef at 20 °C (ASHRAE polynomials by hand):

    >>> beef = Composition(water=0.72, protein=0.22, fat=0.05, carbohydrate=0, fibre=0, ash=0.01)
    >>> round(density_kg_m3(beef, 20.0))
    1054
    """
    if not 0 <= porosity < 1:
        raise PhysicalRangeError(f"porosity {porosity}: expected 0 up to below 1")
    volume = sum(part / component(DENSITY_KG_M3, name, temperature_C) for name, part in food.parts().items())
    return (1 - porosity) / volume


def heat_capacity_J_kgK(food: Composition, temperature_C: float) -> float:
    """Specific heat capacity [J/(kg K)]: the mass-weighted sum of the components."""
    return sum(
        part * component(HEAT_CAPACITY_J_kgK, name, temperature_C) for name, part in food.parts().items()
    )


def dry_heat_capacity_J_kgK(food: Composition, temperature_C: float) -> float:
    """What everything but the water adds to the heat capacity, per kg of whole food [J/(kg K)]."""
    return heat_capacity_J_kgK(food, temperature_C) - food.water * component(
        HEAT_CAPACITY_J_kgK, "water", temperature_C
    )


def dispersed_W_mK(continuous: float, dispersed: float, share: float) -> float:
    """Maxwell-Eucken: conductivity of a continuous phase with `share` by volume dispersed in it.

    Symbols as in the ASHRAE chapter: k = kc (2 kc + kd - 2 phi (kc - kd)) / (2 kc + kd + phi (kc - kd)).
    """
    gap = continuous - dispersed
    both = 2 * continuous + dispersed
    return continuous * (both - 2 * share * gap) / (both + share * gap)


def conductivity_W_mK(food: Composition, temperature_C: float, porosity: float = 0.0) -> float:
    """Thermal conductivity [W/(m K)]: solids dispersed in water, then gas dispersed in that.

    Solids among themselves lie in parallel. Maxwell-Eucken is the middle of the models in use:
    parallel reads about 20 % high for fatty and minced meat, series low.
    """
    volumes = {
        name: part / component(DENSITY_KG_M3, name, temperature_C) for name, part in food.parts().items()
    }
    solid = {name: volume for name, volume in volumes.items() if name != "water"}
    solid_volume = sum(solid.values())
    water = component(CONDUCTIVITY_W_mK, "water", temperature_C)
    if solid_volume == 0:
        whole = water
    else:
        solids = (
            sum(v * component(CONDUCTIVITY_W_mK, n, temperature_C) for n, v in solid.items()) / solid_volume
        )
        whole = dispersed_W_mK(water, solids, solid_volume / (solid_volume + volumes["water"]))
    return dispersed_W_mK(whole, AIR_CONDUCTIVITY_W_mK, porosity)


def pore_vapour_W_mK(porosity: float, temperature_C: float) -> float:
    """What vapour carries across moist pores, as a conductivity [W/(m K)]; 0 to 90 °C.

    Water leaves the warm wall of a gas cell and condenses on its cold one: porosity D L (d rho_v / dT),
    raised by P / (P - p) as vapour pushes the air ahead of itself. This is why dough and crumb warm
    faster than their own conductivity allows (evaporation and condensation; from memory, not re-read).
    """
    if not 0 <= temperature_C <= 90:
        raise PhysicalRangeError(f"temperature {temperature_C} °C: expected 0 to 90 °C")
    kelvin = temperature_C + 273.15
    vapour_Pa = saturation_Pa(temperature_C)
    # d rho_v / dT by the gas law and Clausius-Clapeyron; 461.5 J/(kg K) is the gas constant of vapour.
    latent = latent_J_kg(temperature_C)
    slope = vapour_Pa / (461.5 * kelvin**2) * (latent / (461.5 * kelvin) - 1)
    # Vapour in air: 2.2e-5 m²/s at 0 °C, rising with T^1.75; handbook, from memory.
    diffusivity = 2.2e-5 * (kelvin / 273.15) ** 1.75
    return float(porosity * diffusivity * latent * slope * 101_325.0 / (101_325.0 - vapour_Pa))
