"""Outlines of items seen from above, and the share of each cell of the stone that they cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.oven.model import Oven
from hearthtide.ranges import Array, require

# Lines through the covered width of a cell along which a disc's chord is taken.
LINES = 16
# Outlines that only touch may add up to this much past a full cell by the error of those lines.
TOUCHING = 0.005


@dataclass(frozen=True)
class Disc:
    """A round item about (x_m, y_m)."""

    x_m: float
    y_m: float
    diameter_m: float

    @property
    def area_m2(self) -> float:
        return float(np.pi * self.diameter_m**2 / 4)

    @property
    def size_m(self) -> tuple[float, float]:
        """Width and depth of the box around it."""
        return self.diameter_m, self.diameter_m

    def covers_m2(self, low_m: Array, high_m: Array) -> Array:
        """Area of each box, from its lower to its upper corner (p, 2), that lies under the item (p,)."""
        radius = self.diameter_m / 2
        left = np.maximum(low_m[:, 0] - self.x_m, -radius)
        width = np.maximum(np.minimum(high_m[:, 0] - self.x_m, radius) - left, 0.0)
        x = left[:, None] + width[:, None] * (np.arange(LINES) + 0.5) / LINES
        half = np.sqrt(np.maximum(radius**2 - x * x, 0.0))
        low, high = low_m[:, 1, None] - self.y_m, high_m[:, 1, None] - self.y_m
        chord = np.maximum(np.minimum(high, half) - np.maximum(low, -half), 0.0)
        return np.asarray(chord.mean(1) * width)


@dataclass(frozen=True)
class Rect:
    """A rectangular item about (x_m, y_m), its sides along x and y."""

    x_m: float
    y_m: float
    width_m: float
    depth_m: float

    @property
    def area_m2(self) -> float:
        return self.width_m * self.depth_m

    @property
    def size_m(self) -> tuple[float, float]:
        """Width and depth."""
        return self.width_m, self.depth_m

    def covers_m2(self, low_m: Array, high_m: Array) -> Array:
        """Area of each box, from its lower to its upper corner (p, 2), that lies under the item (p,)."""
        centre, half = np.array([self.x_m, self.y_m]), np.array(self.size_m) / 2
        overlap = np.minimum(high_m, centre + half) - np.maximum(low_m, centre - half)
        return np.asarray(np.maximum(overlap, 0.0).prod(1))


Shape = Disc | Rect


def cover_fractions(oven: Oven, shapes: Sequence[Shape], *, alone: bool = False) -> Array:
    """Share 0..1 of each cell under each shape, (items, cells).

    Row sums times the cell area give the footprint that lies on the hearth. Where outlines that touch add
    up to a hair more than a cell they are scaled to fill it; where they overlap the sum stays above one,
    and a Load refuses it. `alone`: the shapes need not lie there together.
    Raises PhysicalRangeError for sides outside 0.01 to 2 m.
    """
    half = np.array(oven.stone.sides_m) / 2
    cover = np.zeros((len(shapes), len(oven.cells_m)))
    for row, shape in zip(cover, shapes, strict=True):
        size = np.array(shape.size_m)
        require("footprint", size, "m", 0.01, 2.0)
        away = np.abs(oven.cells_m - (shape.x_m, shape.y_m))
        near = np.flatnonzero(np.all(away < size / 2 + half, axis=1))
        cells = oven.cells_m[near]
        row[near] = shape.covers_m2(cells - half, cells + half) / oven.cell_area_m2
    return np.minimum(cover if alone else side_by_side(cover), 1.0)


def side_by_side(cover: Array) -> Array:
    """Shares (items, cells) of items that lie there together: where outlines that touch add up to a hair more
    than a cell they are scaled to fill it.
    """
    total = cover.sum(0)
    return np.asarray(cover / np.where((total > 1) & (total < 1 + TOUCHING), total, 1.0))
