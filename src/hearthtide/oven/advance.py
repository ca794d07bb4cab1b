"""One step in time: irradiation from the last surfaces, gas balance, columns, and an exact ledger."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.columns import advance_columns
from hearthtide.heat.radiation import ZERO_C_K, blackbody_W_m2
from hearthtide.heat.ranges import Array, require, require_shape
from hearthtide.oven.exchange import gas_C, irradiation
from hearthtide.oven.geometry import Lattice
from hearthtide.oven.ledger import Ledger, closed
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState


@dataclass(frozen=True, eq=False)
class Step:
    """The oven after the step, and net heat into each item's base and top (items,), W."""

    state: OvenState
    contact_W: Array
    top_W: Array
    ledger: Ledger


@dataclass(frozen=True, eq=False)
class _Stretch:
    """One group of walls after a step: heat stored, lost outside and lagged, W."""

    nodes_C: Array
    face_C: Array
    stored_W: float
    out_W: float
    lag_W: float


def advance(oven: Oven, state: OvenState, power_W: float, dt_s: float, load: Load = NO_LOAD) -> Step:
    """Step the oven by `dt_s` with a flame of `power_W` (W, net value) and what lies on the stone.

    First order in dt_s: take 1 s with items on the stone, 2 s to heat up, 5 to 10 s to look ahead.
    Raises PhysicalRangeError for power_W outside 0 to 200 000, dt_s outside 0.001 to 3600, or another
    oven's load.
    """
    require("power_W", power_W, "W", 0.0, 200_000.0)
    require("dt_s", dt_s, "s", 1e-3, 3600.0)
    if load.items:
        require_shape("cover", load.cover, (load.items, len(oven.cells_m)))
    falls = irradiation(oven, state, power_W, load)
    gas, carried = gas_C(oven, state, power_W, load)
    floor, contact = _advance_floor(oven, state, falls.cells, gas, dt_s, load)
    dome = _advance_dome(oven, state, falls.dome, gas, dt_s)
    top = _into_tops(oven, falls.cells, gas, load)
    ledger = closed(
        fuel_J=power_W * dt_s,
        floor_J=floor.stored_W * dt_s,
        dome_J=dome.stored_W * dt_s,
        food_J=float(contact.sum() + top.sum()) * dt_s,
        flue_J=carried * (gas - state.ambient_C) * dt_s,
        mouth_J=float(oven.mouth_area_m2 @ (falls.mouth - blackbody_W_m2(state.ambient_C))) * dt_s,
        shell_J=(floor.out_W + dome.out_W) * dt_s,
        lag_J=(floor.lag_W + dome.lag_W) * dt_s,
    )
    after = OvenState(floor.face_C, dome.face_C, gas, state.ambient_C, floor.nodes_C, dome.nodes_C)
    return Step(after, contact, top, ledger)


def _advance_floor(
    oven: Oven, state: OvenState, falls_W_m2: Array, gas: float, dt_s: float, load: Load
) -> tuple[_Stretch, Array]:
    """Step the stone; also the heat into each item's base, W."""
    design, stone = oven.design, oven.stone
    old = state.floor_C
    film = design.floor_convection_W_m2K
    black = blackbody_W_m2(old)
    slope = 4 * black / (old + ZERO_C_K)
    loss = design.emissivity_floor * slope + film
    gain = design.emissivity_floor * (falls_W_m2 - black + slope * old) + film * gas
    lagged = loss
    if load.items:
        lagged = (1 - load.covered) * loss
        loss = lagged + load.conductance_W_m2K @ load.cover
        gain = (1 - load.covered) * gain + (load.conductance_W_m2K * load.base_C) @ load.cover
    gain_all, loss_all = np.zeros(stone.on.size), np.zeros(stone.on.size)
    gain_all[stone.where], loss_all[stone.where] = gain, loss
    nodes = state.floor_nodes_C
    step = advance_columns(
        oven.factors(dt_s)[0],
        nodes,
        gain_all,
        loss_all,
        state.ambient_C,
        sideways_K(nodes, stone),
        oven.spread_W_m2K,
    )
    face, area = step.face_C[stone.where], stone.cell_area_m2
    stored = area / dt_s * float((oven.floor_wall.capacity_J_m2K @ (step.nodes_C - nodes)).sum())
    lag = area * float(lagged @ (face - old))
    out = area * float(step.out_W_m2[stone.where].sum())
    contact = np.zeros(0)
    if load.items:
        given = load.cover @ face - load.cover.sum(1) * load.base_C
        contact = load.conductance_W_m2K * area * given
    return _Stretch(step.nodes_C, face, stored, out, lag), contact


def _advance_dome(oven: Oven, state: OvenState, falls_W_m2: Array, gas: float, dt_s: float) -> _Stretch:
    old, film, emissivity = state.dome_C, oven.dome_film_W_m2K, oven.design.emissivity_dome
    black = blackbody_W_m2(old)
    slope = 4 * black / (old + ZERO_C_K)
    loss = emissivity * slope + film
    gain = emissivity * (falls_W_m2 - black + slope * old) + film * gas
    step = advance_columns(oven.factors(dt_s)[1], state.dome_nodes_C, gain, loss, state.ambient_C)
    kept = oven.dome_wall.capacity_J_m2K @ (step.nodes_C - state.dome_nodes_C)
    return _Stretch(
        nodes_C=step.nodes_C,
        face_C=step.face_C,
        stored_W=float(kept @ oven.dome_area_m2) / dt_s,
        out_W=float(step.out_W_m2 @ oven.dome_area_m2),
        lag_W=float((loss * oven.dome_area_m2) @ (step.face_C - old)),
    )


def _into_tops(oven: Oven, falls_W_m2: Array, gas: float, load: Load) -> Array:
    """Net heat from above into each item, W: radiation kept less its own, and the gas's film."""
    if not load.items:
        return np.zeros(0)
    design = oven.design
    taken = design.emissivity_floor * (load.cover @ falls_W_m2)
    given = design.emissivity_floor * blackbody_W_m2(load.top_C)
    given += design.floor_convection_W_m2K * (load.top_C - gas)
    return np.asarray(oven.cell_area_m2 * (taken - load.cover.sum(1) * given))


def sideways_K(nodes_C: Array, stone: Lattice) -> Array:
    """Sum over neighbours of their temperature less one's own (nodes, ny * nx); 0 across the stone's rim."""
    row = stone.on.shape[1]
    total = np.empty_like(nodes_C)
    across = nodes_C[:, 1:] - nodes_C[:, :-1]
    across *= stone.joined_x
    total[:, :-1] = across
    total[:, -1] = 0.0
    total[:, 1:] -= across
    inward = nodes_C[:, row:] - nodes_C[:, :-row]
    inward *= stone.joined_y
    total[:, :-row] += inward
    total[:, row:] -= inward
    return total
