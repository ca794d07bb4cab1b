"""The units a cook may write, each with its exact factor to SI.

Factors: NIST SP 811 (2008), appendix B, and the SI Brochure (9th ed., 2019), table 8.
The inch, the pound and the International Table Btu are exact by definition.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

Dimension = Literal["length", "temperature", "power", "mass", "mass flow", "duration", "angle"]

INCH_M = 0.0254  # exact: NIST SP 811 B.8, "inch"
POUND_KG = 0.45359237  # exact: NIST SP 811 B.8, "pound (avoirdupois)"
BTU_J = 1055.05585262  # International Table Btu, exact: NIST SP 811 B.8, "British thermal unit (IT)"
HOUR_S = 3600.0  # exact: SI Brochure table 8


@dataclass(frozen=True)
class Unit:
    """One unit: value in SI = (number + `shift`) * `factor`."""

    dimension: Dimension
    factor: float
    shift: float = 0.0


UNITS: dict[str, Unit] = {
    "m": Unit("length", 1.0),
    "cm": Unit("length", 0.01),
    "mm": Unit("length", 0.001),
    "in": Unit("length", INCH_M),
    "ft": Unit("length", 12 * INCH_M),
    "C": Unit("temperature", 1.0),
    "F": Unit("temperature", 5 / 9, -32.0),  # exact: NIST SP 811 B.8, t/°C = (t/°F - 32)/1.8
    "W": Unit("power", 1.0),
    "kW": Unit("power", 1000.0),
    "BTU/h": Unit("power", BTU_J / HOUR_S),
    "kBTU/h": Unit("power", 1000 * BTU_J / HOUR_S),
    "kg": Unit("mass", 1.0),
    "g": Unit("mass", 0.001),
    "lb": Unit("mass", POUND_KG),
    "oz": Unit("mass", POUND_KG / 16),
    "kg/s": Unit("mass flow", 1.0),
    "g/s": Unit("mass flow", 0.001),
    "s": Unit("duration", 1.0),
    "min": Unit("duration", 60.0),
    "h": Unit("duration", HOUR_S),
    "deg": Unit("angle", 1.0),
}
EXAMPLE: dict[Dimension, str] = {
    "length": "13 in",
    "temperature": "620 F",
    "power": "26 kW",
    "mass": "1.8 kg",
    "mass flow": "4 g/s",
    "duration": "7:30",
    "angle": "-45 deg",
}
_QUANTITY = re.compile(r"\s*([+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?)\s*(°?[A-Za-z°][A-Za-z/]{0,7})\s*")
_FOLDED = {name.lower(): name for name in UNITS} | {"°c": "C", "°f": "F", "°": "deg"}


def split_quantity(text: str) -> tuple[float, str] | None:
    """The number and the unit's name in `text`, or None when it is not a number with a known unit.

    Case does not matter and a degree sign is allowed.

    >>> split_quantity("620 °f")
    (620.0, 'F')
    >>> split_quantity("620") is None
    True
    """
    match = _QUANTITY.fullmatch(text)
    name = _FOLDED.get(match[2].lower()) if match else None
    return (float(match[1]), name) if match and name else None


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """The names of the units of one dimension, as they may be written."""
    return tuple(name for name, unit in UNITS.items() if unit.dimension == dimension)
