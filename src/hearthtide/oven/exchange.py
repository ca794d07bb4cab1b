"""Radiation that falls on every surface at one moment: from each other, from the fire, from the hot gas."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.radiation import blackbody_W_m2
from hearthtide.oven.flame import Fire
from hearthtide.oven.gas import flows
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.ranges import Array


@dataclass(frozen=True, eq=False)
class Irradiation:
    """W/m² on cells (n,), roof (d,) and mouth patches (m,), and on all surfaces in radiosity's order.

    `emission` is what all surfaces emit as if black; `gas` what the gas sends a surface that faces all of it.
    """

    cells: Array
    dome: Array
    mouth: Array
    surfaces: Array
    emission: Array
    gas: float


def emission_W_m2(oven: Oven, state: OvenState, load: Load) -> Array:
    """Black emission of all surfaces in radiosity's order; a covered share of a cell shines as its item."""
    cells = blackbody_W_m2(state.floor_C)
    if load.items:
        cells = (1 - load.covered) * cells + blackbody_W_m2(load.top_C) @ load.cover
    beyond = blackbody_W_m2(state.mouth_C)
    return np.concatenate([by_block(oven, cells), blackbody_W_m2(state.dome_C), beyond])


def by_block(oven: Oven, cells: Array) -> Array:
    """Means of cells (n,) over their blocks."""
    stone = oven.stone
    return np.asarray(np.bincount(stone.block, cells, stone.blocks) / stone.cells_of_block)


def irradiation(oven: Oven, state: OvenState, fire: Fire | float, load: Load = NO_LOAD) -> Irradiation:
    """Radiation that falls on every surface now, from all others, from the fire and from the gas."""
    burning = fire if isinstance(fire, Fire) else oven.fire(fire)
    emission = emission_W_m2(oven, state, load)
    exchanged = oven.enclosure.from_emission @ emission
    flame = oven.burning(burning).flame_W_m2
    b, n, d = oven.stone.blocks, len(oven.cells_m), oven.roof_patches
    gas = flows(oven, state, burning).emissivity * float(blackbody_W_m2(state.upper_C))
    above = exchanged[b:] + flame[n:] + gas
    cells = exchanged[:b][oven.stone.block] + flame[:n] + gas
    surfaces = np.concatenate([by_block(oven, cells), above])
    return Irradiation(cells, above[:d], above[d:], surfaces, emission, gas)
