"""Types for the house's models: text with a unit comes in, an SI number is kept.

Bounds given to `Field` beside these types act on the SI number. A number (not text) is refused
wherever its unit would have to be guessed; files hand every scalar over as text.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from hearthtide.quantities import parse
from hearthtide.quantities.units import INCH_M, POUND_KG

Name = Annotated[str, Field(pattern=r"^[\p{L}\p{N}][\p{L}\p{N} _.'&-]{0,39}$")]


class Written(BaseModel):
    """Base of everything read from a file: frozen, and an unknown key is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid")


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


def _measure(what: str, units: dict[str, float], low: float, high: float) -> BeforeValidator:
    """A reader of a number with one of `units` (each with its factor to the first), from `low` to `high`."""
    first = next(iter(units))
    form = re.compile(rf"\s*([+-]?[0-9]{{1,9}}(?:\.[0-9]{{1,9}})?)\s*({'|'.join(units)})\s*")

    def read(value: object) -> float:
        match = form.fullmatch(value) if isinstance(value, str) else None
        if match is None:
            raise ValueError(f"expected {what} ({', '.join(units)})")
        number = float(match[1]) * units[match[2]]
        if not low <= number <= high:
            raise ValueError(f"expected {low:g} to {high:g} {first}")
        return number

    return BeforeValidator(read)


def _text(pattern: str, *examples: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": list(examples)})


def _with_unit(units: str, *examples: str) -> WithJsonSchema:
    return _text(rf"^\s*{_NUMBER}\s*({units})\s*$", *examples)


LengthM = Annotated[float, _reader(parse.parse_length_m), _with_unit("m|cm|mm|in|ft", "33 cm", "13 in")]
TemperatureC = Annotated[float, _reader(parse.parse_temperature_C), _with_unit("°?[CcFf]", "345 C", "620 F")]
# A core may be a word in the file: doneness_words puts degrees in its place before it is read here.
CoreC = Annotated[
    float,
    _reader(parse.parse_temperature_C),
    _text(rf"^\s*({_NUMBER}\s*°?[CcFf]|[A-Za-z][A-Za-z _-]{{1,39}})\s*$", "52 C", "126 F", "medium rare"),
]
PowerW = Annotated[float, _reader(parse.parse_power_W), _with_unit("W|k[Ww]|k?BTU/h", "26 kW", "90 kBTU/h")]
MassKg = Annotated[float, _reader(parse.parse_mass_kg), _with_unit("kg|g|lb|oz", "1.8 kg", "4 lb")]
# Wood fed by the hour: 30 kg/h is above 120 kW, the most any flame may give (own choice).
WoodKgH = Annotated[
    float,
    _measure("wood fed such as `3 kg/h`", {"kg/h": 1.0, "lb/h": POUND_KG}, 0.1, 30.0),
    _with_unit("kg/h|lb/h", "3 kg/h"),
]
# Read off a meter, from 1 l to 100 m3 (own choice). The foot is twelve inches, exact.
GasM3 = Annotated[
    float,
    _measure("gas such as `0.45 m3`", {"m3": 1.0, "l": 0.001, "ft3": (12 * INCH_M) ** 3}, 0.001, 100.0),
    _with_unit("m3|l|ft3", "0.45 m3"),
]
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
