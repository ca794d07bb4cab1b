"""One way to refuse a quantity that a model is not made for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError

Array = NDArray[np.float64]


def require(name: str, value: float | Array, unit: str, low: float, high: float) -> None:
    """Raise PhysicalRangeError naming `name`, the value and `unit` unless low <= value <= high everywhere.

    Not-a-number counts as outside.

    >>> require("power_W", 2e4, "W", 0, 1.2e5)
    """
    if isinstance(value, float | int):
        if not low <= value <= high:
            raise PhysicalRangeError(_complaint(name, value, unit, low, high))
        return
    values = np.asarray(value, dtype=float)
    bad = ~((values >= low) & (values <= high))
    if np.any(bad):
        worst = float(values[bad].flat[0])
        raise PhysicalRangeError(_complaint(name, worst, unit, low, high))


def _complaint(name: str, value: float, unit: str, low: float, high: float) -> str:
    return f"{name} = {value:g} {unit} (expected {low:g} to {high:g} {unit})"


def require_shape(name: str, array: Array, shape: tuple[int, ...]) -> None:
    """Raise PhysicalRangeError unless `array` has the shape."""
    if np.shape(array) != shape:
        raise PhysicalRangeError(f"{name} has shape {np.shape(array)} (expected {shape})")
