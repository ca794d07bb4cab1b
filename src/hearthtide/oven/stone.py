"""The stone cut into square cells, and into the coarser blocks on which radiation is exchanged."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.oven.grid import Grid
from hearthtide.oven.hearth import Hearth, RoundHearth
from hearthtide.ranges import Array

Index = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Lattice:
    """Cells of the stone: `on` (ny, nx) marks those on the hearth, in rows from the mouth inward.

    `cells_m` (n, 2) are their centres, `where` (n,) their place in the flattened lattice, `block` (n,) the
    radiosity block each belongs to, `cells_of_block` (blocks,) how many cells each block has, `block_at`
    (ny * nx,) the block at every place of the lattice, off the hearth the nearest.
    `joined_x` (ny * nx - 1,) and `joined_y` (ny * nx - nx,) are 1.0 where a place of the flattened lattice
    and the next one across, or the next one inward, are both on the hearth. A round hearth's cells go on
    beyond the sill's line to the foot of the dome.
    """

    x_edges_m: Array
    y_edges_m: Array
    sides_m: tuple[float, float]
    on: NDArray[np.bool_]
    cells_m: Array
    where: Index
    block: Index
    cells_of_block: Array
    block_at: Index
    joined_x: Array
    joined_y: Array

    @property
    def blocks(self) -> int:
        return len(self.cells_of_block)

    @property
    def cell_area_m2(self) -> float:
        return self.sides_m[0] * self.sides_m[1]

    def place_m(self, xy_m: Array) -> Array:
        """Points (m, 2) in cells from the lattice's first corner."""
        return np.asarray((xy_m - (self.x_edges_m[0], self.y_edges_m[0])) / self.sides_m)

    def block_under(self, xy_m: Array) -> Index:
        """The block under points (m, 2), the nearest one off the hearth."""
        rows, columns = self.on.shape
        column, row = np.clip(self.place_m(xy_m).astype(int), 0, (columns - 1, rows - 1)).T
        return np.asarray(self.block_at[row * columns + column])


def lattice(hearth: Hearth, grid: Grid) -> Lattice:
    """Cells whose centre lies on the hearth."""
    x_edges, y_edges = _edges(hearth, grid)
    x, y = np.meshgrid((x_edges[:-1] + x_edges[1:]) / 2, (y_edges[:-1] + y_edges[1:]) / 2)
    on = np.ones_like(x, dtype=bool)
    if isinstance(hearth, RoundHearth):
        on = np.hypot(x, y - hearth.centre_m[1]) <= hearth.radius_m
    on_right = np.zeros_like(on)
    on_right[:, :-1] = on[:, 1:]
    row, column = np.nonzero(on)
    _, block = np.unique((row // 2) * len(x_edges) + column // 2, return_inverse=True)
    cells = np.stack([x[on], y[on]], 1)
    places = np.stack([x.ravel(), y.ravel()], 1)
    nearest = ((places[:, None, :] - cells[None, :, :]) ** 2).sum(2).argmin(1)
    return Lattice(
        x_edges_m=x_edges,
        y_edges_m=y_edges,
        sides_m=(float(x_edges[1] - x_edges[0]), float(y_edges[1] - y_edges[0])),
        on=on,
        cells_m=cells,
        where=np.flatnonzero(on),
        block=block,
        cells_of_block=np.bincount(block).astype(float),
        block_at=block[nearest],
        joined_x=(on & on_right).ravel()[:-1].astype(float),
        joined_y=(on[1:] & on[:-1]).ravel().astype(float),
    )


def _edges(hearth: Hearth, grid: Grid) -> tuple[Array, Array]:
    if isinstance(hearth, RoundHearth):
        side = hearth.diameter_m / grid.cells
        x: Array = np.asarray((np.arange(grid.cells + 1) - grid.cells / 2) * side, dtype=float)
        y0 = hearth.centre_m[1]
        before = math.ceil((hearth.radius_m - y0) / side)
        rows = math.ceil((y0 + hearth.radius_m) / side) + before
        return x, np.asarray((np.arange(rows + 1) - before) * side, dtype=float)
    longest = max(hearth.width_m, hearth.depth_m)
    across, deep = (
        max(4, 2 * round(grid.cells * side / longest / 2)) for side in (hearth.width_m, hearth.depth_m)
    )
    return (
        np.linspace(-hearth.width_m / 2, hearth.width_m / 2, across + 1),
        np.linspace(0.0, hearth.depth_m, deep + 1),
    )
