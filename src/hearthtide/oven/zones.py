"""Places on the stone: temperature at a point, and the part of the hearth where one works."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hearthtide.oven.model import Oven, OvenState
from hearthtide.ranges import Array, require

# The strip behind the sill that is too cool to count as working stone (common practice, no source).
SILL_DEPTH_M = 0.12


def flame_distance_m(oven: Oven, xy_m: Array) -> Array:
    """Distance from points (m, 2) to the nearest flame's line or rim on the floor, (m,)."""
    return oven.design.flame_distance_m(xy_m)


def working_zone(oven: Oven, clear_of_flame_m: float = 0.30) -> NDArray[np.bool_]:
    """Cells (n,) at least that far from the flame and not in the cool strip behind the sill."""
    require("clear_of_flame_m", clear_of_flame_m, "m", 0.0, 3.0)
    clear = oven.from_flame_m >= clear_of_flame_m
    return np.asarray(clear & (oven.cells_m[:, 1] >= SILL_DEPTH_M))


def floor_C_at(oven: Oven, state: OvenState, xy_m: Array) -> Array:
    """Stone surface at points (m, 2), by bilinear interpolation between the nearest cell centres, (m,).

    Cells off the hearth are left out of the mean; within a cell of the rim with none of the four on the
    hearth the nearest cell counts. Raises PhysicalRangeError for a point off the hearth.
    """
    weights, cells = _weights(oven, np.asarray(xy_m, dtype=float))
    return np.asarray((weights * state.floor_C[cells]).sum(1))


def _weights(oven: Oven, xy_m: Array) -> tuple[Array, NDArray[np.intp]]:
    stone = oven.stone
    require("distance inside the hearth's edge", oven.design.hearth.room_m(xy_m), "m", -1e-9, 5.0)
    rows, columns = stone.on.shape
    index = np.full(rows * columns, -1)
    index[stone.where] = np.arange(len(stone.where))
    place = stone.place_m(xy_m) - 0.5
    low = np.clip(np.floor(place).astype(int), 0, (columns - 2, rows - 2))
    share = np.clip(place - low, 0.0, 1.0)
    cells = np.empty((len(xy_m), 4), dtype=np.intp)
    weights = np.empty((len(xy_m), 4))
    for corner in range(4):
        dx, dy = corner % 2, corner // 2
        cells[:, corner] = index[(low[:, 1] + dy) * columns + low[:, 0] + dx]
        across = share[:, 0] if dx else 1 - share[:, 0]
        inward = share[:, 1] if dy else 1 - share[:, 1]
        weights[:, corner] = across * inward * (cells[:, corner] >= 0)
    bare = np.flatnonzero(weights.sum(1) < 1e-6)
    gaps = np.linalg.norm(xy_m[bare, None, :] - stone.cells_m[None, :, :], axis=2)
    cells[bare, 0] = gaps.argmin(1)
    weights[bare] = (1.0, 0.0, 0.0, 0.0)
    return weights / weights.sum(1, keepdims=True), cells
