"""The flame as a sheet: strips that rise from the ribbon and then follow the dome.

How many strips shine follows the flame's length, so nothing is solved anew when the flame changes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.combustion import FuelGas
from hearthtide.heat.flames import emitted_below, line_flame_length_m, radiant_fraction
from hearthtide.heat.ranges import Array
from hearthtide.oven.design import OvenDesign

STRIP_M = 0.03
# How far below the dome the sheet runs (common practice, no source).
BELOW_DOME_M = 0.04
# Points along the ribbon: one per this length, within these bounds.
RIBBON_STEP_M, RIBBON_LEAST, RIBBON_MOST = 0.025, 5, 48


@dataclass(frozen=True, eq=False)
class FlameSheet:
    """Points (strips, ribbon points, 3) that shine equally in all directions (a thin, see-through flame)."""

    points_m: Array
    burner_length_m: float
    burner_breadth_m: float
    fuel: FuelGas

    @property
    def strips(self) -> int:
        return len(self.points_m)

    def length_m(self, power_W: float) -> float:
        """Flame length; a flame that reaches the crown goes no further."""
        return min(line_flame_length_m(power_W, self.burner_length_m), self.strips * STRIP_M)

    def radiant_fraction(self, power_W: float) -> float:
        """Share of the heat that shines, by how heavily the ribbon is loaded."""
        return radiant_fraction(self.fuel.name, power_W / (self.burner_length_m * self.burner_breadth_m))

    def strip_W(self, power_W: float) -> Array:
        """Heat radiated by each strip, W: the radiant fraction spread over the flame's length.

        A flame shorter than one strip shines from the lowest.
        """
        length = max(self.length_m(power_W), STRIP_M)
        edges = np.arange(self.strips + 1) * STRIP_M
        share = np.diff(emitted_below(np.minimum(edges / length, 1.0)))
        return np.asarray(share * (self.radiant_fraction(power_W) * power_W))


def flame_sheet(design: OvenDesign, fuel: FuelGas) -> FlameSheet:
    """Lay the sheet out. A ribbon nearer the wall than the sheet's own clearance is moved in to it."""
    count = min(max(RIBBON_LEAST, round(design.burner.length_m / RIBBON_STEP_M)), RIBBON_MOST)
    centre = np.array(design.centre_m)
    ribbon = np.array(design.flame_path_m(2 * count + 1))[1::2]
    outward = (ribbon - centre) / np.linalg.norm(ribbon - centre, axis=1, keepdims=True)
    reach, height = design.radius_m - BELOW_DOME_M, design.dome_height_m - BELOW_DOME_M
    foot = min(design.radius_m - design.burner.standoff_m, reach)
    radius, z = _rise(foot, reach, height)
    flat = centre + radius[:, None, None] * outward[None, :, :]
    level = np.broadcast_to(z[:, None, None], (*flat.shape[:2], 1))
    points = np.concatenate([flat, level], -1)
    return FlameSheet(points, design.burner.length_m, design.burner.breadth_m, fuel)


def _rise(foot_m: float, reach_m: float, height_m: float) -> tuple[Array, Array]:
    """Radius and height of the middle of each strip, from the ribbon up to the crown."""
    start = np.arccos(min(1.0, foot_m / reach_m))
    along = np.linspace(start, np.pi / 2, 400)
    radius = np.append(foot_m, reach_m * np.cos(along))
    z = np.append(0.0, height_m * np.sin(along))
    travelled = np.append(0.0, np.cumsum(np.hypot(np.diff(radius), np.diff(z))))
    middle = (np.arange(int(travelled[-1] / STRIP_M)) + 0.5) * STRIP_M
    return np.interp(middle, travelled, radius), np.interp(middle, travelled, z)
