"""What reaches the surfaces at one moment: radiation from each other and the flame, and the gas between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.combustion import carried_W_K
from hearthtide.heat.radiation import blackbody_W_m2
from hearthtide.heat.ranges import Array
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState


@dataclass(frozen=True, eq=False)
class Irradiation:
    """W/m² on cells (n,), on dome (d,) and mouth patches (m,), and on all surfaces in radiosity's order."""

    cells: Array
    dome: Array
    mouth: Array
    surfaces: Array


def emission_W_m2(oven: Oven, state: OvenState, load: Load) -> Array:
    """Black emission of all surfaces in radiosity's order; a covered share of a cell shines as its item."""
    cells = blackbody_W_m2(state.floor_C)
    if load.items:
        cells = (1 - load.covered) * cells + blackbody_W_m2(load.top_C) @ load.cover
    blocks = _by_block(oven, cells)
    outside = np.full(len(oven.mouth_area_m2), blackbody_W_m2(state.ambient_C))
    return np.concatenate([blocks, blackbody_W_m2(state.dome_C), outside, [0.0]])


def _by_block(oven: Oven, cells: Array) -> Array:
    stone = oven.stone
    return np.asarray(np.bincount(stone.block, cells, stone.blocks) / stone.cells_of_block)


def irradiation(oven: Oven, state: OvenState, power_W: float, load: Load = NO_LOAD) -> Irradiation:
    """Radiation that falls on every surface now, from all others and from the flame."""
    exchanged = oven.enclosure.from_emission @ emission_W_m2(oven, state, load)
    flame = oven.source @ oven.flame.strip_W(power_W)
    b, n, d = oven.stone.blocks, len(oven.cells_m), len(oven.dome_area_m2)
    above = exchanged[b:] + flame[n:]
    cells = exchanged[:b][oven.stone.block] + flame[:n]
    surfaces = np.concatenate([_by_block(oven, cells), above])
    return Irradiation(cells, above[:d], above[d:-1], surfaces)


def gas_C(oven: Oven, state: OvenState, power_W: float, load: Load = NO_LOAD) -> tuple[float, float]:
    """Temperature of the well-stirred gas and the heat it carries out per kelvin, W/K (steady balance)."""
    design = oven.design
    carried = carried_W_K(oven.flame.fuel, power_W, design.excess_air, design.mouth_flow_kg_s)
    floor = design.floor_convection_W_m2K * oven.cell_area_m2
    dome = oven.dome_film_W_m2K * oven.dome_area_m2
    touched = floor * float(state.floor_C.sum())
    if load.items:
        touched += floor * float(load.top_C @ load.cover.sum(1) - load.covered @ state.floor_C)
    touched += float(dome @ state.dome_C)
    films = floor * len(state.floor_C) + float(dome.sum())
    heat = (1 - oven.flame.radiant_fraction(power_W)) * power_W
    if carried + films == 0:
        return state.ambient_C, 0.0
    return (heat + carried * state.ambient_C + touched) / (carried + films), carried
