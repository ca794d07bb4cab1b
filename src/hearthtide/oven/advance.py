"""Steps in time: flows and wall properties as they stand, then compiled steps with an exact ledger."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.columns import Links, links
from hearthtide.heat.kernel import (
    BASES,
    FLOOR,
    GAS,
    LAG,
    MOUTH,
    SHELL,
    TOPS,
    WALLS,
    AIR_J_kgK,
    march,
)
from hearthtide.heat.materials import material
from hearthtide.oven.flame import Fire
from hearthtide.oven.gas import Flows, flows, settled_gas, with_gas
from hearthtide.oven.ledger import Ledger, closed
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.ranges import Array, require, require_shape

# Share of an underfloor burner's heat that its flue takes (own choice; deck ovens lose a third to a half).
UNDER_FLUE = 0.5


@dataclass(frozen=True, eq=False)
class Step:
    """The oven after the steps, and mean net heat into each item's base and top (items,), W."""

    state: OvenState
    contact_W: Array
    top_W: Array
    ledger: Ledger


@dataclass(frozen=True, eq=False)
class Standing:
    """Air flows, and the properties of floor and dome, as they stood under one fire."""

    fire: Fire
    flows: Flows
    floor: Links
    dome: Links


def standing(oven: Oven, state: OvenState, fire: Fire | float, shut: bool = False) -> Standing:
    """Flows and properties for the state; they serve for under a minute of one fire."""
    own, area, burning = oven.design.coefficients, oven.dome_area_m2, as_fire(oven, fire)
    floor = links(oven.floor_wall, state.floor_nodes_C @ oven.cell_shares, own.outer_film_W_m2K)
    dome = links(oven.dome_wall, state.dome_nodes_C @ (area / area.sum()), own.outer_film_W_m2K)
    return Standing(burning, flows(oven, state, burning, shut), floor, dome)


def as_fire(oven: Oven, fire: Fire | float) -> Fire:
    """A power in W stands for the oven's steady fire of that power."""
    return fire if isinstance(fire, Fire) else oven.fire(fire)


def advance(
    oven: Oven,
    state: OvenState,
    fire: Fire | float,
    dt_s: float,
    load: Load = NO_LOAD,
    *,
    shut: bool = False,
    steps: int = 1,
    held: Standing | None = None,
) -> Step:
    """`steps` steps of `dt_s` with a fire (or its power, W), what lies on the stone, the door on if `shut`.

    First order in dt_s: take 1 s with items on the stone, 2 s to heat up, 5 to 10 s to look ahead. Air
    flows and the walls' properties are those of the beginning, or those `held` from at most a minute before
    under the same fire: keep dt_s * steps under a minute.
    Raises PhysicalRangeError for a power outside 0 to 500 000 W, dt_s outside 0.001 to 3600, another oven's
    load, or a shut door where there is none; ValueError for what is held of another fire.
    """
    require("dt_s", dt_s, "s", 1e-3, 3600.0)
    require("steps", float(steps), "", 1.0, 1e6)
    burning = as_fire(oven, fire)
    require("power_W", burning.power_W, "W", 0.0, 500_000.0)
    if load.items:
        require_shape("cover", load.cover, (load.items, len(oven.cells_m)))
    if held is not None:
        if held.fire != burning:
            raise ValueError(f"held of {held.fire}: expected {burning}")
        return _march(oven, state, dt_s, load, shut, steps, held)
    if abs(state.upper_C - state.ambient_C) < 5.0 and burning.flame_W > 0:
        _, lower, upper = settled_gas(oven, state, burning, shut)
        state = with_gas(state, lower, upper)
    return _march(oven, state, dt_s, load, shut, steps, standing(oven, state, burning, shut))


def _march(
    oven: Oven, state: OvenState, dt_s: float, load: Load, shut: bool, steps: int, at: Standing
) -> Step:
    own, stone, fire, now, floor, dome = (
        oven.design.coefficients,
        oven.stone,
        at.fire,
        at.flows,
        at.floor,
        at.dome,
    )
    area, mouth_m2 = oven.dome_area_m2, oven.mouth_area_m2
    under = fire.under_W * (1 - UNDER_FLUE) / (len(stone.cells_m) * stone.cell_area_m2)
    behind = state.ambient_C + under / own.outer_film_W_m2K
    flame = oven.burning(fire).flame_W_m2
    n, d = len(stone.cells_m), len(area)
    after = OvenState(
        state.floor_C.copy(),
        state.dome_C.copy(),
        state.mouth_C.copy(),
        state.lower_C,
        state.upper_C,
        state.ambient_C,
        state.floor_nodes_C.copy(),
        state.dome_nodes_C.copy(),
    )
    if not shut:
        after.mouth_C[:] = state.ambient_C
    gas = np.array([state.lower_C, state.upper_C])
    entries, bases_J, tops_J = march(
        steps,
        float(dt_s),
        state.ambient_C,
        (
            stone.where,
            stone.block,
            stone.cells_of_block,
            oven.cell_areas_m2,
            own.emissivity_floor,
            own.lower_film_W_m2K,
        ),
        _lattice(oven, floor),
        (floor.capacity_J_m2K, floor.link_W_m2K, floor.surface_W_m2K, floor.back_W_m2K, float(behind)),
        (dome.capacity_J_m2K, dome.link_W_m2K, dome.surface_W_m2K, dome.back_W_m2K, state.ambient_C),
        (area, own.emissivity_dome, own.upper_film_W_m2K * now.upper, own.lower_film_W_m2K * (1 - now.upper)),
        (mouth_m2, door_W_m2K(oven) if shut else -1.0),
        oven.enclosure.from_emission,
        (flame[:n], flame[n : n + d], flame[n + d :]),
        (
            now.convective_W,
            now.inflow_kg_s * AIR_J_kgK,
            now.spill_kg_s * AIR_J_kgK,
            now.rise_kg_s * AIR_J_kgK,
            now.burnt_W_K,
            now.emissivity,
        ),
        load.arrays(oven.cell_areas_m2),
        after.floor_nodes_C,
        after.floor_C,
        after.dome_nodes_C,
        after.dome_C,
        after.mouth_C,
        gas,
    )
    span = dt_s * steps
    ledger = closed(
        fuel_J=fire.power_W * span,
        floor_J=float(entries[FLOOR]),
        dome_J=float(entries[WALLS]),
        food_J=float(entries[BASES] + entries[TOPS]),
        flue_J=float(entries[GAS]) + fire.under_W * UNDER_FLUE * span,
        mouth_J=float(entries[MOUTH]),
        shell_J=float(entries[SHELL]) + fire.under_W * (1 - UNDER_FLUE) * span,
        lag_J=float(entries[LAG]),
    )
    return Step(with_gas(after, float(gas[0]), float(gas[1])), bases_J / span, tops_J / span, ledger)


def _lattice(oven: Oven, floor: Links) -> tuple[Array, Array, Array, Array, int, Array]:
    """Conductances from column to column per cell area, by node, with the lattice's joints."""
    stone = oven.stone
    across, inward = stone.sides_m
    through = floor.conductivity_W_mK * oven.floor_wall.step_m
    return (
        through / across**2,
        through / inward**2,
        stone.joined_x,
        stone.joined_y,
        stone.on.shape[1],
        np.zeros((0, 0)),
    )


def door_W_m2K(oven: Oven) -> float:
    """Conductance of the shut door from its inner face to the room, layers at 200 °C.

    Raises PhysicalRangeError for an oven without a door.
    """
    layers = oven.design.mouth.door
    require("layers of the door", float(len(layers)), "", 1.0, 10.0)
    resistance = 1 / oven.design.coefficients.outer_film_W_m2K
    for layer in layers:
        resistance += layer.thickness_m / float(material(layer.material).conductivity_W_mK(200.0))
    return 1 / resistance
