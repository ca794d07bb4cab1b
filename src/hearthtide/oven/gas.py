"""The gas in the oven: how much air the mouth lets in, and how the fire shares it between two layers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from hearthtide.heat.combustion import products_extra_W_K
from hearthtide.heat.gas_radiation import gas_emissivity
from hearthtide.heat.kernel import AIR_J_kgK
from hearthtide.heat.openings import flue_draught_kg_s, two_layer_flow
from hearthtide.heat.radiation import ZERO_C_K, blackbody_W_m2
from hearthtide.oven.flame import Fire
from hearthtide.oven.model import FIRST_DRAUGHT_K, Oven, OvenState
from hearthtide.ranges import Array

# Rounds in which flows and temperatures are brought to agree when a fire is met for the first time.
ROUNDS = 12
NO_FIRE = 1e6  # excess air that leaves nothing to shine


class Gases(Protocol):
    """What the flows need to know of a state, °C."""

    @property
    def lower_C(self) -> float: ...
    @property
    def upper_C(self) -> float: ...
    @property
    def ambient_C(self) -> float: ...


@dataclass(frozen=True, eq=False)
class Flows:
    """Steady flows, kg/s, and the height of the interface between the layers, m.

    `inflow` comes in at the mouth, `spill` leaves there from the lower layer, `rise` goes up into the upper
    one. `emissivity` is the upper gas's, `upper` (d,) the share of each patch of roof and walls above the
    interface.
    """

    interface_m: float
    inflow_kg_s: float
    spill_kg_s: float
    rise_kg_s: float
    flue_kg_s: float
    convective_W: float
    burnt_W_K: float
    emissivity: float
    upper: Array


def flows(oven: Oven, state: Gases, fire: Fire, shut: bool = False) -> Flows:
    """The flows for the gas temperatures of the state.

    A shut door leaves its gap. A flue inside draws on the upper layer; one before the mouth changes nothing.
    """
    design = oven.design
    mouth, own = design.mouth, design.coefficients
    width = mouth.width_m * (mouth.gap if shut else 1.0)
    burning = oven.burning(fire)
    above, convective = burning.hearth_W, burning.convective_W
    fuel_kg_s = above / oven.fuel.calorific_J_kg
    upper = max(state.upper_C, state.lower_C, state.ambient_C)
    if above > 0:
        upper = max(upper, state.ambient_C + FIRST_DRAUGHT_K)
    flue = 0.0
    if design.flue.place == "inside":
        flue = flue_draught_kg_s(design.flue.diameter_m, design.flue.height_m, upper, state.ambient_C)
    length = max(burning.length_m, 1e-3)
    interface, _, inflow, spill, _, _ = two_layer_flow(
        width,
        mouth.height_m,
        state.ambient_C,
        max(state.lower_C, state.ambient_C),
        upper,
        convective,
        length,
        0.0,
        own.entrainment,
        fuel_kg_s,
        flue,
        own.discharge,
    )
    low, high = oven.roof_span_m
    share = np.clip((high - interface) / np.maximum(high - low, 1e-6), 0.0, 1.0)
    rise = max(inflow - spill, 0.0)
    burnt = products_extra_W_K(oven.fuel, above)
    needed = fuel_kg_s * oven.fuel.air_kg_kg
    excess = min(max(rise / needed - 1, 0.0), NO_FIRE) if needed > 0 else NO_FIRE
    shine = gas_emissivity(oven.fuel, excess, oven.room.beam_m, upper)
    return Flows(interface, inflow, spill, rise, flue, convective, burnt, shine, share)


def settled_gas(oven: Oven, state: OvenState, fire: Fire, shut: bool = False) -> tuple[Flows, float, float]:
    """Flows, and the lower and upper gas temperatures that go with them and the state's surfaces."""
    lower, upper = state.lower_C, state.upper_C
    now = flows(oven, state, fire, shut)
    for _ in range(ROUNDS):
        lower, upper = gas_C(oven, state, now)
        after = with_gas(state, lower, upper)
        now = flows(oven, after, fire, shut)
    return now, lower, upper


def gas_C(oven: Oven, state: OvenState, now: Flows) -> tuple[float, float]:
    """Steady lower and upper gas temperatures between the state's bare surfaces."""
    own, area = oven.design.coefficients, oven.dome_area_m2
    lower_W_K = own.lower_film_W_m2K * (1 - now.upper) * area
    upper_W_K = own.upper_film_W_m2K * now.upper * area
    stone_W_K = own.lower_film_W_m2K * oven.cell_area_m2
    inflow = now.inflow_kg_s * AIR_J_kgK
    lower = inflow * state.ambient_C + stone_W_K * state.floor_C.sum() + lower_W_K @ state.dome_C
    lower /= inflow + stone_W_K * len(state.floor_C) + lower_W_K.sum()
    rise = now.rise_kg_s * AIR_J_kgK
    taking = now.emissivity * (
        own.emissivity_floor * oven.cell_area_m2 * len(state.floor_C)
        + own.emissivity_dome * area.sum()
        + oven.mouth_area_m2.sum()
    )
    back = now.emissivity * (
        own.emissivity_floor * oven.cell_area_m2 * blackbody_W_m2(state.floor_C).sum()
        + own.emissivity_dome * (area @ blackbody_W_m2(state.dome_C))
        + oven.mouth_area_m2 @ blackbody_W_m2(state.mouth_C)
    )
    black = float(blackbody_W_m2(state.upper_C))
    slope = 4 * black / (state.upper_C + ZERO_C_K)
    upper = rise * lower + now.burnt_W_K * state.ambient_C + now.convective_W + upper_W_K @ state.dome_C
    upper += back - taking * (black - slope * state.upper_C)
    upper /= rise + now.burnt_W_K + upper_W_K.sum() + taking * slope
    return float(lower), float(upper)


def with_gas(state: OvenState, lower_C: float, upper_C: float) -> OvenState:
    """The state with other gas temperatures."""
    return OvenState(
        state.floor_C,
        state.dome_C,
        state.mouth_C,
        lower_C,
        upper_C,
        state.ambient_C,
        state.floor_nodes_C,
        state.dome_nodes_C,
    )


def excess_air(oven: Oven, now: Flows, fire: Fire) -> float:
    """Air that comes in above what the fire burns, as a share of that; infinite without a fire."""
    needed = (fire.flame_W + fire.embers_W) / oven.fuel.calorific_J_kg * oven.fuel.air_kg_kg
    return now.inflow_kg_s / needed - 1 if needed > 0 else float("inf")
