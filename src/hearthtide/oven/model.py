"""The oven ready to run: everything that does not change in time, and its state, which does."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from hearthtide.heat.columns import Factors, Slab, Wall, factor, wall
from hearthtide.heat.combustion import FUELS
from hearthtide.heat.materials import material
from hearthtide.heat.radiosity import Enclosure, enclosure
from hearthtide.heat.ranges import Array, require
from hearthtide.heat.solid_angles import cell_solid_angles, triangle_solid_angles
from hearthtide.heat.views import balanced, exchange_areas_m2
from hearthtide.oven.design import Layer, OvenDesign
from hearthtide.oven.flame import FlameSheet, flame_sheet
from hearthtide.oven.geometry import (
    Index,
    Lattice,
    Shell,
    lattice,
    nearest_block,
    shell,
    shell_areas_m2,
    shell_points,
    shell_triangles_m,
    sill_points,
)
from hearthtide.oven.grid import NOMINAL, Grid
from hearthtide.oven.rays import views_up

# Outer shell and underside to still air, radiation and convection together (common practice, no source;
# a vertical plate at 232 °C loses 7 W/m²K by convection alone, Incropera 9.2).
OUTER_FILM_W_m2K = 10.0
# The plume sweeps the dome above it: film coefficient there up to three times the rest, fading over
# this distance (picked by hand to give plausible ovens, no source).
OVER_FLAME, OVER_FLAME_REACH_M = 3.0, 0.15
# Pairs of rays from each cell of the stone.
STONE_PAIRS = 144


@dataclass(frozen=True, eq=False)
class OvenState:
    """Temperatures at one moment: surfaces of the stone (n,) and dome (d,), gas, and nodes behind them.

    `floor_nodes_C` (nodes, ny * nx) covers the flattened lattice; places off the hearth stay at ambient.
    """

    floor_C: Array
    dome_C: Array
    gas_C: float
    ambient_C: float
    floor_nodes_C: Array
    dome_nodes_C: Array


@dataclass(frozen=True, eq=False)
class Oven:
    """Geometry and operators of one design on one grid.

    Radiosity works on surfaces in this order: stone blocks, dome patches, mouth patches, the sill's sliver.
    `source` (n + d + m + 1, strips): irradiance on cells, dome and mouth per watt radiated by each strip,
    reflections included. `spread_W_m2K` (nodes,) is the stone's conductance from cell to cell per cell area.
    `surface_of_patch` maps the shell's mesh to that order,
    `block_at` the flattened lattice to the block there (the nearest one off the hearth).
    """

    design: OvenDesign
    grid: Grid
    stone: Lattice
    dome: Shell
    flame: FlameSheet
    enclosure: Enclosure
    source: Array
    dome_area_m2: Array
    mouth_area_m2: Array
    dome_film_W_m2K: Array
    floor_wall: Wall
    dome_wall: Wall
    spread_W_m2K: Array
    surface_of_patch: Index
    block_at: Index
    _factors: dict[float, tuple[Factors, Factors]] = field(default_factory=dict, repr=False)

    @property
    def cells_m(self) -> Array:
        return self.stone.cells_m

    @property
    def cell_area_m2(self) -> float:
        return self.stone.cell_area_m2

    def cold(self, ambient_C: float) -> OvenState:
        """The unfired oven, everything at `ambient_C` (-30 to 60 °C)."""
        require("ambient_C", ambient_C, "°C", -30.0, 60.0)
        floor_nodes = (len(self.floor_wall.step_m), self.stone.on.size)
        dome_nodes = (len(self.dome_wall.step_m), len(self.dome_area_m2))
        return OvenState(
            floor_C=np.full(len(self.cells_m), float(ambient_C)),
            dome_C=np.full(dome_nodes[1], float(ambient_C)),
            gas_C=float(ambient_C),
            ambient_C=float(ambient_C),
            floor_nodes_C=np.full(floor_nodes, float(ambient_C)),
            dome_nodes_C=np.full(dome_nodes, float(ambient_C)),
        )

    def dome_mean_C(self, state: OvenState) -> float:
        """Mean surface temperature of the dome by area."""
        return float(self.dome_area_m2 @ state.dome_C / self.dome_area_m2.sum())

    def factors(self, dt_s: float) -> tuple[Factors, Factors]:
        """Floor's and dome's inverse for a step length; the last few are kept."""
        if dt_s not in self._factors:
            if len(self._factors) >= 32:
                self._factors.clear()
            self._factors[dt_s] = (
                factor(self.floor_wall, dt_s, OUTER_FILM_W_m2K),
                factor(self.dome_wall, dt_s, OUTER_FILM_W_m2K),
            )
        return self._factors[dt_s]


def build_oven(design: OvenDesign, grid: Grid = NOMINAL) -> Oven:
    """Work out everything that does not change in time; under a second on the nominal grid.

    Raises PhysicalRangeError for a design the model is not made for, KeyError for an unknown material.
    """
    _check(design)
    stone, dome = lattice(design, grid), shell(design, grid)
    flame = flame_sheet(design, FUELS[design.burner.fuel])
    areas, mouth = shell_areas_m2(dome), dome.is_mouth.ravel()
    order = np.concatenate([np.flatnonzero(~mouth), np.flatnonzero(mouth)])
    above = np.where(mouth[order], 1.0, design.emissivity_dome)
    emissivity = np.concatenate([np.full(stone.blocks, design.emissivity_floor), above, [0.0]])
    sill = sill_points(design)
    floor_wall = _wall(design.floor, grid)
    room = enclosure(*_exchange(stone, dome, sill, order), emissivity)
    return Oven(
        design=design,
        grid=grid,
        stone=stone,
        dome=dome,
        flame=flame,
        enclosure=room,
        source=_source(stone, room, flame_shares(stone, dome, sill, flame, order)),
        dome_area_m2=areas[~mouth],
        mouth_area_m2=areas[mouth],
        dome_film_W_m2K=_dome_film(design, dome, flame)[~mouth],
        floor_wall=floor_wall,
        dome_wall=_wall(design.dome, grid),
        spread_W_m2K=floor_wall.conductivity_W_mK * floor_wall.step_m / stone.cell_area_m2,
        surface_of_patch=stone.blocks + np.argsort(order),
        block_at=nearest_block(stone),
    )


def _check(design: OvenDesign) -> None:
    require("diameter_m", design.diameter_m, "m", 0.4, 3.0)
    require("dome_height_m", design.dome_height_m, "m", 0.15, design.diameter_m)
    require("mouth_width_m", design.mouth_width_m, "m", 0.1, 0.85 * design.diameter_m)
    require("burner.standoff_m", design.burner.standoff_m, "m", 0.0, 0.8 * design.radius_m)
    around = 2 * math.pi * (design.radius_m - design.burner.standoff_m)
    require("burner.length_m", design.burner.length_m, "m", 0.03, around)
    require("burner.breadth_m", design.burner.breadth_m, "m", 0.005, 0.5)
    require("excess_air", design.excess_air, "-", 0.0, 10.0)
    require("mouth_flow_kg_s", design.mouth_flow_kg_s, "kg/s", 0.0, 0.2)
    require("floor_convection_W_m2K", design.floor_convection_W_m2K, "W/m²K", 0.0, 200.0)
    require("dome_convection_W_m2K", design.dome_convection_W_m2K, "W/m²K", 0.0, 200.0)
    require("number of levels", float(len(design.levels)), "", 1.0, 20.0)
    for level in design.levels:
        require(f"levels.{level.name}.power_W", level.power_W, "W", 0.0, 200_000.0)


def _wall(layers: tuple[Layer, ...], grid: Grid) -> Wall:
    slabs = []
    for layer in layers:
        stuff = material(layer.material)
        capacity = stuff.density_kg_m3 * stuff.heat_capacity_J_kgK
        slabs.append(Slab(layer.thickness_m, stuff.conductivity_W_mK, capacity))
    return wall(tuple(slabs), grid.hot_nodes, grid.further_nodes, grid.growth)


def _exchange(stone: Lattice, dome: Shell, sill: tuple[Array, Array], order: Index) -> tuple[Array, Array]:
    """Balanced exchange areas and areas of all surfaces; the flat floor sees nothing of itself."""
    above, n, d = shell_points(dome), stone.blocks, dome.patches
    sill_at, sill_m2 = sill
    blocks_m2 = stone.cells_of_block * stone.cell_area_m2
    area = np.concatenate([blocks_m2, above.patch_area_m2[order], [sill_m2.sum()]])
    cells = np.column_stack([stone.cells_m, np.zeros(len(stone.cells_m))])
    floor = np.zeros((n, d))
    np.add.at(floor, stone.block, stone.cell_area_m2 * views_up(dome, cells, STONE_PAIRS))
    exchange = np.zeros((n + d + 1, n + d + 1))
    exchange[:n, n:-1] = floor[:, order]
    exchange[-1, n:-1] = (sill_m2 @ views_up(dome, sill_at, STONE_PAIRS))[order]
    exchange += exchange.T
    exchange[n:-1, n:-1] = exchange_areas_m2(above, above)[np.ix_(order, order)]
    return balanced(exchange, area), area


def flame_shares(
    stone: Lattice, dome: Shell, sill: tuple[Array, Array], flame: FlameSheet, order: Index
) -> Array:
    """Share of each strip's light on each cell, on each shell patch in `order`, and on the sill's sliver.

    (n + patches + 1, strips). Raw solid angles over 4 pi: a column's sum differs from 1 by what slips
    through between the stair-stepped rim of the cells and the faceted shell.
    """
    triangles = shell_triangles_m(dome).reshape(-1, 3, 3)
    shares = np.empty((len(stone.cells_m) + dome.patches + 1, flame.strips))
    for strip, points in enumerate(flame.points_m):
        cells = cell_solid_angles(stone.x_edges_m, stone.y_edges_m, points)[:, stone.on]
        above = np.abs(triangle_solid_angles(triangles, points))
        by_patch = above.reshape(len(points), dome.patches, -1).sum(2)[:, order]
        away = np.linalg.norm(points[:, None, :] - sill[0][None, :, :], axis=2)
        beyond = (sill[1] * points[:, 2, None] / away**3).sum(1, keepdims=True)
        shares[:, strip] = np.concatenate([cells, by_patch, beyond], 1).mean(0) / (4 * np.pi)
    return shares


def _source(stone: Lattice, room: Enclosure, shares: Array) -> Array:
    """Irradiance per watt of each strip with reflections: direct on fine cells, reflected on blocks."""
    n = len(stone.cells_m)
    shares = shares / shares.sum(0)
    cells, above = shares[:n] / stone.cell_area_m2, shares[n:] / room.area_m2[stone.blocks :, None]
    summed = np.zeros((stone.blocks, shares.shape[1]))
    np.add.at(summed, stone.block, cells)
    direct = np.concatenate([summed / stone.cells_of_block[:, None], above])
    total = room.from_source @ direct
    reflected = (total - direct)[: stone.blocks]
    return np.concatenate([cells + reflected[stone.block], total[stone.blocks :]])


def _dome_film(design: OvenDesign, dome: Shell, flame: FlameSheet) -> Array:
    highest = flame.strip_W(max(level.power_W for level in design.levels)) > 0
    points = flame.points_m[highest].reshape(-1, 3)
    middle = shell_points(dome, 1).at_m
    if not len(points):
        return np.full(len(middle), design.dome_convection_W_m2K)
    away = np.linalg.norm(middle[:, None, :] - points[None, :, :], axis=2).min(1)
    above = np.exp(-((np.maximum(away - 0.04, 0.0) / OVER_FLAME_REACH_M) ** 2))
    return np.asarray(design.dome_convection_W_m2K * (1 + (OVER_FLAME - 1) * above))
