"""From SI numbers to what a cook reads. The inverse of `parse`, to the precision shown."""

from __future__ import annotations

import math
from typing import Literal

from hearthtide.quantities.units import UNITS, split_quantity


def clock_text(clock_s: float) -> str:
    """A time of day; seconds only where they are not zero.

    >>> clock_text(68835), clock_text(69720), clock_text(90600)
    ('19:07:15', '19:22', '25:10')
    """
    whole = _whole_s(clock_s)
    minutes, seconds = divmod(whole, 60)
    text = f"{minutes // 60:02d}:{minutes % 60:02d}"
    return f"{text}:{seconds:02d}" if seconds else text


def duration_text(duration_s: float) -> str:
    """A stretch of time as minutes:seconds.

    >>> duration_text(450), duration_text(45), duration_text(7200)
    ('7:30', '0:45', '120:00')
    """
    minutes, seconds = divmod(_whole_s(duration_s), 60)
    return f"{minutes}:{seconds:02d}"


def temperature_text(temperature_C: float, unit: Literal["C", "F"] = "C") -> str:
    """A temperature to the whole degree.

    >>> temperature_text(345), temperature_text(345, "F")
    ('345 °C', '653 °F')
    """
    scale = UNITS[unit]
    return f"{temperature_C / scale.factor - scale.shift:.0f} °{unit}"


def length_text(length_m: float, unit: Literal["m", "cm", "mm", "in"] = "cm") -> str:
    """A length to three figures or better.

    >>> length_text(0.3302), length_text(0.3302, "in")
    ('33 cm', '13 in')
    """
    return f"{_number(length_m / UNITS[unit].factor)} {unit}"


def written_like(value: float, example: str) -> str:
    """An SI value in the unit, and the manner, of a quantity that somebody wrote.

    Minutes:seconds for an example with a colon, a percentage for one with a percent sign,
    the bare number for a bare number.

    >>> written_like(0.6, "13 in"), written_like(60, "7:30"), written_like(0.5, "20 %"), written_like(3, "5")
    ('23.6 in', '1:00', '50 %', '3')
    """
    if ":" in example:
        return duration_text(value)
    if "%" in example:
        return f"{_number(100 * value)} %"
    found = split_quantity(example)
    if found is None:
        return _number(value)
    unit = UNITS[found[1]]
    return f"{_number(value / unit.factor - unit.shift)} {found[1]}"


def _number(value: float) -> str:
    """Three figures, and never fewer than the digits before the point."""
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def _whole_s(seconds: float) -> int:
    if not 0 <= seconds < math.inf:
        raise ValueError(f"expected seconds from 0 up, found {seconds}")
    return round(seconds)
