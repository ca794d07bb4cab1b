"""Properties from composition against a second implementation, handbook values and measurements."""

import CoolProp.CoolProp as coolprop
import pytest

from hearthtide.food.column import held_share, latent_J_kg, saturation_Pa
from hearthtide.food.composition import (
    DENSITY_KG_M3,
    Composition,
    CONDUCTIVITY_W_mK,
    HEAT_CAPACITY_J_kgK,
    component,
    conductivity_W_mK,
    density_kg_m3,
    heat_capacity_J_kgK,
)
from published import Published

pytestmark = pytest.mark.subject("food properties")
OUTSIDE = {
    "water": "FoodWater",
    "protein": "FoodProtein",
    "fat": "FoodFat",
    "carbohydrate": "FoodCarbohydrate",
    "fibre": "FoodFiber",
    "ash": "FoodAsh",
}


@pytest.mark.parametrize("name", OUTSIDE)
@pytest.mark.parametrize("temperature_C", [5, 20, 40, 60, 80, 95])
@pytest.mark.parametrize(
    ("table", "letter", "unit"),
    [
        (CONDUCTIVITY_W_mK, "L", "W/(m K)"),
        (DENSITY_KG_M3, "D", "kg/m³"),
        (HEAT_CAPACITY_J_kgK, "C", "J/(kg K)"),
    ],
)
def test_components_agree_with_a_second_implementation(published, name, temperature_C, table, letter, unit):
    # CoolProp 8.0.0, pure incompressibles after the same Choi and Okos table.
    other = coolprop.PropsSI(letter, "T", temperature_C + 273.15, "P", 101_325, f"INCOMP::{OUTSIDE[name]}")
    property_name = {"L": "conductivity", "D": "density", "C": "heat capacity"}[letter]
    published(
        f"{property_name} of food components",
        "CoolProp 8.0.0 (Choi and Okos)",
        expected=other,
        computed=component(table, name, temperature_C),
        relative=1e-3,
        unit=unit,
        at=f"{name} at {temperature_C} °C",
    )


@pytest.mark.parametrize("temperature_C", [5, 20, 40, 60, 80, 95])
def test_food_water_is_near_true_water(published: Published, temperature_C: float) -> None:
    # CoolProp's reference equation for water (IAPWS). The food table's heat capacity is 1.3 % low by its
    # constant; its conductivity is a fit, 2.1 % high at 5 °C.
    kelvin = temperature_C + 273.15
    for name, table, letter, unit, within in (
        ("conductivity", CONDUCTIVITY_W_mK, "L", "W/(m K)", 0.025),
        ("density", DENSITY_KG_M3, "D", "kg/m³", 0.005),
        ("heat capacity", HEAT_CAPACITY_J_kgK, "C", "J/(kg K)", 0.02),
    ):
        published(
            f"{name} of the water in food, against true water",
            "CoolProp (IAPWS)",
            expected=coolprop.PropsSI(letter, "T", kelvin, "P", 101_325, "Water"),
            computed=component(table, "water", temperature_C),
            relative=within,
            unit=unit,
            at=f"{temperature_C} °C",
        )


@pytest.mark.parametrize("temperature_C", [20, 40, 60, 80, 95, 100])
def test_vapour_pressure_and_latent_heat_are_those_of_water(
    published: Published, temperature_C: float
) -> None:
    # CoolProp's reference equation for water (IAPWS).
    kelvin = temperature_C + 273.15
    published(
        "vapour pressure of water",
        "CoolProp (IAPWS)",
        expected=coolprop.PropsSI("P", "T", kelvin, "Q", 0, "Water") / 1000,
        computed=saturation_Pa(temperature_C) / 1000,
        relative=0.01,
        unit="kPa",
        at=f"{temperature_C} °C",
    )
    steam, water = (coolprop.PropsSI("H", "T", kelvin, "Q", q, "Water") for q in (1, 0))
    published(
        "heat of evaporation of water",
        "CoolProp (IAPWS)",
        expected=(steam - water) / 1000,
        computed=latent_J_kg(temperature_C) / 1000,
        relative=0.005,
        unit="kJ/kg",
        at=f"{temperature_C} °C",
    )


# Water, protein, fat, ash, carbohydrate with fibre, fibre in %, then temperature, density, heat capacity and
# Maxwell-Eucken conductivity, worked from USDA compositions with the constants of CoolProp 8.0.0.
WORKED = [
    ((73.90, 22.50, 2.62, 1.13, 0, 0), 20, 1059, 3569, 0.499),
    ((73.90, 22.50, 2.62, 1.13, 0, 0), 60, 1045, 3591, 0.544),
    ((69.19, 17.52, 12.85, 0.74, 0, 0), 20, 1033, 3469, 0.463),
    ((63.43, 20.61, 15.49, 0.90, 0, 0), 20, 1040, 3345, 0.438),
    ((71.49, 22.93, 5.15, 1.02, 0, 0), 60, 1043, 3535, 0.526),
    ((78.45, 20.10, 0.51, 1.23, 0, 0), 20, 1055, 3661, 0.520),
    ((82.53, 12.06, 0.49, 1.74, 3.18, 0), 20, 1050, 3733, 0.541),
    ((64.89, 20.42, 13.42, 1.13, 0, 0), 20, 1043, 3382, 0.448),
    ((50.01, 22.17, 22.35, 3.28, 2.19, 0), 20, 1062, 3037, 0.385),
    ((50.01, 22.17, 22.35, 3.28, 2.19, 0), 60, 1047, 3067, 0.414),
    ((36.75, 24.90, 33.14, 3.93, 1.28, 0), 20, 1060, 2755, 0.327),
    ((91.12, 1.32, 0.18, 2.00, 5.38, 1.5), 20, 1030, 3905, 0.577),
    ((44.2, 6.35, 0.6, 2.0, 46.9, 1.7), 20, 1245, 2736, 0.412),
]


def normal(percent: tuple[float, ...]) -> Composition:
    water, protein, fat, ash, carbohydrate, fibre = (part / sum(percent[:5]) for part in percent)
    return Composition(water, protein, fat, carbohydrate - fibre, fibre, ash)


@pytest.mark.parametrize("row", WORKED, ids=lambda row: f"{row[0][0]}-{row[1]}")
def test_worked_mixtures(published: Published, row: tuple) -> None:
    percent, temperature_C, density, capacity, conductivity = row
    food = normal(percent)
    for name, expected, found, unit in (
        ("density", density, density_kg_m3(food, temperature_C), "kg/m³"),
        ("heat capacity", capacity, heat_capacity_J_kgK(food, temperature_C), "J/(kg K)"),
        ("conductivity", conductivity, conductivity_W_mK(food, temperature_C), "W/(m K)"),
    ):
        published(
            f"{name} of thirteen mixtures of USDA compositions",
            "worked apart with the constants of CoolProp 8.0.0",
            expected=expected,
            computed=found,
            relative=5e-3,
            unit=unit,
            at=f"{percent[0]} % water at {temperature_C} °C",
        )


def test_lean_beef_has_its_measured_heat_capacity(published: Published) -> None:
    # Geankoplis, appendix A.4: lean beef with 72 % water 3.43; ASHRAE: sirloin, lean 3.52 kJ/(kg K).
    beef = normal((71.49, 22.93, 5.15, 1.02, 0, 0))
    found, what = heat_capacity_J_kgK(beef, 20), "heat capacity of lean beef"
    published(what, "Geankoplis A.4", expected=3430, computed=found, relative=0.05, unit="J/(kg K)")
    published(what, "ASHRAE, sirloin", expected=3520, computed=found, relative=0.02, unit="J/(kg K)")


def test_beef_loses_a_quarter_of_its_weight_at_70_degrees(published: Published) -> None:
    # Measured loss at 70 °C is 24 to 27 % of raw weight; lean beef holds 0.745 kg/kg when raw.
    lost, what = 74.5 * (1 - held_share(70.0)), "weight that lean beef loses at 70 °C"
    published(what, "measured, source not named", expected=(24, 27), computed=lost, unit="%")
