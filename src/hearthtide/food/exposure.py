"""What surrounds a portion at one moment: what it stands on and the heat that reaches its faces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import STEFAN_BOLTZMANN_W_m2K4

Base = Literal["stone", "platter", "board"]
Sectors = tuple[float, float, float, float]


@dataclass(frozen=True)
class Exposure:
    """Heat as a portion meets it.

    `base`: "stone" on the stone, through its platter when it has one; "platter" off the stone, still
    on its platter; "board" off the hearth on wood, without its platter.
    `stone_C` is the stone's surface under it [°C], used by "stone" alone; `up_W_m2` the irradiance on a
    face that looks up; `rim_W_m2` the irradiance on faces that look sideways at 0, 90, 180 and 270
    degrees clockwise from the direction of the flame; `gas_C` the air or gas around it [°C].

    Raises PhysicalRangeError for a negative or non-finite irradiance, or temperatures outside
    -20 to 1400 °C.
    """

    base: Base
    stone_C: float
    up_W_m2: float
    rim_W_m2: Sectors
    gas_C: float

    def __post_init__(self) -> None:
        for heat in (self.up_W_m2, *self.rim_W_m2):
            if not (math.isfinite(heat) and heat >= 0):
                raise PhysicalRangeError(f"irradiance {heat} W/m²: expected 0 or more")
        for name, value in (("stone_C", self.stone_C), ("gas_C", self.gas_C)):
            if not -20 <= value <= 1400:
                raise PhysicalRangeError(f"{name} {value} °C: expected -20 to 1400 °C")


def rest_exposure(room_C: float = 22.0, base: Base = "board") -> Exposure:
    """Food at rest in a room: on a board, or (`base="platter"`) still in its hot platter or crock."""
    room_W_m2 = STEFAN_BOLTZMANN_W_m2K4 * (room_C + 273.15) ** 4
    return Exposure(base, room_C, room_W_m2, (room_W_m2,) * 4, room_C)


REST = rest_exposure()


def rim_at(rim_W_m2: Sectors, bearing_deg: float) -> float:
    """Irradiance on a sideways face at a bearing clockwise from the flame, between the four given.

    >>> rim_at((8.0, 4.0, 2.0, 4.0), 45.0)
    6.0
    """
    quarter = (bearing_deg % 360.0) / 90.0
    before = int(quarter) % 4
    part = quarter - int(quarter)
    return (1 - part) * rim_W_m2[before] + part * rim_W_m2[(before + 1) % 4]
