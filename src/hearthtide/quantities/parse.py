"""From what a cook writes (`13 in`, `620 F`, `7:30`) to SI numbers.

Every function raises ValueError in one form: expected X such as `13 in`.
A bare number is refused wherever the unit could be guessed wrong.
"""

from __future__ import annotations

import re

from hearthtide.quantities.units import EXAMPLE, UNITS, Dimension, split_quantity, units_of

LAST_CLOCK_S = 30 * 3600  # a night may run past midnight; 30:00 is six the next morning
_CLOCK = re.compile(r"\s*([0-9]{1,2}):([0-5][0-9])(?::([0-5][0-9]))?\s*")
_MINUTES = re.compile(r"\s*([0-9]{1,4}):([0-5][0-9])\s*")
_SHARE = re.compile(r"\s*([+-]?[0-9]{1,9}(?:\.[0-9]{1,9})?)\s*(%?)\s*")
_ARTICLE = {"angle": "an angle"}


def expectation(dimension: Dimension) -> str:
    """What a quantity of this dimension should look like, for a message.

    >>> expectation("length")
    'a length such as `13 in` (m, cm, mm, in, ft)'
    """
    what = _ARTICLE.get(dimension, f"a {dimension}")
    return f"{what} such as `{EXAMPLE[dimension]}` ({', '.join(units_of(dimension))})"


def _parse(text: str, dimension: Dimension) -> float:
    found = split_quantity(text)
    if found is None or UNITS[found[1]].dimension != dimension:
        raise ValueError(f"expected {expectation(dimension)}")
    number, name = found
    return (number + UNITS[name].shift) * UNITS[name].factor


def parse_length_m(text: str) -> float:
    """Length [m] from m, cm, mm, in or ft.

    >>> round(parse_length_m("13 in"), 4)
    0.3302
    """
    return _parse(text, "length")


def parse_temperature_C(text: str) -> float:
    """Temperature [°C] from C or F, with or without a degree sign.

    >>> parse_temperature_C("212 °F")
    100.0
    """
    return _parse(text, "temperature")


def parse_power_W(text: str) -> float:
    """Power [W] from W, kW, BTU/h or kBTU/h.

    >>> round(parse_power_W("90 kBTU/h"))
    26376
    """
    return _parse(text, "power")


def parse_mass_kg(text: str) -> float:
    """Mass [kg] from kg, g, lb or oz.

    >>> round(parse_mass_kg("4 lb"), 3)
    1.814
    """
    return _parse(text, "mass")


def parse_mass_flow_kg_s(text: str) -> float:
    """Mass flow [kg/s] from kg/s or g/s.

    >>> parse_mass_flow_kg_s("4 g/s")
    0.004
    """
    return _parse(text, "mass flow")


def parse_angle_deg(text: str) -> float:
    """Angle [degrees].

    >>> parse_angle_deg("-45 deg")
    -45.0
    """
    return _parse(text, "angle")


def parse_duration_s(text: str) -> float:
    """Duration [s] from minutes:seconds, or a number with s, min or h.

    >>> parse_duration_s("7:30"), parse_duration_s("3 min")
    (450.0, 180.0)
    """
    match = _MINUTES.fullmatch(text)
    if match:
        return 60.0 * int(match[1]) + int(match[2])
    return _parse(text, "duration")


def parse_clock_s(text: str) -> float:
    """Seconds since midnight of the night's first day, up to 30:00 (six the next morning).

    >>> parse_clock_s("19:22"), parse_clock_s("25:10:30")
    (69720.0, 90630.0)
    """
    match = _CLOCK.fullmatch(text)
    seconds = 3600.0 * int(match[1]) + 60 * int(match[2]) + int(match[3] or 0) if match else LAST_CLOCK_S + 1
    if seconds > LAST_CLOCK_S:
        raise ValueError("expected a time of day such as `19:22` (after midnight `25:10`, up to `30:00`)")
    return seconds


def parse_fraction(text: str) -> float:
    """A share from a percentage or a plain number; more than one whole is allowed.

    >>> parse_fraction("20 %"), parse_fraction("0.2")
    (0.2, 0.2)
    """
    match = _SHARE.fullmatch(text)
    if match is None:
        raise ValueError("expected a share such as `20 %` or `0.2`")
    return float(match[1]) / (100 if match[2] else 1)
