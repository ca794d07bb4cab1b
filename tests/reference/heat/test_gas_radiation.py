"""What burnt gas shines, against Leckner's correlation and worked examples from Hottel's charts.

Leckner 1972 (Combustion and Flame 19, 33; from memory) as an open code with Modest's equation numbers
states it; only that code was seen. Total pressure 1 atm; vapour to carbon dioxide 2 : 1.
"""

from __future__ import annotations

import math
from itertools import product

import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.combustion import METHANE, fuel
from hearthtide.heat.gas_radiation import GREY, SHINING_SHARE, gas_emissivity
from published import Published

pytestmark = pytest.mark.subject("radiation")

BAR_PER_ATM = 1.01325
# Rows: powers of log10 of pressure times path, bar cm; columns: powers of T/1000 K.
VAPOUR = (
    (-2.2118, -1.1987, 0.035596),
    (0.85667, 0.93048, -0.14391),
    (-0.10838, -0.17156, 0.045915),
)
DIOXIDE = (
    (-3.9893, 2.7669, -2.1081, 0.39163),
    (1.2710, -1.1090, 1.0195, -0.21897),
    (-0.23678, 0.19731, -0.19544, 0.044644),
)


def emissivity_without_pressure(rows: tuple[tuple[float, ...], ...], t: float, bar_cm: float) -> float:
    x = math.log10(bar_cm)
    return math.exp(sum(c * t**j * x**i for i, row in enumerate(rows) for j, c in enumerate(row)))


def broadened(pressure: float, a: float, b: float, c: float, most_bar_cm: float, bar_cm: float) -> float:
    share = (a - 1) * (1 - pressure) / (a + b - 1 + pressure)
    return 1 - share * math.exp(-c * math.log10(most_bar_cm / bar_cm) ** 2)


def leckner(kelvin: float, vapour_atm: float, dioxide_atm: float, beam_m: float) -> float:
    t, wet, dry = kelvin / 1000, vapour_atm * BAR_PER_ATM, dioxide_atm * BAR_PER_ATM
    wet_bar_cm, dry_bar_cm = wet * beam_m * 100, dry * beam_m * 100
    a = 1.888 - 2.053 * math.log10(t) if t > 0.75 else 2.144
    vapour = emissivity_without_pressure(VAPOUR, t, wet_bar_cm) * broadened(
        BAR_PER_ATM + 2.56 * wet / math.sqrt(t), a, 1.10 / t**1.4, 0.5, 13.2 * t * t, wet_bar_cm
    )
    most = 0.225 * t * t if t > 0.7 else 0.054 / (t * t)
    dioxide = emissivity_without_pressure(DIOXIDE, t, dry_bar_cm) * broadened(
        BAR_PER_ATM + 0.28 * dry, 1 + 0.1 / t**1.45, 0.23, 1.47, most, dry_bar_cm
    )
    wetness = wet / (wet + dry)
    overlap = wetness / (10.7 + 101 * wetness) - 0.0089 * wetness**10.4
    return vapour + dioxide - overlap * max(math.log10(wet_bar_cm + dry_bar_cm), 0.0) ** 2.76


def shares(excess_air: float) -> tuple[float, float]:
    """Vapour and dioxide of burnt methane by volume: CH4 + 2 (1 + e)(O2 + 3.76 N2), 10.52 + 9.52 e moles."""
    moles = 10.52 + 9.52 * excess_air
    return 2 / moles, 1 / moles


def over_leckner(excess_air: float, beam_m: float, kelvin: float) -> float:
    ours = gas_emissivity(METHANE, excess_air, beam_m, kelvin - 273.15)
    return ours / leckner(kelvin, *shares(excess_air), beam_m)


CASES = list(
    product((0.0, 1.0, 3.0), (0.1, 0.3, 0.6, 1.2), (600.0, 700.0, 800.0, 1000.0, 1200.0, 1500.0, 1800.0))
)


def depth_atm_m(excess_air: float, beam_m: float) -> float:
    return sum(shares(excess_air)) * beam_m


# Excess air and beam of gas that is too bright up to so many kelvin.
TOO_BRIGHT = {(0.0, 0.1): 600.0, (1.0, 0.1): 800.0, (3.0, 0.1): 800.0, (3.0, 0.3): 800.0, (3.0, 0.6): 600.0}


@pytest.mark.parametrize(("excess_air", "beam_m", "kelvin"), CASES)
def test_gas_is_leckners(published: Published, excess_air: float, beam_m: float, kelvin: float) -> None:
    """Both are fits to spectral models; 15 % is what three grey gases promise at best (own choice).

    Misses it where the gas is thin and cool: up to 1.40 times too bright.
    """
    found, edge = (
        over_leckner(excess_air, beam_m, kelvin),
        kelvin <= TOO_BRIGHT.get((excess_air, beam_m), 0.0),
    )
    assert 0.85 < found < 1.5
    published(
        "emissivity of " + ("thin and cool burnt gas" if edge else "burnt gas") + " over Leckner's",
        "Leckner 1972 (from memory; an open code seen)",
        expected=1.0,
        computed=found,
        absolute=0.15,
        at=f"{kelvin:g} K, {depth_atm_m(excess_air, beam_m):.3f} atm m",
        missed="edge of the published fit; an oven's gas is 7 to 32 % too bright" if edge else "",
    )


@pytest.mark.parametrize(
    ("example", "depth", "kelvin", "by_charts", "within", "missed"),
    [
        ("Cengel 13-14", 0.78, 1200.0, 0.16 + 0.23 - 0.048, 0.20, ""),
        (
            "Cengel, manual to chapter 12",
            0.034,
            790.0,
            0.055 + 0.062 - 0.0,
            0.20,
            "thin and cold: the edge of the published fit",
        ),
    ],
)
def test_worked_examples_from_charts(
    published: Published,
    example: str,
    depth: float,
    kelvin: float,
    by_charts: float,
    within: float,
    missed: str,
) -> None:
    """Readings at 1 atm before the books' correction to 2 and 5 atm: dioxide, vapour, less their overlap.

    Vapour to dioxide 1.6 and 2. Charts are read to some 5 %, and Hottel's and newer data lie up to a quarter
    apart. Ours are 16 % and 26 % above them; the second is one more thin and cold gas.
    """
    ours = gas_emissivity(METHANE, 0.0, depth / SHINING_SHARE, kelvin - 273.15)
    assert ours == pytest.approx(by_charts, rel=0.30)
    what = f"emissivity of gas at {kelvin:g} K and {depth} atm m"
    published(what, f"{example}, charts", expected=by_charts, computed=ours, relative=within, missed=missed)


def test_share_that_shines_by_hand(published: Published) -> None:
    """Without excess air 3 of 10.52 moles; with twice the air 3 of 20.04, where masses stand for moles."""
    what = "vapour and dioxide in burnt methane, by volume"
    published(what, "by hand", expected=3 / 10.52, computed=SHINING_SHARE, absolute=0.001)
    diluted = (1 + METHANE.air_kg_kg) / (1 + 2 * METHANE.air_kg_kg)
    assert SHINING_SHARE * diluted == pytest.approx(3 / 20.04, rel=0.025)


def test_weights_as_two_open_codes_print_them(published: Published) -> None:
    """Smith, Shen and Friedman 1982 for 2 : 1; at 1000 K by hand 0.3451, 0.2632 and 0.0660."""
    kelvin = 1000.0
    weights = [a + b * kelvin + c * kelvin**2 + d * kelvin**3 for _, (a, b, c, d) in GREY]
    for which, expected, found in zip("abc", (0.34507, 0.26324, 0.06598), weights, strict=True):
        what, source = "weights of the grey gases at 1000 K", "Smith, Shen and Friedman 1982 (open codes)"
        published(what, source, expected=expected, computed=found, absolute=2e-5, at=f"gas {which}")
    assert [absorption for absorption, _ in GREY] == [0.4201, 6.516, 131.9]


def test_deep_gas_shines_all_its_weights(published: Published) -> None:
    """20 m of it at 1000 K: 1 - exp(-0.4201 * 5.7) = 0.9088 of the first weight, all of the others."""
    expected = 0.34507 * 0.9088 + 0.26324 + 0.06598
    found = gas_emissivity(METHANE, 0.0, 20.0, 726.85)
    published("emissivity of 20 m of burnt gas", "by hand", expected=expected, computed=found, absolute=2e-4)


def test_what_shines_less() -> None:
    wood = fuel("wood")
    assert gas_emissivity(wood, 4.0, 0.3, 600.0) < gas_emissivity(wood, 1.0, 0.3, 600.0)
    assert gas_emissivity(wood, 1.0, 0.1, 600.0) < gas_emissivity(wood, 1.0, 0.3, 600.0)
    assert gas_emissivity(METHANE, 1e6, 0.3, 600.0) < 1e-3
    assert gas_emissivity(METHANE, 1.0, 0.3, 20.0) == gas_emissivity(METHANE, 1.0, 0.3, 300.0)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ((-0.1, 0.3, 600.0), "excess_air"),
        ((1.0, 0.0, 600.0), "beam_m"),
        ((1.0, 0.3, 2600.0), "gas_C"),
        ((1.0, 0.3, math.nan), "gas_C"),
    ],
)
def test_what_is_refused(values: tuple[float, float, float], named: str) -> None:
    with pytest.raises(PhysicalRangeError, match=named):
        gas_emissivity(METHANE, *values)
