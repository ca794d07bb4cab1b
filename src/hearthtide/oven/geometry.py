"""The enclosure: cells of the stone, blocks of cells, patches of the dome and of the mouth.

The dome is the half-ellipsoid (R, R, H) over the disc of the hearth. The mouth is cut into its front:
all of the surface below the mouth's height within an angle chosen so that the area is width x height.
The sliver of the disc beyond the sill is closed by a surface that only passes on what falls on it.
So the enclosure is closed and convex, and nothing shadows anything.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.heat.ranges import Array, require
from hearthtide.heat.views import Points
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.grid import Grid

Index = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Lattice:
    """Square cells of the stone: `on` (ny, nx) marks those on the hearth, in rows from the sill inward.

    `cells_m` (n, 2) are their centres, `where` (n,) their place in the flattened lattice, `block` (n,) the
    radiosity block each belongs to, `cells_of_block` (blocks,) how many cells each block has.
    `joined_x` (ny * nx - 1,) and `joined_y` (ny * nx - nx,) are 1.0 where a place of the flattened lattice
    and the next one across, or the next one inward, are both on the hearth.
    """

    x_edges_m: Array
    y_edges_m: Array
    side_m: float
    on: NDArray[np.bool_]
    cells_m: Array
    where: Index
    block: Index
    cells_of_block: Array
    joined_x: Array
    joined_y: Array

    @property
    def blocks(self) -> int:
        return len(self.cells_of_block)

    @property
    def cell_area_m2(self) -> float:
        return self.side_m**2


def lattice(design: OvenDesign, grid: Grid) -> Lattice:
    """Cells whose centre lies on the hearth: inside the disc and behind the sill (y >= 0)."""
    radius, (_, y0) = design.radius_m, design.centre_m
    side = design.diameter_m / grid.cells
    rows = math.ceil((y0 + radius) / side)
    x_edges: Array = np.asarray((np.arange(grid.cells + 1) - grid.cells / 2) * side, dtype=float)
    y_edges: Array = np.asarray(np.arange(rows + 1) * side, dtype=float)
    x, y = np.meshgrid((x_edges[:-1] + x_edges[1:]) / 2, (y_edges[:-1] + y_edges[1:]) / 2)
    on = x**2 + (y - y0) ** 2 <= radius**2
    on_right = np.zeros_like(on)
    on_right[:, :-1] = on[:, 1:]
    row, column = np.nonzero(on)
    _, block = np.unique((row // 2) * grid.cells + column // 2, return_inverse=True)
    return Lattice(
        x_edges_m=x_edges,
        y_edges_m=y_edges,
        side_m=side,
        on=on,
        cells_m=np.stack([x[on], y[on]], 1),
        where=np.flatnonzero(on),
        block=block,
        cells_of_block=np.bincount(block).astype(float),
        joined_x=(on & on_right).ravel()[:-1].astype(float),
        joined_y=(on[1:] & on[:-1]).ravel().astype(float),
    )


@dataclass(frozen=True, eq=False)
class Shell:
    """Patches of the half-ellipsoid on a mesh of rings (from the floor up) and sectors (by bearing).

    `bearing_edges` and `rise_edges` are radians, `is_mouth` (rings, sectors); patch number is
    ring * sectors + sector.
    """

    radius_m: float
    height_m: float
    centre_y_m: float
    bearing_edges: Array
    rise_edges: Array
    is_mouth: NDArray[np.bool_]

    @property
    def patches(self) -> int:
        return self.is_mouth.size

    @property
    def half_axes_m(self) -> Array:
        return np.array([self.radius_m, self.radius_m, self.height_m])

    def unit(self, points_m: Array) -> Array:
        """Points (..., 3) in half axes about the dome's centre, where the dome is the unit sphere."""
        return np.asarray((points_m - (0.0, self.centre_y_m, 0.0)) / self.half_axes_m)

    def at(self, bearing: Array, rise: Array) -> Array:
        """Points of the surface (..., 3), m."""
        flat = self.radius_m * np.cos(rise)
        x, y = flat * np.sin(bearing), self.centre_y_m + flat * np.cos(bearing)
        return np.stack([x, y, self.height_m * np.sin(rise) + 0 * bearing], -1)

    def inward(self, points_m: Array) -> Array:
        """Unit normals into the oven at points of the surface."""
        gradient = self.unit(points_m) / self.half_axes_m
        return np.asarray(-gradient / np.linalg.norm(gradient, axis=-1, keepdims=True))

    def band_area_m2(self, low: Array, high: Array) -> Array:
        """Area per radian of bearing between two rises, by Gauss-Legendre quadrature."""
        nodes, weights = np.polynomial.legendre.leggauss(16)
        half = (high - low) / 2
        rise = (low + high)[..., None] / 2 + half[..., None] * nodes
        slope = np.hypot(self.radius_m * np.sin(rise), self.height_m * np.cos(rise))
        return np.asarray((self.radius_m * np.cos(rise) * slope * weights).sum(-1) * half)

    def patch_of(self, points_m: Array) -> Index:
        """The patch that each point (..., 3) of the surface lies in."""
        bearing = np.arctan2(points_m[..., 0], points_m[..., 1] - self.centre_y_m)
        bearing = np.where(bearing < self.bearing_edges[0], bearing + 2 * np.pi, bearing)
        rise = np.arcsin(np.clip(points_m[..., 2] / self.height_m, 0.0, 1.0))
        sector = np.searchsorted(self.bearing_edges, bearing, side="right") - 1
        ring = np.searchsorted(self.rise_edges, rise, side="right") - 1
        rings, sectors = self.is_mouth.shape
        return np.asarray(np.minimum(ring, rings - 1) * sectors + np.minimum(sector, sectors - 1))


def shell(design: OvenDesign, grid: Grid) -> Shell:
    """Mesh the dome so that the mouth's edges are mesh lines and its area is width x height.

    Bearings run from one side of the mouth round the back to the other side, then over the mouth.
    """
    height, top = design.dome_height_m, design.mouth_height_m
    require("mouth_height_m", top, "m", 0.01, 0.95 * height)
    rise_top = math.asin(top / height)
    low = min(max(1, round(grid.rings * rise_top / (math.pi / 2))), grid.rings - 1)
    upper = np.linspace(rise_top, math.pi / 2, grid.rings - low + 1)
    rises = np.concatenate([np.linspace(0, rise_top, low + 1), upper[1:]])
    blank = Shell(design.radius_m, height, design.centre_m[1], rises, rises, np.zeros((1, 1), bool))
    band = float(blank.band_area_m2(np.array(0.0), np.array(rise_top)))
    half = design.mouth_width_m * top / band / 2
    require("mouth's half angle", half, "rad", 0.0, 1.5)
    front = min(max(2, round(grid.sectors * half / math.pi)), grid.sectors - 4)
    round_back = np.linspace(half - math.pi, math.pi - half, grid.sectors - front + 1)
    over_mouth = np.linspace(math.pi - half, math.pi + half, front + 1)
    is_mouth = np.zeros((grid.rings, grid.sectors), bool)
    is_mouth[:low, grid.sectors - front :] = True
    bearings = np.concatenate([round_back, over_mouth[1:]])
    return Shell(design.radius_m, height, design.centre_m[1], bearings, rises, is_mouth)


def shell_areas_m2(dome: Shell) -> Array:
    """Area of every patch (patches,)."""
    band = dome.band_area_m2(dome.rise_edges[:-1], dome.rise_edges[1:])
    return np.asarray((band[:, None] * np.diff(dome.bearing_edges)[None, :]).ravel())


def shell_points(dome: Shell, split: int = 2) -> Points:
    """Each patch as split x split points with their own normals; areas add up to the patch's own."""
    bearing, rise = (_middles(edges, split) for edges in (dome.bearing_edges, dome.rise_edges))
    band = dome.band_area_m2(*_spans(_fine(dome.rise_edges, split)))
    area = band[:, None] * np.diff(_fine(dome.bearing_edges, split))[None, :]
    at = _by_patch(dome, dome.at(*np.meshgrid(bearing, rise)), split)
    starts = np.arange(dome.patches) * split**2
    return Points(at, dome.inward(at), _by_patch(dome, area, split), starts)


def shell_triangles_m(dome: Shell, split: int = 2) -> Array:
    """Flat triangles (patches, 4 * split², 3, 3) inscribed in the shell: four round the middle of each part.

    Mirror-symmetric like the mesh itself.
    """
    corner = dome.at(*np.meshgrid(_fine(dome.bearing_edges, split), _fine(dome.rise_edges, split)))
    middle = dome.at(*np.meshgrid(_middles(dome.bearing_edges, split), _middles(dome.rise_edges, split)))
    ring = [corner[:-1, :-1], corner[:-1, 1:], corner[1:, 1:], corner[1:, :-1]]
    parts = np.stack([np.stack([middle, ring[i], ring[(i + 1) % 4]], -2) for i in range(4)], -3)
    return _by_patch(dome, parts, split).reshape(dome.patches, 4 * split**2, 3, 3)


def _by_patch(dome: Shell, values: Array, split: int) -> Array:
    """Values on the split mesh (rings * split, sectors * split, ...) gathered as (patches * split², ...)."""
    rings, sectors = dome.is_mouth.shape
    parts = values.reshape(rings, split, sectors, split, *values.shape[2:])
    return np.asarray(np.swapaxes(parts, 1, 2).reshape(dome.patches * split**2, *values.shape[2:]))


def _fine(edges: Array, split: int) -> Array:
    parts = np.arange(split) / split
    inner = (edges[:-1, None] + parts[None, :] * np.diff(edges)[:, None]).ravel()
    return np.append(inner, edges[-1])


def _middles(edges: Array, split: int) -> Array:
    fine = _fine(edges, split)
    return np.asarray((fine[:-1] + fine[1:]) / 2)


def _spans(edges: Array) -> tuple[Array, Array]:
    return edges[:-1], edges[1:]


def sill_points(design: OvenDesign, across: int = 24, deep: int = 4) -> tuple[Array, Array]:
    """The sliver of the disc beyond the sill (y < 0) as points (p, 3) and their areas (p,), m²."""
    width = design.mouth_width_m / across
    x = (np.arange(across) + 0.5 - across / 2) * width
    depth = np.sqrt(design.radius_m**2 - x**2) - design.centre_m[1]
    y = -depth[:, None] * (np.arange(deep) + 0.5) / deep
    points = np.stack([np.broadcast_to(x[:, None], y.shape), y, np.zeros_like(y)], -1)
    return points.reshape(-1, 3), np.repeat(depth * width / deep, deep)


def nearest_block(stone: Lattice) -> Index:
    """Block of every place of the flattened lattice (ny * nx,); off the hearth that of the nearest cell."""
    x, y = ((edges[:-1] + edges[1:]) / 2 for edges in (stone.x_edges_m, stone.y_edges_m))
    places = np.stack([grid.ravel() for grid in np.meshgrid(x, y)], 1)
    away2 = ((places[:, None, :] - stone.cells_m[None, :, :]) ** 2).sum(2)
    return np.asarray(stone.block[away2.argmin(1)])
