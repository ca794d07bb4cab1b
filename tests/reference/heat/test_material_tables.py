"""The material tables against the publications they were taken from, and against their closed forms."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import CoolProp.CoolProp
import numpy as np
import pytest

from hearthtide.heat.materials import TABLE_C, Material, material, tabled
from published import Published

pytestmark = pytest.mark.subject("materials")

EFFUSIVITY = "J/(m² K √s)"
Floats = Sequence[float]
STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8  # CODATA 2018

# VDI Heat Atlas 2010, refractories at 400/600/800/1000/1200 °C, as tabulated in the open library ht.
VDI = [
    ("fireclay", 2150, (1.05, 1.10, 1.15, 1.18, 1.22), (956, 997, 1021, 1037, 1054)),
    ("high_duty_fireclay", 2320, (1.20, 1.27, 1.33, 1.38, 1.42), (958, 999, 1024, 1040, 1058)),
    ("mullite", 2540, (1.45, 1.52, 1.58, 1.63, 1.67), (987, 1035, 1065, 1087, 1109)),
    ("corundum", 2830, (2.00, 2.10, 2.19, 2.27, 2.33), (993, 1043, 1072, 1095, 1118)),
    ("insulating_brick", 490, (0.14, 0.16, 0.18, 0.20, 0.22), (942, 979, 1002, 1017, 1033)),
]


def state(
    published: Published, what: str, stuff: Material, source: str, at_C: Floats, told: Floats, relative: float
) -> None:
    """Conductivity or heat capacity at many temperatures: one row."""
    unit = {"conductivity": "W/(m K)", "heat capacity": "J/(kg K)"}[what]
    law = stuff.conductivity_W_mK if what == "conductivity" else stuff.heat_capacity_J_kgK
    for celsius, expected in zip(at_C, told, strict=True):
        published(
            f"{what} of {stuff.name.replace('_', ' ')}",
            source,
            expected=expected,
            computed=float(law(celsius)),
            relative=relative,
            unit=unit,
            at=f"{celsius:g} °C",
        )


def state_rows(
    published: Published,
    stuff: Material,
    source: str,
    at_C: Floats,
    conductivity: Floats,
    capacity_at_C: Floats,
    capacity: Floats,
    relative: float = 1e-6,
) -> None:
    """A table taken over as it stands; `relative` is for its heat capacities."""
    state(published, "conductivity", stuff, source, at_C, conductivity, 1e-6)
    state(published, "heat capacity", stuff, source, capacity_at_C, capacity, relative)


@pytest.mark.parametrize(("name", "density", "conductivity", "capacity"), VDI)
def test_refractories(
    published: Published,
    name: str,
    density: float,
    conductivity: tuple[float, ...],
    capacity: tuple[float, ...],
) -> None:
    at = (400.0, 600.0, 800.0, 1000.0, 1200.0)
    stuff = material(name)
    assert stuff.density_kg_m3 == density
    state_rows(published, stuff, "VDI Heat Atlas 2010 (library ht)", at, conductivity, at, capacity)
    on_table, by_volume = tabled(stuff)
    assert on_table[np.isin(TABLE_C, at)] == pytest.approx(conductivity)
    assert by_volume[np.isin(TABLE_C, at)] == pytest.approx(density * np.array(capacity))


@pytest.mark.parametrize(
    ("temperature_K", "conductivity", "capacity"),
    [(200.0, 1.44, 917.0), (1000.0, 1.58074, 956.78225), (1500.0, 1.73, 982.0)],
)
def test_rule_between_and_beyond_rows(
    published: Published, temperature_K: float, conductivity: float, capacity: float
) -> None:
    """Fused silica of the same VDI table, and what the library ht prints for it in its documentation."""
    at = (400.0, 600.0, 800.0, 1000.0, 1200.0)
    silica = replace(
        material("fireclay"),
        name="fused silica, between and beyond its rows",
        conductivity=tuple(zip(at, (1.44, 1.53, 1.61, 1.67, 1.73), strict=True)),
        heat_capacity=tuple(zip(at, (917.0, 946.0, 963.0, 972.0, 982.0), strict=True)),
    )
    at, source = (temperature_K - 273.15,), "library ht"
    state(published, "conductivity", silica, source, at, (conductivity,), 1e-9)
    state(published, "heat capacity", silica, source, at, (capacity,), 1e-9)


def test_effusivity_of_fireclay(published: Published) -> None:
    """sqrt(1.05 * 2150 * 956) by hand, at 400 °C; at 1000 °C sqrt(1.18 * 2150 * 1037)."""
    for celsius, expected in ((400.0, 1469.1), (1000.0, 1622.0)):
        found, what = (
            material("fireclay").effusivity_J_m2Ks05(celsius),
            f"effusivity of fireclay, {celsius:g} °C",
        )
        published(what, "by hand", expected=expected, computed=found, relative=1e-4, unit=EFFUSIVITY)
    assert material("fireclay").effusivity_J_m2Ks05() == material("fireclay").effusivity_J_m2Ks05(400.0)


def test_fireclay_against_another_handbook(published: Published) -> None:
    """Incropera table A.3 gives 1.0 W/mK at 478 K: handbooks differ, by less than a tenth here."""
    at = (478 - 273.15,)
    state(published, "conductivity", material("fireclay"), "Incropera table A.3", at, (1.0,), 0.10)


def test_fibre_blanket(published: Published) -> None:
    """Input of the reduced-scale enclosure of 2007 in the FDS validation cases."""
    stuff = material("fibre_blanket")
    assert stuff.density_kg_m3 == 128
    at, conductivity = (316.0, 538.0, 760.0, 871.0), (0.06, 0.09, 0.12, 0.14)
    by_C = (26.9, 126.9, 226.9, 326.9, 426.9, 526.9, 626.9, 826.9, 1026.9, 1226.9)
    capacity = (709, 848, 937, 1001, 1055, 1111, 1069, 1102, 1132, 1152)
    source = "FDS validation, enclosure of 2007"
    state_rows(published, stuff, source, at, conductivity, by_C, capacity, 1e-3)


def test_calcium_silicate_board(published: Published) -> None:
    """Input of the reduced-scale enclosure of 1994 in the FDS validation cases, density of its guide."""
    stuff = material("calcium_silicate")
    assert stuff.density_kg_m3 == 737
    at, conductivity = (24.0, 149.0, 538.0), (0.13, 0.12, 0.12)
    by_C, capacity = (93.0, 205.0, 316.0, 425.0), (1172, 1255, 1339, 1423)
    source = "FDS validation, enclosure of 1994"
    state_rows(published, stuff, source, at, conductivity, by_C, capacity)


def test_fibreboard(published: Published) -> None:
    """Lining of the Steckler compartment in the FDS validation cases: k 0.1, rho 200, c 1000, 13 mm."""
    stuff = material("fibreboard")
    assert stuff.density_kg_m3 * stuff.heat_capacity_J_kgK(100.0) == pytest.approx(200e3)
    state(published, "conductivity", stuff, "FDS validation, Steckler's room", (100.0,), (0.1,), 1e-6)


def steel_J_kgK(temperature_C: float) -> float:
    """EN 1993-1-2, 3.4.1.2."""
    t = temperature_C
    if t < 600:
        return 425 + 0.773 * t - 1.69e-3 * t**2 + 2.22e-6 * t**3
    if t < 735:
        return 666 + 13002 / (738 - t)
    return 545 + 17820 / (t - 731) if t < 900 else 650.0


@pytest.mark.parametrize(
    "temperature_C", [20.0, 60.0, 250.0, 400.0, 450.0, 600.0, 700.0, 735.0, 800.0, 900.0]
)
def test_steel_heat_capacity(published: Published, temperature_C: float) -> None:
    """EN 1993-1-2, 3.4.1.2; at 60, 250 and 450 °C between the pairs, which read up to 0.6 % high."""
    at, told = (temperature_C,), (steel_J_kgK(temperature_C),)
    state(published, "heat capacity", material("steel"), "EN 1993-1-2, 3.4.1.2", at, told, 0.006)


@pytest.mark.parametrize("temperature_C", [20.0, 400.0, 650.0, 800.0])
def test_steel_conductivity(published: Published, temperature_C: float) -> None:
    """EN 1993-1-2, 3.4.1.3: 54 - 0.0333 t below 800 °C, 27.3 from there."""
    expected = 54 - 0.0333 * temperature_C if temperature_C < 800 else 27.3
    at, told = (temperature_C,), (expected,)
    state(published, "conductivity", material("steel"), "EN 1993-1-2, 3.4.1.3", at, told, 0.003)


def test_steel_peak_holds_its_heat(published: Published) -> None:
    """Heat taken up from 600 to 900 °C on the table, against the integral of EN 1993-1-2.

    666 * 135 + 13002 ln(138 / 3) + 545 * 165 + 17820 ln(169 / 4) = 296.3 kJ/kg, by hand.
    """
    exact = 666 * 135 + 13002 * math.log(138 / 3) + 545 * 165 + 17820 * math.log(169 / 4)
    inside = (TABLE_C >= 600) & (TABLE_C <= 900)
    _, by_volume = tabled(material("steel"))
    found = np.trapezoid(by_volume[inside], TABLE_C[inside]) / 7850 / 1000
    what, source = "heat of steel from 600 to 900 °C", "EN 1993-1-2, integrated by hand"
    published(what, source, expected=exact / 1000, computed=found, relative=0.03, unit="kJ/kg")


@pytest.mark.parametrize("temperature_C", [0.0, 50.0, 150.0, 400.0])
def test_basalt_conductivity(published: Published, temperature_C: float) -> None:
    """Mean of basalts, Seipold 1998 as quoted by Wangen, table 2.3: 2.5 / (1 + 3.6e-4 t)."""
    expected = 2.5 / (1 + 3.6e-4 * temperature_C)
    at, told = (temperature_C,), (expected,)
    state(published, "conductivity", material("basalt"), "Seipold 1998, as quoted by Wangen", at, told, 0.001)


def test_basalt_against_a_measurement(published: Published) -> None:
    """Halbert and Parnell 2022 (abstract): 2.63 ± 0.05 W/mK at 288.8 K for one basalt; rocks differ."""
    at, source = (288.8 - 273.15,), "Halbert and Parnell 2022 (abstract)"
    state(published, "conductivity", material("basalt"), source, at, (2.63,), 0.08)


def test_soapstone_at_room_temperature(published: Published) -> None:
    """Data sheet of a stove stone: 6.4 W/mK, 2980 kg/m³, 980 J/kgK."""
    stuff = material("soapstone")
    state(published, "conductivity", stuff, "data sheet of a stove stone", (20.0,), (6.4,), 1e-6)
    assert stuff.density_kg_m3 * stuff.heat_capacity_J_kgK(20.0) == pytest.approx(2980 * 980)


def test_cast_iron_against_another_handbook(published: Published) -> None:
    """Incropera, from memory: grey iron 52 W/mK, 7200 kg/m³, 460 J/kgK, so effusivity 13 123."""
    found, source = material("cast_iron").effusivity_J_m2Ks05(), "Incropera, from memory"
    what = "effusivity of cast iron"
    published(what, source, expected=13_123, computed=found, relative=0.03, unit=EFFUSIVITY)


def air_W_mK(temperature_C: float) -> float:
    """Lemmon and Jacobsen 2004, computed by CoolProp."""
    return float(CoolProp.CoolProp.PropsSI("L", "T", temperature_C + 273.15, "P", 101325, "Air"))


AIR_GAP_ROWS = (0, 50, 100, 150, 200, 250, 300, 350, 400, 500, 600, 700, 800, 900, 1000)


@pytest.mark.parametrize("temperature_C", AIR_GAP_ROWS)
def test_air_gap_table(published: Published, temperature_C: int) -> None:
    """4 sigma T³ d / (1/e + 1/e' - 1) + k_air(T) for d 25 mm, e 0.9 on both faces."""
    radiant = 4 * STEFAN_BOLTZMANN_W_m2K4 * (temperature_C + 273.15) ** 3 * 0.025 / (1 / 0.9 + 1 / 0.9 - 1)
    expected = radiant + air_W_mK(temperature_C)
    found = material("air_gap").conductivity_W_mK(float(temperature_C))
    published(
        "conductivity that stands for an air gap of 25 mm",
        "radiation by hand; air by CoolProp",
        expected=expected,
        computed=float(found),
        absolute=6e-4,
        unit="W/(m K)",
        at=f"{temperature_C} °C",
    )


@pytest.mark.parametrize(("hot_C", "cold_C"), [(500.0, 100.0), (800.0, 200.0), (350.0, 300.0)])
def test_air_gap_carries_what_grey_faces_exchange(published: Published, hot_C: float, cold_C: float) -> None:
    """sigma (T1⁴ - T2⁴) / (1/e1 + 1/e2 - 1), the exact exchange of parallel grey planes, plus still air.

    Steady conduction through the gap is the mean of k(T) over the step in temperature, divided by 25 mm.
    """
    between = np.linspace(cold_C, hot_C, 2001)
    step = hot_C - cold_C
    carried = np.trapezoid(material("air_gap").conductivity_W_mK(between), between) / 0.025
    still = np.trapezoid([air_W_mK(t) for t in np.linspace(cold_C, hot_C, 51)], dx=step / 50) / 0.025
    fourth = (hot_C + 273.15) ** 4 - (cold_C + 273.15) ** 4
    published(
        "flux across an air gap",
        "exact exchange of grey planes; air by CoolProp",
        expected=(STEFAN_BOLTZMANN_W_m2K4 * fourth / (2 / 0.9 - 1) + still) / 1000,
        computed=carried / 1000,
        relative=0.01,
        unit="kW/m²",
        at=f"{hot_C:g} to {cold_C:g} °C",
    )
