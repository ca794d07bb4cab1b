"""The heat field: radiation that reaches a small surface anywhere in the oven, whichever way it faces.

Each receiver looks out along a fixed fan of rays that stand for equal shares of what it receives; where
a ray ends is exact in this convex oven, so the shares always add up to one however close the stone is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.heat.ranges import Array, require, require_shape
from hearthtide.oven.exchange import emission_W_m2, irradiation
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.rays import end_of, fan

# Pairs of rays per receiver.
FAN_PAIRS = 256
# Half the depth of the flame sheet, so that no receiver sees it as a point (common practice, no source).
FLAME_HALF_DEPTH_M = 0.02


@dataclass(frozen=True, eq=False)
class Shares:
    """Irradiance by where it comes from, each (m,), W/m²."""

    flame_W_m2: Array
    dome_W_m2: Array
    floor_W_m2: Array
    mouth_W_m2: Array


@dataclass(frozen=True, eq=False)
class Receivers:
    """Small surfaces that see the oven without disturbing it.

    `view` (m, surfaces) are view factors that sum to one per row, `flame` (m, strips) direct irradiance
    per watt radiated by each strip of the flame.
    """

    view: Array
    flame: Array

    def irradiance_W_m2(self, oven: Oven, state: OvenState, power_W: float, load: Load = NO_LOAD) -> Array:
        """Radiation on each receiver (m,), W/m²: flame direct, and dome, stone and mouth."""
        direct = self.flame @ oven.flame.strip_W(power_W)
        return np.asarray(self.view @ _radiosity_W_m2(oven, state, power_W, load) + direct)

    def shares(self, oven: Oven, state: OvenState, power_W: float, load: Load = NO_LOAD) -> Shares:
        """The same radiation split by where it comes from."""
        leaves = self.view * _radiosity_W_m2(oven, state, power_W, load)
        floor, dome = oven.stone.blocks, oven.stone.blocks + len(oven.dome_area_m2)
        return Shares(
            flame_W_m2=self.flame @ oven.flame.strip_W(power_W),
            dome_W_m2=leaves[:, floor:dome].sum(1),
            floor_W_m2=leaves[:, :floor].sum(1) + leaves[:, -1],
            mouth_W_m2=leaves[:, dome:-1].sum(1),
        )


def receivers(oven: Oven, points_m: Array, normals: Array) -> Receivers:
    """Prepare receivers at points (m, 3) that face along `normals` (m, 3; any length but 0).

    Raises PhysicalRangeError for a point outside the dome or below the stone.
    """
    at, facing = np.asarray(points_m, dtype=float), np.asarray(normals, dtype=float)
    require_shape("points_m", at, (len(at), 3))
    require_shape("normals", facing, at.shape)
    length = np.linalg.norm(facing, axis=1)
    require("length of normals", length, "-", 1e-9, 1e9)
    require("height above the stone", at[:, 2], "m", 0.0, oven.design.dome_height_m)
    require("y_m", at[:, 1], "m", 0.0, 3.0)
    across = np.linalg.norm(oven.dome.unit(at), axis=1)
    require("place across the dome", across, "of its half axes", 0.0, 1.0)
    facing = facing / length[:, None]
    rays = fan(facing, FAN_PAIRS)
    surface = _surface_hit(oven, at, rays)
    count, surfaces = len(at), len(oven.enclosure.area_m2)
    flat = (np.arange(count)[:, None] * surfaces + surface).ravel()
    seen = np.bincount(flat, minlength=count * surfaces).reshape(count, surfaces)
    return Receivers(seen / rays.shape[1], _flame(oven, at, facing))


def _radiosity_W_m2(oven: Oven, state: OvenState, power_W: float, load: Load) -> Array:
    falls = irradiation(oven, state, power_W, load)
    kept = oven.enclosure.emissivity
    return np.asarray(kept * emission_W_m2(oven, state, load) + (1 - kept) * falls.surfaces)


def _surface_hit(oven: Oven, at: Array, rays: Array) -> NDArray[np.intp]:
    """Index of the surface where each ray ends (m, rays)."""
    end, on_floor = end_of(oven.dome, at, rays)
    surface = oven.surface_of_patch[oven.dome.patch_of(end)]
    surface[on_floor] = _floor_hit(oven, end[on_floor])
    return np.asarray(surface)


def _floor_hit(oven: Oven, at: Array) -> NDArray[np.intp]:
    """Block of the stone under each point (p, 3); beyond the sill it is the sliver there."""
    stone = oven.stone
    rows, columns = stone.on.shape
    column = np.clip(((at[:, 0] - stone.x_edges_m[0]) / stone.side_m).astype(int), 0, columns - 1)
    row = np.clip((at[:, 1] / stone.side_m).astype(int), 0, rows - 1)
    return np.where(at[:, 1] < 0, len(oven.enclosure.area_m2) - 1, oven.block_at[row * columns + column])


def _flame(oven: Oven, at: Array, facing: Array) -> Array:
    """Direct irradiance (m, strips) per watt radiated by each strip, W/m² per W."""
    shines = oven.flame.points_m
    flame = np.empty((len(at), oven.flame.strips))
    for strip, points in enumerate(shines):
        away = points[None, :, :] - at[:, None, :]
        distance2 = (away * away).sum(2) + FLAME_HALF_DEPTH_M**2
        toward = np.maximum((away * facing[:, None, :]).sum(2), 0.0)
        flame[:, strip] = (toward / (4 * np.pi * distance2 * np.sqrt(distance2))).mean(1)
    return flame
