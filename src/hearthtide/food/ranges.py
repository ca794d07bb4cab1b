"""One way for the food models to refuse a number: they import nothing from the rooms of heat."""

from __future__ import annotations

from hearthtide.errors import PhysicalRangeError


def require(name: str, value: float, unit: str, low: float, high: float) -> None:
    """Raise PhysicalRangeError naming `name`, the value and `unit` unless low <= value <= high.

    Not-a-number counts as outside.

    >>> require("air_C", 3.0, "°C", -40, 30)
    """
    if not low <= value <= high:
        raise PhysicalRangeError(f"{name} {value:g} {unit}: expected {low:g} to {high:g} {unit}")
