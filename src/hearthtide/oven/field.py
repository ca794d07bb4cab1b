"""The heat field: radiation that reaches a small surface anywhere in the oven, whichever way it faces.

What a receiver sees of every patch has a closed form in this convex oven, so the shares add up to one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.element_views import element_views
from hearthtide.oven.exchange import irradiation
from hearthtide.oven.flame import Fire
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.ranges import Array, require, require_shape

# Half the depth of the flame sheet, so that no receiver sees it as a point (common practice, no source).
FLAME_HALF_DEPTH_M = 0.02


@dataclass(frozen=True, eq=False)
class Shares:
    """Irradiance by where it comes from, each (m,), W/m²."""

    flame_W_m2: Array
    dome_W_m2: Array
    floor_W_m2: Array
    mouth_W_m2: Array
    gas_W_m2: Array


@dataclass(frozen=True, eq=False)
class Leaving:
    """What shines on receivers at one moment: what leaves every surface, W/m², in radiosity's order; what
    each strip of the fire radiates, W; what the gas sends a surface that faces all of it, W/m².
    """

    surfaces_W_m2: Array
    strips_W: Array
    gas_W_m2: float


def leaving(oven: Oven, state: OvenState, fire: Fire | float, load: Load = NO_LOAD) -> Leaving:
    """What shines on any receiver now."""
    burning = fire if isinstance(fire, Fire) else oven.fire(fire)
    falls = irradiation(oven, state, burning, load)
    kept = oven.enclosure.emissivity
    leaves = kept * falls.emission + (1 - kept) * falls.surfaces
    return Leaving(leaves, oven.sheet.strip_W(burning), falls.gas)


@dataclass(frozen=True, eq=False)
class Receivers:
    """Small surfaces that see the oven without disturbing it.

    `view` (m, surfaces) are view factors that sum to one per row, `flame` (m, strips) direct irradiance
    per watt radiated by each strip of the fire, `gas` (m,) the share of the hot gas each faces.
    """

    view: Array
    flame: Array
    gas: Array

    def irradiance_W_m2(
        self, oven: Oven, state: OvenState, fire: Fire | float, load: Load = NO_LOAD
    ) -> Array:
        """Radiation on each receiver (m,), W/m²: flame direct, and dome, stone, mouth and gas."""
        return self.lit_W_m2(leaving(oven, state, fire, load))

    def lit_W_m2(self, by: Leaving) -> Array:
        """Radiation on each receiver (m,), W/m², by what is known to shine."""
        return np.asarray(self.view @ by.surfaces_W_m2 + self.flame @ by.strips_W + self.gas * by.gas_W_m2)

    def shares(self, oven: Oven, state: OvenState, fire: Fire | float, load: Load = NO_LOAD) -> Shares:
        """The same radiation split by where it comes from."""
        by = leaving(oven, state, fire, load)
        leaves = by.surfaces_W_m2
        floor, dome = oven.stone.blocks, oven.stone.blocks + oven.roof_patches
        return Shares(
            flame_W_m2=self.flame @ by.strips_W,
            dome_W_m2=self.view[:, floor:dome] @ leaves[floor:dome],
            floor_W_m2=self.view[:, :floor] @ leaves[:floor],
            mouth_W_m2=self.view[:, dome:] @ leaves[dome:],
            gas_W_m2=self.gas * by.gas_W_m2,
        )


def receivers(oven: Oven, points_m: Array, normals: Array) -> Receivers:
    """Prepare receivers at points (m, 3) that face along `normals` (m, 3; any length but 0).

    Raises PhysicalRangeError for a point outside the oven or below the stone.
    """
    at, facing = np.array(points_m, dtype=float), np.asarray(normals, dtype=float)
    require_shape("points_m", at, (len(at), 3))
    require_shape("normals", facing, at.shape)
    length = np.linalg.norm(facing, axis=1)
    require("length of normals", length, "-", 1e-9, 1e9)
    require("depth inside the oven", oven.room.depth_m(at), "m", 0.0, 10.0)
    facing = facing / length[:, None]
    # A point on the stone itself is lifted a hair, so that it sees the floor beside it.
    at[:, 2] = np.maximum(at[:, 2], 1e-6)
    above = element_views(at, facing, oven.room.corners_m[oven.order])
    view = np.concatenate([_floor_views(oven, at, facing, np.clip(1 - above.sum(1), 0.0, 1.0)), above], 1)
    return Receivers(view / view.sum(1, keepdims=True), _flame(oven, at, facing), (1 + facing[:, 2]) / 2)


def _floor_views(oven: Oven, at: Array, facing: Array, share: Array) -> Array:
    """Views of the stone's blocks (m, blocks), made to add up to what walls, roof and mouth leave."""
    stone = oven.stone
    views = np.zeros((len(at), stone.blocks))
    down = share > 1e-12
    if not down.any():
        return views
    half = np.array(stone.sides_m) / 2
    around = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half
    corners = np.zeros((len(stone.cells_m), 4, 3))
    corners[:, :, :2] = stone.cells_m[:, None, :] + around
    seen = element_views(at[down], facing[down], corners)
    summed = np.zeros((stone.blocks, int(down.sum())))
    np.add.at(summed, stone.block, seen.T)
    views[down] = summed.T
    total = views.sum(1)
    lost = down & (total <= 1e-12)
    views[lost, stone.block_under(at[lost, :2])] = 1.0
    total = np.where(lost, 1.0, np.where(down, total, 1.0))
    return np.asarray(views * (share / total)[:, None])


def _flame(oven: Oven, at: Array, facing: Array) -> Array:
    """Direct irradiance (m, strips) per watt radiated by each strip, W/m² per W."""
    flame = np.empty((len(at), oven.sheet.strips))
    for strip, points in enumerate(oven.sheet.points):
        away = points[None, :, :] - at[:, None, :]
        distance2 = (away * away).sum(2) + FLAME_HALF_DEPTH_M**2
        toward = np.maximum((away * facing[:, None, :]).sum(2), 0.0)
        flame[:, strip] = (toward / (4 * np.pi * distance2 * np.sqrt(distance2))).mean(1)
    return flame
