"""The oven in a few zones, for looking ahead: the spots in use, the stone between them, parts of the roof.

Every operator is the area mean of the full oven's own, so the zones exchange heat reciprocally and the
ledger closes as it does there. Given up are what differs within a zone and heat that creeps sideways.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.heat.columns import Links, links
from hearthtide.heat.kernel import AIR_J_kgK, march
from hearthtide.oven.advance import as_fire
from hearthtide.oven.flame import Fire
from hearthtide.oven.footprint import Shape, cover_fractions
from hearthtide.oven.gas import flows
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.stone import Index
from hearthtide.ranges import Array, require

# Zones of the stone that no spot takes, by distance from the flame, and of roof and walls, by how much of
# the flame they see.
BACKGROUND, ROOF = 3, 4
# Flows and wall properties are worked out anew this often in a look ahead.
REFRESH_S = 300.0


@dataclass(frozen=True, eq=False)
class Reduced:
    """Zones of the stone (z: the spots first, then the rest) and of the roof (r), the mouth as one.

    `of_cells` (z, n) and `of_roof` (r, d) are the shares with which cells and patches make up a zone's mean.
    `areas_m2` (z,), `roof_m2` (r,); `from_emission` (z + r + 1, z + r + 1); `source` (z + r + 1, strips).
    `mixing` (z, z) is what creeps sideways through the stone from zone to zone, per conductance, 1/m².
    """

    oven: Oven
    spots: int
    of_cells: Array
    of_roof: Array
    areas_m2: Array
    roof_m2: Array
    mouth_m2: Array
    from_emission: Array
    source: Array
    mixing: Array


@dataclass(frozen=True, eq=False)
class ReducedState:
    """Temperatures of the zones, °C: surfaces (z,) and (r,), both gases, the room, and the nodes behind."""

    floor_C: Array
    roof_C: Array
    lower_C: float
    upper_C: float
    ambient_C: float
    floor_nodes_C: Array
    roof_nodes_C: Array


@dataclass(frozen=True)
class Member:
    """One possible oven: factors on the fire's power, on the gas films and on what the walls conduct."""

    power: float = 1.0
    films: float = 1.0
    conductivity: float = 1.0


def reduce(oven: Oven, spots: Sequence[Shape]) -> Reduced:
    """Derive the zones from an oven and the outlines in use; a cell belongs to what covers most of it.

    Raises PhysicalRangeError for a spot that has no cell of its own.
    """
    zone_of = _floor_zones(oven, spots)
    of_cells = _means(zone_of, oven.cell_areas_m2)
    sees = oven.source[len(oven.cells_m) :][: oven.roof_patches].mean(1)
    rank = np.argsort(np.argsort(sees)) * ROOF // len(sees)
    of_roof = _means(rank, oven.dome_area_m2)
    b, roof = oven.stone.blocks, oven.roof_patches
    surfaces = b + oven.room.patches
    gather = np.zeros((len(of_cells) + ROOF + 1, surfaces))
    for zone, shares in enumerate(of_cells):
        gather[zone, :b] = np.bincount(oven.stone.block, shares, b)
    gather[len(of_cells) : -1, b : b + roof] = of_roof
    gather[-1, b + roof :] = oven.mouth_area_m2 / oven.mouth_area_m2.sum()
    areas = np.concatenate([_areas(zone_of, oven.cell_areas_m2), _areas(rank, oven.dome_area_m2)])
    every = np.append(areas, oven.mouth_area_m2.sum())
    spread = (gather * every[:, None]).T / oven.enclosure.area_m2[:, None]
    return Reduced(
        oven=oven,
        spots=len(spots),
        of_cells=of_cells,
        of_roof=of_roof,
        areas_m2=areas[: len(of_cells)],
        roof_m2=areas[len(of_cells) :],
        mouth_m2=every[-1:],
        from_emission=np.ascontiguousarray(gather @ oven.enclosure.from_emission @ spread),
        source=np.concatenate(
            [
                of_cells @ oven.source[: len(oven.cells_m)],
                gather[len(of_cells) :, b:] @ oven.source[len(oven.cells_m) :],
            ]
        ),
        mixing=_mixing(oven, zone_of, areas[: len(of_cells)]),
    )


def _mixing(oven: Oven, zone_of: Index, areas_m2: Array) -> Array:
    """Cell edges between zones over the zones' areas: as if each zone's mean stood in its outermost cells.

    A stair-stepped edge is longer than the line it follows, on average by 4 / pi.
    """
    stone = oven.stone
    places = np.full(stone.on.size, -1)
    places[stone.where] = zone_of
    row = stone.on.shape[1]
    edges = np.zeros((len(areas_m2), len(areas_m2)))
    for step, joined in ((1, stone.joined_x), (row, stone.joined_y)):
        one, other = places[:-step][joined > 0], places[step:][joined > 0]
        np.add.at(edges, (one, other), np.pi / 4)
        np.add.at(edges, (other, one), np.pi / 4)
    mixing = edges / areas_m2[:, None]
    np.fill_diagonal(mixing, 0.0)
    np.fill_diagonal(mixing, -mixing.sum(1))
    return mixing


def _floor_zones(oven: Oven, spots: Sequence[Shape]) -> Index:
    cover = cover_fractions(oven, spots, alone=True)
    zone = np.where(cover.max(0) > 0.5, cover.argmax(0), -1) if len(spots) else np.full(len(oven.cells_m), -1)
    for spot in range(len(spots)):
        require(f"cells of spot {spot}", float((zone == spot).sum()), "", 1.0, 1e9)
    rest = np.flatnonzero(zone < 0)
    away = oven.design.flame_distance_m(oven.cells_m[rest])
    zone[rest] = len(spots) + np.argsort(np.argsort(away)) * BACKGROUND // max(len(rest), 1)
    return np.asarray(zone, dtype=np.intp)


def _means(zone_of: Index, area_m2: Array) -> Array:
    shares = np.zeros((int(zone_of.max()) + 1, len(zone_of)))
    shares[zone_of, np.arange(len(zone_of))] = area_m2
    return np.asarray(shares / shares.sum(1, keepdims=True))


def _areas(zone_of: Index, area_m2: Array) -> Array:
    return np.asarray(np.bincount(zone_of, area_m2), dtype=float)


def reduced_state(reduced: Reduced, state: OvenState) -> ReducedState:
    """The zones' means of a full state."""
    where = reduced.oven.stone.where
    return ReducedState(
        floor_C=reduced.of_cells @ state.floor_C,
        roof_C=reduced.of_roof @ state.dome_C,
        lower_C=state.lower_C,
        upper_C=state.upper_C,
        ambient_C=state.ambient_C,
        floor_nodes_C=np.ascontiguousarray(state.floor_nodes_C[:, where] @ reduced.of_cells.T),
        roof_nodes_C=np.ascontiguousarray(state.dome_nodes_C @ reduced.of_roof.T),
    )


def on_spots(
    reduced: Reduced, spots: Sequence[int], conductance_W_m2K: Array, base_C: Array, top_C: Array
) -> Load:
    """Food that fills the spots of these numbers."""
    cover = np.zeros((len(spots), len(reduced.areas_m2)))
    cover[np.arange(len(spots)), list(spots)] = 1.0
    return Load(cover, conductance_W_m2K, base_C, top_C)


def look_ahead(
    reduced: Reduced,
    state: ReducedState,
    fire: Fire | float,
    span_s: float,
    load: Load = NO_LOAD,
    *,
    dt_s: float = 10.0,
    member: Member = Member(),
) -> ReducedState:
    """The zones `span_s` later under one fire and one load; cost and error are in docs/performance.md.

    Raises PhysicalRangeError for a span outside 1 s to 24 h.
    """
    require("span_s", span_s, "s", 1.0, 86400.0)
    burning = as_fire(reduced.oven, fire)
    if member.power != 1.0:
        burning = Fire(
            *(member.power * heat for heat in (burning.flame_W, burning.embers_W, burning.under_W))
        )
    left = span_s
    while left > 1e-9:
        span = min(left, REFRESH_S)
        steps = max(1, round(span / dt_s))
        state = _march(reduced, state, burning, load, steps, span / steps, member)
        left -= span
    return state


def _march(
    reduced: Reduced, state: ReducedState, fire: Fire, load: Load, steps: int, dt_s: float, member: Member
) -> ReducedState:
    oven, own = reduced.oven, reduced.oven.design.coefficients
    now = flows(oven, state, fire)
    areas, roof_m2 = reduced.areas_m2, reduced.roof_m2
    floor = links(oven.floor_wall, state.floor_nodes_C @ (areas / areas.sum()), own.outer_film_W_m2K)
    roof = links(oven.dome_wall, state.roof_nodes_C @ (roof_m2 / roof_m2.sum()), own.outer_film_W_m2K)
    upper = reduced.of_roof @ now.upper
    flame = reduced.source @ oven.sheet.strip_W(fire)
    z, r = len(areas), len(roof_m2)
    zones = np.arange(z)
    none = np.zeros(1)
    after = replace(
        state,
        floor_C=state.floor_C.copy(),
        roof_C=state.roof_C.copy(),
        floor_nodes_C=state.floor_nodes_C.copy(),
        roof_nodes_C=state.roof_nodes_C.copy(),
    )
    gas = np.array([state.lower_C, state.upper_C])
    march(
        steps,
        dt_s,
        state.ambient_C,
        (zones, zones, np.ones(z), areas, own.emissivity_floor, own.lower_film_W_m2K * member.films),
        (floor.conductivity_W_mK * oven.floor_wall.step_m, none, none, none, 1, reduced.mixing),
        _arrays(floor, state.ambient_C, member),
        _arrays(roof, state.ambient_C, member),
        (
            roof_m2,
            own.emissivity_dome,
            own.upper_film_W_m2K * member.films * upper,
            own.lower_film_W_m2K * member.films * (1 - upper),
        ),
        (reduced.mouth_m2, -1.0),
        reduced.from_emission,
        (flame[:z], flame[z : z + r], flame[z + r :]),
        (
            now.convective_W,
            now.inflow_kg_s * AIR_J_kgK,
            now.spill_kg_s * AIR_J_kgK,
            now.rise_kg_s * AIR_J_kgK,
            now.burnt_W_K,
            now.emissivity,
        ),
        load.arrays(areas),
        after.floor_nodes_C,
        after.floor_C,
        after.roof_nodes_C,
        after.roof_C,
        np.full(1, state.ambient_C),
        gas,
    )
    return replace(after, lower_C=float(gas[0]), upper_C=float(gas[1]))


def _arrays(at: Links, behind_C: float, member: Member) -> tuple[Array, Array, float, float, float]:
    k = member.conductivity
    return at.capacity_J_m2K, at.link_W_m2K * k, at.surface_W_m2K * k, at.back_W_m2K, behind_C
