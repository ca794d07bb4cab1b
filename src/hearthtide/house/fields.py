"""Types for the house's models: text with a unit comes in, an SI number is kept.

Bounds given to `Field` beside these types act on the SI number. A number (not text) is refused
wherever its unit would have to be guessed; files hand every scalar over as text.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema

from hearthtide.quantities import parse

_NUMBER = r"[+-]?[0-9]+(\.[0-9]+)?"
_SHARE_TEXT = rf"^\s*{_NUMBER}\s*%?\s*$"


def _reader(parser: Callable[[str], float]) -> BeforeValidator:
    """A validator that reads text and asks for the unit when there is none."""

    def read(value: object) -> float:
        return parser(value if isinstance(value, str) else "")

    return BeforeValidator(read)


def _share(value: object) -> float:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    return parse.parse_fraction(value if isinstance(value, str) else "")


def _text(pattern: str, *examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": list(examples)})


def _with_unit(units: str, *examples: str) -> WithJsonSchema:
    return _text(rf"^\s*{_NUMBER}\s*({units})\s*$", *examples)


LengthM = Annotated[float, _reader(parse.parse_length_m), _with_unit("m|cm|mm|in|ft", "33 cm", "13 in")]
TemperatureC = Annotated[float, _reader(parse.parse_temperature_C), _with_unit("°?[CcFf]", "345 C", "620 F")]
PowerW = Annotated[float, _reader(parse.parse_power_W), _with_unit("W|k[Ww]|k?BTU/h", "26 kW", "90 kBTU/h")]
MassKg = Annotated[float, _reader(parse.parse_mass_kg), _with_unit("kg|g|lb|oz", "1.8 kg", "4 lb")]
MassFlowKgS = Annotated[float, _reader(parse.parse_mass_flow_kg_s), _with_unit("k?g/s", "4 g/s")]
AngleDeg = Annotated[float, _reader(parse.parse_angle_deg), _with_unit("deg|°", "-45 deg")]
SecondsText = Annotated[
    float,
    _reader(parse.parse_duration_s),
    _text(rf"^\s*([0-9]{{1,4}}:[0-5][0-9]|{_NUMBER}\s*(s|min|h))\s*$", "7:30", "45 s", "3 min"),
]
ClockS = Annotated[
    float,
    _reader(parse.parse_clock_s),
    _text(r"^\s*[0-9]{1,2}:[0-5][0-9](:[0-5][0-9])?\s*$", "19:22", "25:10"),
]
FractionText = Annotated[
    float,
    BeforeValidator(_share),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string", "pattern": _SHARE_TEXT}, {"type": "number"}],
            "examples": ["20 %", "0.2"],
        }
    ),
]
