"""Combustion against hand chemistry, equilibrium tables and published worked examples."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import quad

from hearthtide.heat.combustion import (
    METHANE,
    PROPANE,
    AIR_J_kgK,
    CARBON_DIOXIDE_J_kgK,
    DRY_WOOD_J_kg,
    Fuel,
    NITROGEN_J_kgK,
    STEAM_J_kgK,
    fuel,
    products_extra_W_K,
    stoichiometric_air_kg_kg,
)
from published import Published

pytestmark = pytest.mark.subject("combustion and flames")


@pytest.mark.parametrize(
    ("gas", "carbon", "hydrogen", "by_cantera"), [("methane", 1, 4, 17.12), ("propane", 3, 8, 15.57)]
)
def test_stoichiometric_air(
    published: Published, gas: str, carbon: int, hydrogen: int, by_cantera: float
) -> None:
    found, source = stoichiometric_air_kg_kg(carbon, hydrogen), "Cantera, GRI-3.0"
    what = f"air {gas} needs, kg/kg"
    published(what, source, expected=by_cantera, computed=found, relative=0.001)


def test_methane_air_by_hand(published: Published) -> None:
    """CH4 + 2 (O2 + 3.76 N2): 2 (32.00 + 3.76 * 28.01) / 16.04 = 17.12."""
    expected = 2 * (32.0 + 3.76 * 28.01) / 16.04
    found = stoichiometric_air_kg_kg(1, 4)
    published("air methane needs, kg/kg", "by hand", expected=expected, computed=found, relative=1e-3)


def test_wood_air_by_hand(published: Published) -> None:
    """C H1.44 O0.66 weighs 24.02 and needs 1 + 0.36 - 0.33 = 1.03 O2: 1.03 * 137.33 / 24.02 = 5.89."""
    expected, found = 1.03 * 137.33 / 24.02, fuel("wood", 0.0).air_kg_kg
    published("air dry wood needs, kg/kg", "by hand", expected=expected, computed=found, relative=1e-3)


def test_air_of_cengel_boles_15_6(published: Published) -> None:
    """0.05 kg/min of propane with 50 % excess air takes 1.18 kg/min (rounded molar masses in the book).

    Its 6.89 kW are not compared: a tenth of the carbon leaves as CO, at 1500 K; ours burns completely.
    """
    found, what = 0.05 * 1.5 * PROPANE.air_kg_kg, "air to 0.05 kg/min of propane, 50 % excess"
    source = "Cengel and Boles 15-6"
    published(what, source, expected=1.18, computed=found, relative=0.012, unit="kg/min")


def test_propane_burner_of_nist(published: Published) -> None:
    """1.65 L/min at 0 °C and 1.967 kg/m³ is stated as 2.50 kW (46.3 MJ/kg)."""
    found, what = 1.65e-3 / 60 * 1.967 * PROPANE.calorific_J_kg / 1000, "propane burner of 1.65 L/min"
    published(what, "NIST", expected=2.50, computed=found, relative=0.004, unit="kW")


NAMES = {1: "methane", 3: "propane"}


@pytest.mark.parametrize(
    ("gas", "formation_kJ_mol", "carbon", "hydrogen", "molar_g"),
    [(METHANE, -74.87, 1, 4, 16.043), (PROPANE, -103.85, 3, 8, 44.097)],
    ids=["methane", "propane"],
)
def test_net_calorific_value_from_heats_of_formation(
    published: Published, gas: Fuel, formation_kJ_mol: float, carbon: int, hydrogen: int, molar_g: float
) -> None:
    """Standard heats of formation: CO2 -393.52, water vapour -241.83 kJ/mol (JANAF; from memory)."""
    released = carbon * 393.52 + hydrogen / 2 * 241.83 + formation_kJ_mol
    published(
        f"net heat value of {NAMES[carbon]}",
        "heats of formation (JANAF, from memory)",
        expected=released / molar_g,
        computed=gas.calorific_J_kg / 1e6,
        relative=0.003,
        unit="MJ/kg",
    )


def test_dry_wood_by_dietenberger(published: Published) -> None:
    """13.23 kJ/g (Dietenberger 2002) * 1.03 * 32.00 / 24.02 of C H1.44 O0.66 = 18.15 MJ/kg by hand;
    18 to 19 MJ/kg is the usual range (a trade table states 18.5 to 19 for all species)."""
    found, what = DRY_WOOD_J_kg / 1e6, "net heat value of dry wood"
    by_hand, source = 13.23 * 1.03 * 32.0 / 24.02, "Dietenberger 2002, by hand"
    published(what, source, expected=by_hand, computed=found, relative=1e-3, unit="MJ/kg")
    published(what, "usual range", expected=(18, 19), computed=found, unit="MJ/kg")


@pytest.mark.parametrize(("moisture", "by_table_MJ_kg"), [(0.15, 15.79), (0.20, 14.72), (0.30, 12.58)])
def test_wet_wood_loses_what_the_trade_table_says(
    published: Published, moisture: float, by_table_MJ_kg: float
) -> None:
    """A wood dealers' table from 19.0 MJ/kg dry; scaled to our dry value, 1.5 % for its own rounding."""
    by_table = (by_table_MJ_kg * 1e6 + 2.44e6 * moisture) * DRY_WOOD_J_kg / 19.0e6 - 2.44e6 * moisture
    published(
        "net heat value of wet wood",
        "a wood dealers' table, to our dry value",
        expected=by_table / 1e6,
        computed=fuel("wood", moisture).calorific_J_kg / 1e6,
        relative=0.015,
        unit="MJ/kg",
        at=f"{100 * moisture:g} % water",
    )


@pytest.mark.parametrize(
    ("gas", "ours"),
    [
        ("CO2", CARBON_DIOXIDE_J_kgK),
        ("Water", STEAM_J_kgK),
        ("N2", NITROGEN_J_kgK),
        ("Air", AIR_J_kgK),
    ],
)
def test_mean_heat_capacities(published: Published, gas: str, ours: float) -> None:
    """CoolProp's low-pressure heat capacity, averaged from 25 to 500 °C."""
    total = quad(lambda kelvin: PropsSI("CP0MASS", "T", kelvin, "P", 101_325, gas), 298.15, 773.15)[0]
    what, expected = "heat capacity of flue gases, mean of 25 to 500 °C", total / 475
    published(what, "CoolProp", expected=expected, computed=ours, relative=1e-3, unit="J/(kg K)", at=gas)


def flue_percent(gas: Fuel, flue_C: float, excess: float) -> float:
    """Share of the net value that leaves with the gas above a room of 25 °C: what its products carry beyond
    the air they are made from, that air's own heat, and the excess air's.
    """
    power_W = 1e4
    air_kg_s = power_W / gas.calorific_J_kg * gas.air_kg_kg
    per_K = products_extra_W_K(gas, power_W) + (1 + excess) * air_kg_s * AIR_J_kgK
    return 100 * per_K * (flue_C - 25.0) / power_W


@pytest.mark.parametrize(
    ("gas", "excess", "percents"),
    [
        (METHANE, 0.0, (15.8, 20.2, 24.8)),
        (METHANE, 0.5, (22.4, 28.7, 35.2)),
        (METHANE, 1.0, (29.1, 37.2, 45.6)),
        (METHANE, 2.0, (42.4, 54.3, 66.5)),
        (METHANE, 4.0, (69, 88, 108)),
        (PROPANE, 0.0, (15.2, 19.5, 24.0)),
        (PROPANE, 0.5, (21.8, 27.9, 34.2)),
        (PROPANE, 1.0, (28.3, 36.3, 44.4)),
        (PROPANE, 2.0, (41.4, 53.0, 64.9)),
        (PROPANE, 4.0, (68, 86, 106)),
    ],
)
def test_what_burnt_gas_carries(
    published: Published, gas: Fuel, excess: float, percents: tuple[float, float, float]
) -> None:
    """Equilibrium gas by Cantera, GRI-3.0, at 400, 500 and 600 °C (whole points at four times excess air);
    one point of the net value is allowed for heat capacities that do not follow the flue.

    At 600 °C it is not met with much excess air (1.1 points low at 200 %, 2.0 at 400 %).
    """
    for flue_C, percent in zip((400.0, 500.0, 600.0), percents, strict=True):
        found = flue_percent(gas, flue_C, excess)
        much = flue_C == 600.0 and excess >= 2.0
        assert found > percent - 2.1
        published(
            "heat in flue gas, share of the net value" + (", much excess air" if much else ""),
            "Cantera, GRI-3.0",
            expected=percent,
            computed=found,
            absolute=1.0,
            unit="%",
            at=f"{gas.name}, {100 * excess:g} % excess air, {flue_C:g} °C",
            missed="heat capacities are means of 25 to 500 °C; air's to 600 °C is higher" if much else "",
        )


def test_wet_wood_loses_more_up_the_flue(published: Published) -> None:
    """By hand for C H1.44 O0.66 at 500 °C, per kg dry: 1.832 kg CO2, 0.540 kg steam and 4.517 kg nitrogen
    of 1.0255, 1.9828 and 1.0675 kJ/kgK carry 7.771 kJ/K * 475 K = 3.691 MJ of 18.15: 20.3 %. Half water adds
    1 kg steam and takes 2.44 MJ: (7.771 + 1.983) * 0.475 / 15.71 = 29.5 %."""
    for words, moisture, expected in (("dry wood", 0.0, 20.3), ("half water", 0.5, 29.5)):
        found, what = flue_percent(fuel("wood", moisture), 500.0, 0.0), f"heat in flue gas, {words}"
        published(what, "by hand", expected=expected, computed=found, absolute=0.1, unit="%")


def test_extra_of_the_products_by_hand(published: Published) -> None:
    """1 kg of methane takes 17.12 kg of air and gives 2.743 kg CO2, 2.246 kg steam and 13.132 kg nitrogen:
    2.743 * 1.0255 + 2.246 * 1.9828 + 13.132 * 1.0675 = 21.285 kJ/K, less 17.12 * 1.040 = 17.805 that the air
    brought: 3.480 kJ/K of 50.03 MJ, so 0.696 W/K of 10 kW.
    """
    found, what = products_extra_W_K(METHANE, 10e3), "what 10 kW of methane's products carry beyond air"
    published(what, "by hand", expected=0.696, computed=found, absolute=0.002, unit="W/K")
    assert products_extra_W_K(METHANE, 0.0) == 0.0
