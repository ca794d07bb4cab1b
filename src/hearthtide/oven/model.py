"""The oven ready to run: everything that does not change in time, and its state, which does."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hearthtide.heat.columns import Slab, Wall, wall
from hearthtide.heat.combustion import Fuel, fuel
from hearthtide.heat.element_views import element_views, solid_angles
from hearthtide.heat.materials import material, tabled
from hearthtide.heat.radiosity import Enclosure, enclosure
from hearthtide.heat.solid_angles import cell_solid_angles
from hearthtide.heat.views import balanced
from hearthtide.oven.design import Layer, OvenDesign
from hearthtide.oven.flame import Fire, FireSheet, fire_sheet, steady_fire
from hearthtide.oven.grid import NOMINAL, Grid
from hearthtide.oven.hearth import RoundHearth
from hearthtide.oven.solid import Solid, solid
from hearthtide.oven.stone import Index, Lattice, lattice
from hearthtide.ranges import Array, require

# Upper gas in an oven just lit, above the room: without some there is no draught to begin with.
FIRST_DRAUGHT_K = 1.0


@dataclass(frozen=True, eq=False)
class OvenState:
    """Temperatures at one moment, °C: surfaces of the stone (n,), of roof and walls (d,), of what fills the
    mouth (m,: the room, or a shut door's inner face), the gas below and above the interface, the room, and
    the nodes behind the surfaces.

    `floor_nodes_C` (nodes, ny * nx) covers the flattened lattice; places off the hearth stay at ambient.
    """

    floor_C: Array
    dome_C: Array
    mouth_C: Array
    lower_C: float
    upper_C: float
    ambient_C: float
    floor_nodes_C: Array
    dome_nodes_C: Array

    @property
    def gas_C(self) -> float:
        """The gas that food on the stone stands in."""
        return self.lower_C


@dataclass(frozen=True, eq=False)
class Burning:
    """One fire in one oven: irradiance with reflections on cells, roof and mouth (n + d + m,), W/m²; the
    free length of its longest flame; what it releases on the hearth, and of that what does not shine, W.
    """

    flame_W_m2: Array
    length_m: float
    hearth_W: float
    convective_W: float


@dataclass(frozen=True, eq=False)
class Oven:
    """Geometry and operators of one design on one grid.

    Radiosity works on surfaces in this order: stone blocks, patches of roof and walls, patches of the mouth;
    `order` (patches,) are the solid's patches in that order. `source` (n + d + m, strips): irradiance on
    cells, roof and mouth per watt radiated by each strip, reflections included.
    """

    design: OvenDesign
    grid: Grid
    fuel: Fuel
    stone: Lattice
    room: Solid
    sheet: FireSheet
    enclosure: Enclosure
    source: Array
    order: Index
    floor_wall: Wall
    dome_wall: Wall
    _burning: dict[Fire, Burning] = field(default_factory=dict, repr=False)

    @property
    def cells_m(self) -> Array:
        return self.stone.cells_m

    @property
    def cell_area_m2(self) -> float:
        return self.stone.cell_area_m2

    @cached_property
    def cell_areas_m2(self) -> Array:
        return np.full(len(self.cells_m), self.cell_area_m2)

    @cached_property
    def from_flame_m(self) -> Array:
        """From each cell (n,) to the nearest flame's line or rim; infinite without one."""
        return self.design.flame_distance_m(self.cells_m)

    @cached_property
    def roof_patches(self) -> int:
        return int((~self.room.is_mouth).sum())

    @cached_property
    def dome_area_m2(self) -> Array:
        return self.room.area_m2[self.order[: self.roof_patches]]

    @cached_property
    def mouth_area_m2(self) -> Array:
        return self.room.area_m2[self.order[self.roof_patches :]]

    @cached_property
    def roof_span_m(self) -> tuple[Array, Array]:
        """Heights between which each patch of roof and walls lies (d,)."""
        roof = self.order[: self.roof_patches]
        return self.room.low_m[roof], self.room.high_m[roof]

    @cached_property
    def cell_shares(self) -> Array:
        """Weights (ny * nx,) that take the mean over the hearth's cells of a row of the flattened lattice."""
        return self.stone.on.ravel() / len(self.cells_m)

    def cold(self, ambient_C: float) -> OvenState:
        """The unfired oven, everything at `ambient_C` (-30 to 60 °C)."""
        require("ambient_C", ambient_C, "°C", -30.0, 60.0)
        roof = self.roof_patches
        return OvenState(
            floor_C=np.full(len(self.cells_m), float(ambient_C)),
            dome_C=np.full(roof, float(ambient_C)),
            mouth_C=np.full(self.room.patches - roof, float(ambient_C)),
            lower_C=float(ambient_C),
            upper_C=float(ambient_C) + FIRST_DRAUGHT_K,
            ambient_C=float(ambient_C),
            floor_nodes_C=np.full((len(self.floor_wall.step_m), self.stone.on.size), float(ambient_C)),
            dome_nodes_C=np.full((len(self.dome_wall.step_m), roof), float(ambient_C)),
        )

    def dome_mean_C(self, state: OvenState) -> float:
        """Mean surface temperature of roof and walls by area."""
        return float(self.dome_area_m2 @ state.dome_C / self.dome_area_m2.sum())

    def fire(self, power_W: float) -> Fire:
        """How a set power is released when it has stood for a while."""
        return steady_fire(self.design, power_W)

    def burning(self, fire: Fire) -> Burning:
        """What a fire does here; the last few are kept."""
        if fire not in self._burning:
            if len(self._burning) >= 64:
                self._burning.clear()
            strips = self.sheet.strip_W(fire)
            hearth = fire.flame_W + fire.embers_W
            self._burning[fire] = Burning(
                self.source @ strips, self.sheet.free_length_m(fire), hearth, hearth - float(strips.sum())
            )
        return self._burning[fire]


def build_oven(design: OvenDesign, grid: Grid = NOMINAL) -> Oven:
    """Work out everything that does not change in time; under a second on the nominal grid.

    Raises PhysicalRangeError for a design the model is not made for, KeyError for an unknown material.
    """
    _check(design)
    stone, room = lattice(design.hearth, grid), solid(design, grid)
    sheet = fire_sheet(design, room)
    order = np.concatenate([np.flatnonzero(~room.is_mouth), np.flatnonzero(room.is_mouth)])
    own = design.coefficients
    above = np.where(room.is_mouth[order], 1.0, own.emissivity_dome)
    emissivity = np.concatenate([np.full(stone.blocks, own.emissivity_floor), above])
    closed = enclosure(*_exchange(stone, room, order), emissivity)
    return Oven(
        design=design,
        grid=grid,
        fuel=fuel(design.fuel, design.moisture),
        stone=stone,
        room=room,
        sheet=sheet,
        enclosure=closed,
        source=_source(stone, closed, flame_shares(stone, room, sheet, order)),
        order=order,
        floor_wall=_wall(design.floor, grid),
        dome_wall=_wall(design.walls, grid),
    )


def _check(design: OvenDesign) -> None:
    hearth, own = design.hearth, design.coefficients
    require("hearth width", hearth.width_m, "m", 0.3, 5.0)
    if isinstance(hearth, RoundHearth):
        require("sill_m", hearth.sill_m, "m", 0.0, 0.95 * hearth.width_m)
    require("hearth depth", hearth.depth_m, "m", 0.3, 5.0)
    require("mouth_width_m", design.mouth.width_m, "m", 0.1, 0.95 * hearth.width_m)
    require("mouth gap", design.mouth.gap, "-", 0.0, 1.0)
    for burner in design.fires:
        path = design.flame_path_m(burner)
        rim = 0.0 if burner.kind == "ribbon" else burner.breadth_m / 2
        require("burner's distance from wall and sill", hearth.room_m(path) - rim, "m", 0.0, 5.0)
        require("burner.breadth_m", burner.breadth_m, "m", 0.005, 1.0)
        round_m = np.linalg.norm(np.diff(hearth.outline_m(), axis=0, append=hearth.outline_m()[:1]), axis=1)
        require("burner.length_m", burner.length_m, "m", 0.0, float(round_m.sum()))
    require("number of burners", float(len(design.burners)), "", 1.0, 8.0)
    require("burner.share", np.array([b.share for b in design.burners]), "-", 0.0, 1.0)
    require("sum of the burners' shares", sum(b.share for b in design.burners), "-", 0.999, 1.001)
    require("moisture", design.moisture, "-", 0.0, 0.5)
    for name in ("lower_film_W_m2K", "upper_film_W_m2K", "outer_film_W_m2K"):
        require(name, float(getattr(own, name)), "W/m²K", 0.1, 200.0)
    require("entrainment", own.entrainment, "-", 0.1, 5.0)
    require("discharge", own.discharge, "-", 0.3, 1.0)
    require("radiant", own.radiant, "-", 0.0, 5.0)
    require("flue.diameter_m", design.flue.diameter_m, "m", 0.01, 1.0)
    require("flue.height_m", design.flue.height_m, "m", 0.0, 50.0)
    require("number of levels", float(len(design.levels)), "", 1.0, 20.0)
    for level in design.levels:
        require(f"levels.{level.name}.power_W", level.power_W, "W", 0.0, 500_000.0)


def _wall(layers: tuple[Layer, ...], grid: Grid) -> Wall:
    slabs = tuple(Slab(layer.thickness_m, *tabled(material(layer.material))) for layer in layers)
    return wall(slabs, grid.hot_nodes, grid.further_nodes, grid.growth)


def _exchange(stone: Lattice, room: Solid, order: Index) -> tuple[Array, Array]:
    """Balanced exchange areas and areas of all surfaces; the flat floor sees nothing of itself."""
    n, p = stone.blocks, room.patches
    corners, area = room.corners_m[order], room.area_m2[order]
    exchange = np.zeros((n + p, n + p))
    seen = element_views(_on_floor(stone, room), np.tile([0.0, 0.0, 1.0], (len(stone.cells_m), 1)), corners)
    floor = np.zeros((n, p))
    np.add.at(floor, stone.block, stone.cell_area_m2 * seen)
    exchange[:n, n:] = floor
    exchange[n:, :n] = floor.T
    among = sum(
        element_views(at, room.normal[order], corners) * share
        for at, share in _parts(corners, room.normal[order])
    )
    exchange[n:, n:] = area[:, None] * among
    both = np.concatenate([stone.cells_of_block * stone.cell_area_m2, area])
    return balanced(exchange, both), both


def _on_floor(stone: Lattice, room: Solid) -> Array:
    """A place a hair over each cell; cells of the rim that stick out under the wall look from inside it."""
    middle = room.floor_m.mean(0)
    at = np.column_stack([stone.cells_m, np.full(len(stone.cells_m), 1e-9)])
    for _ in range(8):
        out = room.depth_m(at + np.array([0.0, 0.0, 1e-3])) < 1e-4
        at[out, :2] += 0.02 * (middle - at[out, :2])
    return at


def _parts(corners: Array, normal: Array) -> list[tuple[Array, float]]:
    """Four places within every patch, a hair inside the oven, and each one's share of the patch."""
    found = []
    for u in (0.25, 0.75):
        for v in (0.25, 0.75):
            weights = np.array([(1 - u) * (1 - v), u * (1 - v), u * v, (1 - u) * v])
            found.append((np.einsum("c,pck->pk", weights, corners) + 1e-9 * normal, 0.25))
    return found


def flame_shares(stone: Lattice, room: Solid, sheet: FireSheet, order: Index) -> Array:
    """Share of each strip's light on each cell and on each patch in `order`, (n + patches, strips).

    Raw solid angles over 4 pi: a column's sum differs from 1 by what slips through between the stair-stepped
    rim of the cells and the walls.
    """
    shares = np.empty((len(stone.cells_m) + room.patches, sheet.strips))
    for strip, points in enumerate(sheet.points):
        cells = cell_solid_angles(stone.x_edges_m, stone.y_edges_m, points)[:, stone.on]
        above = solid_angles(points, room.corners_m[order])
        shares[:, strip] = np.concatenate([cells, above], 1).mean(0) / (4 * np.pi)
    return shares


def _source(stone: Lattice, closed: Enclosure, shares: Array) -> Array:
    """Irradiance per watt of each strip with reflections: direct on fine cells, reflected on blocks."""
    if not shares.shape[1]:
        return np.zeros((len(stone.cells_m) + len(closed.area_m2) - stone.blocks, 0))
    n = len(stone.cells_m)
    shares = shares / shares.sum(0)
    cells, above = shares[:n] / stone.cell_area_m2, shares[n:] / closed.area_m2[stone.blocks :, None]
    summed = np.zeros((stone.blocks, shares.shape[1]))
    np.add.at(summed, stone.block, cells)
    direct = np.concatenate([summed / stone.cells_of_block[:, None], above])
    total = closed.from_source @ direct
    reflected = (total - direct)[: stone.blocks]
    return np.concatenate([cells + reflected[stone.block], total[stone.blocks :]])
