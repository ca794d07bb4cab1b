"""What hot burnt gas shines: a weighted sum of three grey gases."""

from __future__ import annotations

import math

from hearthtide.heat.combustion import Fuel
from hearthtide.heat.radiation import ZERO_C_K
from hearthtide.ranges import require

# Water vapour to carbon dioxide 2 : 1 at 1 atm, 600 to 2400 K: absorption per atm m, and the weights'
# polynomial in kelvin (Smith, Shen and Friedman 1982, J. Heat Transfer 104, 602, table 1, as two open codes
# that cite it print them; the paper itself not read, its range from memory). Natural gas has that ratio;
# propane's 1.3 and wood's about 1 shine about as much per pressure (own choice).
# Beside Leckner's correlation burnt methane comes out 1.00 to 1.13 times as bright from 800 K and 0.08 atm m
# up; colder thin gas too bright, 1.2 times at 600 K and 0.03 atm m, 1.4 at 0.01.
GREY = (
    (0.4201, (6.508e-1, -5.551e-4, 3.029e-7, -5.353e-11)),
    (6.516, (-0.2504e-1, 6.112e-4, -3.882e-7, 6.528e-11)),
    (131.9, (2.718e-1, -3.118e-4, 1.221e-7, -1.612e-11)),
)
# Share of carbon dioxide and vapour in burnt gas without excess air, by volume: methane 3 of 10.52 moles
# (CH4 + 2 O2 + 7.52 N2). Air and burnt gas have nearly the same molar mass, so mass ratios serve.
SHINING_SHARE = 0.285


def gas_emissivity(fuel: Fuel, excess_air: float, beam_m: float, gas_C: float) -> float:
    """Emissivity of burnt gas diluted with `excess_air` (1.0 is 100 %) along a mean beam, 0 to 1.

    `excess_air` 0 to 1e9, `beam_m` 0.001 to 20 m, `gas_C` -50 to 2500 °C; PhysicalRangeError beyond. The
    weights of 600 K hold below 600 K, those of 2400 K above 2400 K.

    >>> from hearthtide.heat.combustion import METHANE
    >>> round(gas_emissivity(METHANE, 1.0, 0.3, 600.0), 2)
    0.15
    """
    require("excess_air", excess_air, "-", 0.0, 1e9)
    require("beam_m", beam_m, "m", 0.001, 20.0)
    require("gas_C", gas_C, "°C", -50.0, 2500.0)
    diluted = (1 + fuel.air_kg_kg) / (1 + fuel.air_kg_kg * (1 + excess_air))
    depth_atm_m = SHINING_SHARE * diluted * beam_m
    kelvin = min(max(gas_C + ZERO_C_K, 600.0), 2400.0)
    shine = 0.0
    for absorption, (a, b, c, d) in GREY:
        weight = a + kelvin * (b + kelvin * (c + kelvin * d))
        shine += weight * -math.expm1(-absorption * depth_atm_m)
    return shine
