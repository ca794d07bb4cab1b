"""The fire as points that shine: strips of each flame from its foot up and along the roof, and the embers.

How many strips shine follows the flame's length, so nothing is solved anew when the flame changes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hearthtide.heat.flames import emitted_below, line_flame_length_m, radiant_fraction, round_flame_length_m
from hearthtide.heat.wood import steady_ember_share
from hearthtide.oven.design import Burner, OvenDesign
from hearthtide.oven.solid import Solid
from hearthtide.ranges import Array, require

STRIP_M, STRIPS_MOST = 0.03, 40
# How far below the roof a flame runs along it (common practice, no source).
BELOW_ROOF_M = 0.04
# Points along a ribbon: one per this length, within these bounds; points over a bed of embers.
RIBBON_STEP_M, RIBBON_LEAST, RIBBON_MOST, BED_POINTS = 0.025, 5, 48, 12
EMBER_HEIGHT_M = 0.03  # of the bed's glowing face over the stone (common practice, no source)
# Share of the embers' heat that shines: a bed of 0.3 m at 900 °C sends out at most 7 kW, about what fires of
# 3 to 6 kg/h have in their embers (own choice).
EMBER_RADIANT = 0.6


@dataclass(frozen=True)
class Fire:
    """Heat released at one moment, W: by flames on the hearth, by embers, and below the floor."""

    flame_W: float
    embers_W: float = 0.0
    under_W: float = 0.0

    @property
    def power_W(self) -> float:
        return self.flame_W + self.embers_W + self.under_W


@dataclass(frozen=True, eq=False)
class Tongue:
    """One burner's flame: `points_m` (strips, k, 3) shine to all sides alike; a strip is `strip_m` long."""

    burner: Burner
    points_m: Array
    strip_m: float

    def free_length_m(self, power_W: float) -> float:
        """Length with nothing in the way, at least one strip; 0 without fire."""
        if power_W <= 0:
            return 0.0
        burner = self.burner
        if burner.kind == "ribbon":
            length = line_flame_length_m(power_W, burner.length_m)
        else:
            length = round_flame_length_m(power_W, burner.breadth_m)
        return max(length, self.strip_m)

    def length_m(self, power_W: float) -> float:
        """Length under this roof: a flame that reaches the crown goes no further."""
        return min(self.free_length_m(power_W), len(self.points_m) * self.strip_m)

    @property
    def area_m2(self) -> float:
        burner = self.burner
        if burner.kind == "ribbon":
            return burner.length_m * burner.breadth_m
        return math.pi / 4 * burner.breadth_m**2


@dataclass(frozen=True, eq=False)
class FireSheet:
    """All that shines, in the order of `points`: each flame's strips, then each bed's embers."""

    design: OvenDesign
    tongues: tuple[Tongue, ...]
    beds_m: tuple[Array, ...]

    @property
    def points(self) -> tuple[Array, ...]:
        """Points (k, 3) of every strip."""
        flames = tuple(strip for tongue in self.tongues for strip in tongue.points_m)
        return flames + self.beds_m

    @property
    def strips(self) -> int:
        return sum(len(tongue.points_m) for tongue in self.tongues) + len(self.beds_m)

    def free_length_m(self, fire: Fire) -> float:
        """Length of the longest flame with nothing in its way: what the air it draws up goes by."""
        return max((t.free_length_m(p) for t, p in self._powers(fire)), default=0.0)

    def radiant_fraction(self, fire: Fire) -> float:
        """Share of the heat released on the hearth that shines."""
        heat = fire.flame_W + fire.embers_W
        return float(self.strip_W(fire).sum() / heat) if heat > 0 else 0.0

    def strip_W(self, fire: Fire) -> Array:
        """Heat radiated by each strip, W."""
        parts = []
        for tongue, power in self._powers(fire):
            edges = np.arange(len(tongue.points_m) + 1) * tongue.strip_m
            length = max(tongue.length_m(power), tongue.strip_m)
            shine = radiant_fraction(self.design.fuel, power / tongue.area_m2)
            shine = min(1.0, shine * self.design.coefficients.radiant)
            parts.append(np.diff(emitted_below(np.minimum(edges / length, 1.0))) * shine * power)
        beds = len(self.beds_m)
        parts.append(np.full(beds, EMBER_RADIANT * fire.embers_W / beds if beds else 0.0))
        return np.concatenate(parts)

    def _powers(self, fire: Fire) -> list[tuple[Tongue, float]]:
        whole = sum(tongue.burner.share for tongue in self.tongues)
        return [(t, fire.flame_W * t.burner.share / whole) for t in self.tongues]


def steady_fire(design: OvenDesign, power_W: float) -> Fire:
    """How a set power is released when it has stood for a while: flames, embers, below the floor.

    Raises PhysicalRangeError for power_W outside 0 to 500 000.
    """
    require("power_W", power_W, "W", 0.0, 500_000.0)
    under = sum(b.share for b in design.burners if b.kind == "under") * power_W
    embers = steady_ember_share(design.moisture) * (power_W - under) if design.fuel == "wood" else 0.0
    return Fire(power_W - under - embers, embers, under)


def fire_sheet(design: OvenDesign, room: Solid) -> FireSheet:
    """Lay out every flame on the hearth, and the embers of every bed of wood."""
    tongues = tuple(_tongue(design, burner, room) for burner in design.fires)
    beds = tuple(_bed_m(design, burner) for burner in design.fires if burner.kind == "bed")
    return FireSheet(design, tongues, beds)


def _tongue(design: OvenDesign, burner: Burner, room: Solid) -> Tongue:
    count = 1
    if burner.kind == "ribbon":
        count = min(max(RIBBON_LEAST, round(burner.length_m / RIBBON_STEP_M)), RIBBON_MOST)
    feet = design.flame_path_m(burner, 2 * count + 1)[1::2]
    middle = np.array(design.hearth.centre_m)
    in_m = np.linspace(0.0, 1.0, 200)
    paths = []
    for foot in feet:
        way = foot + in_m[:, None] * (middle - foot)
        along = np.column_stack([way, np.maximum(room.height_m(way) - BELOW_ROOF_M, 0.02)])
        paths.append(np.vstack([[*foot, 0.0], along]))
    steps = [np.append(0.0, np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))) for path in paths]
    whole = min(float(step[-1]) for step in steps)
    strips = min(STRIPS_MOST, max(2, int(whole / STRIP_M)))
    strip_m = max(STRIP_M, whole / strips) if strips == STRIPS_MOST else STRIP_M
    at = (np.arange(strips) + 0.5) * strip_m
    points = [
        np.stack([np.interp(at, step, path[:, axis]) for axis in range(3)], 1)
        for step, path in zip(steps, paths, strict=True)
    ]
    return Tongue(burner, np.stack(points, 1), strip_m)


def _bed_m(design: OvenDesign, burner: Burner) -> Array:
    """Points spread evenly over the bed's face (golden-section spiral)."""
    middle = design.flame_path_m(burner, 1)[0]
    number = np.arange(BED_POINTS)
    out = burner.breadth_m / 2 * np.sqrt((number + 0.5) / BED_POINTS)
    turn = number * math.pi * (3 - math.sqrt(5))
    level = np.full(BED_POINTS, EMBER_HEIGHT_M)
    return np.stack([middle[0] + out * np.cos(turn), middle[1] + out * np.sin(turn), level], 1)
