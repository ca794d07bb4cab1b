"""What an oven is made of, in SI units: the plain facts a house writes down, ready for the model.

Origin of coordinates everywhere: the middle of the mouth's sill on the stone's surface,
x to the right, y into the oven, z up, seen by the cook who stands at the mouth. Metres.
Bearings are degrees clockwise from +y, seen from above, about the hearth's centre.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Fuel = Literal["natural_gas", "propane"]


@dataclass(frozen=True)
class Layer:
    """One layer of a wall; `material` is a key of data/materials.yaml."""

    material: str
    thickness_m: float


@dataclass(frozen=True)
class Burner:
    """A ribbon burner that follows the wall.

    `bearing_deg` points from the hearth's centre to the ribbon's middle (0 back, -90 left,
    -45 back-left). `length_m` is measured along the ribbon, `standoff_m` from the wall to it,
    `breadth_m` across the ribbon (4 cm unless the house measures it: common practice, no source).
    """

    bearing_deg: float
    length_m: float
    standoff_m: float
    fuel: Fuel
    breadth_m: float = 0.04


@dataclass(frozen=True)
class FlameLevel:
    """A flame the house can set and name; `power_W` is heat release on the net calorific value."""

    name: str
    power_W: float


@dataclass(frozen=True)
class OvenDesign:
    """A round hearth under a half-ellipsoid dome with one open mouth.

    `floor` and `dome` list layers from the hot face outward. `levels` go from low to high.
    Coefficients are priors until the house's own readings replace them:
    `excess_air` is the air through the burner above stoichiometric (1.0 = 100 %),
    `mouth_flow_kg_s` the room air that washes through the open mouth,
    `floor_convection_W_m2K` and `dome_convection_W_m2K` film coefficients from the hot gas.
    """

    name: str
    diameter_m: float
    dome_height_m: float
    mouth_width_m: float
    mouth_height_m: float
    floor: tuple[Layer, ...]
    dome: tuple[Layer, ...]
    burner: Burner
    levels: tuple[FlameLevel, ...]
    excess_air: float = 1.0
    mouth_flow_kg_s: float = 0.004
    floor_convection_W_m2K: float = 5.0
    dome_convection_W_m2K: float = 20.0
    emissivity_floor: float = 0.90
    emissivity_dome: float = 0.92

    @property
    def radius_m(self) -> float:
        return self.diameter_m / 2

    @property
    def centre_m(self) -> tuple[float, float]:
        """The hearth's centre; the sill is the chord as wide as the mouth."""
        return 0.0, math.sqrt(self.radius_m**2 - (self.mouth_width_m / 2) ** 2)

    def flame_path_m(self, points: int = 33) -> tuple[tuple[float, float], ...]:
        """The ribbon's centre line on the floor as a polyline."""
        radius = self.radius_m - self.burner.standoff_m
        half = self.burner.length_m / radius / 2
        middle = math.radians(self.burner.bearing_deg)
        angles = [middle - half + 2 * half * i / (points - 1) for i in range(points)]
        x0, y0 = self.centre_m
        return tuple((x0 + radius * math.sin(a), y0 + radius * math.cos(a)) for a in angles)

    def level(self, name: str) -> FlameLevel:
        """The flame of that name; KeyError when the house has none."""
        return {level.name: level for level in self.levels}[name]
