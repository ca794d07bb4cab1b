"""What an oven is made of, in SI units: the plain facts a house writes down, ready for the model."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from hearthtide.oven.hearth import Hearth
from hearthtide.ranges import Array

Fuel = Literal["natural_gas", "propane", "methane", "wood"]


@dataclass(frozen=True)
class Layer:
    """One layer of a wall; `material` is a key of data/materials.yaml."""

    material: str
    thickness_m: float


@dataclass(frozen=True)
class Crown:
    """What closes the oven above: walls straight up for `wall_m`, then a roof that rises `rise_m` more.

    A dome draws the hearth's outline in toward its middle along a quarter ellipse; a barrel (rectangular
    hearths only) is a half ellipse from side to side between flat front and back; flat has no rise.
    """

    kind: Literal["dome", "barrel", "flat"]
    wall_m: float
    rise_m: float

    @property
    def height_m(self) -> float:
        return self.wall_m + self.rise_m


@dataclass(frozen=True)
class Mouth:
    """The one opening, down to the stone. `door` are its door's layers from the hot face out, if it has one;
    `gap` is the share of the opening that a closed door leaves free.
    """

    width_m: float
    height_m: float
    door: tuple[Layer, ...] = ()
    gap: float = 0.02

    @property
    def area_m2(self) -> float:
        return self.width_m * self.height_m


@dataclass(frozen=True)
class Flue:
    """A chimney: before the mouth (it takes what leaves there) or inside the oven, drawing on it."""

    place: Literal["mouth", "inside"] = "mouth"
    diameter_m: float = 0.15
    height_m: float = 2.0


@dataclass(frozen=True)
class Burner:
    """Where heat is released.

    `ribbon`: a line of `length_m` and `breadth_m` that follows the wall; `cluster`: a round burner
    of diameter `breadth_m`; `bed`: a wood fire on a round bed of embers of diameter `breadth_m`; `under`:
    below the floor. `bearing_deg` points from the hearth's centre to its middle (0 back, -90 left),
    `standoff_m` lies between the wall and its middle line. `share` is its part of the oven's power.
    """

    kind: Literal["ribbon", "cluster", "bed", "under"]
    bearing_deg: float = 0.0
    length_m: float = 0.0
    breadth_m: float = 0.04
    standoff_m: float = 0.0
    share: float = 1.0


@dataclass(frozen=True)
class FlameLevel:
    """A flame the house can set and name; `power_W` is heat release on the net calorific value."""

    name: str
    power_W: float


@dataclass(frozen=True)
class Coefficients:
    """Priors that a house's own readings replace.

    `entrainment` multiplies the air that the flame draws up, `discharge` is the mouth's flow coefficient,
    `radiant` multiplies the flame's radiant fraction; films are W/m²K: of the lower gas on the stone and
    the walls, of the upper gas on walls and roof, of the room on the shell.
    """

    entrainment: float = 1.0
    discharge: float = 0.68
    radiant: float = 1.0
    lower_film_W_m2K: float = 5.0
    upper_film_W_m2K: float = 10.0
    outer_film_W_m2K: float = 10.0
    emissivity_floor: float = 0.90
    emissivity_dome: float = 0.92


@dataclass(frozen=True)
class OvenDesign:
    """A hearth under a crown with one mouth. `floor` and `walls` list layers from the hot face outward
    (`walls` are crown and side walls alike); `levels` go from low to high; `moisture` is water per wet mass
    of wood.
    """

    name: str
    hearth: Hearth
    crown: Crown
    mouth: Mouth
    floor: tuple[Layer, ...]
    walls: tuple[Layer, ...]
    burners: tuple[Burner, ...]
    fuel: Fuel
    levels: tuple[FlameLevel, ...]
    flue: Flue = Flue()
    moisture: float = 0.18
    coefficients: Coefficients = field(default_factory=Coefficients)

    @property
    def fires(self) -> tuple[Burner, ...]:
        """The burners on the hearth: all but those below the floor."""
        return tuple(burner for burner in self.burners if burner.kind != "under")

    def flame_path_m(self, burner: Burner, points: int = 33) -> Array:
        """A burner's centre line on the floor as a polyline (points, 2); a round one is a single place."""
        half = burner.length_m / 2 if burner.kind == "ribbon" else 0.0
        steps = np.linspace(-half, half, points)
        return self.hearth.along_wall_m(burner.bearing_deg, burner.standoff_m, steps)

    def flame_distance_m(self, xy_m: Array, points: int = 65) -> Array:
        """From points (m, 2) on the stone to the nearest flame's line or rim, (m,); infinite without one."""
        nearest = np.full(len(xy_m), np.inf)
        for burner in self.fires:
            path = self.flame_path_m(burner, points)
            rim = 0.0 if burner.kind == "ribbon" else burner.breadth_m / 2
            away = np.linalg.norm(xy_m[:, None, :] - path[None, :, :], axis=2).min(1) - rim
            nearest = np.minimum(nearest, away)
        return nearest

    def level(self, name: str) -> FlameLevel:
        """The flame of that name; KeyError when the house has none."""
        return {level.name: level for level in self.levels}[name]
