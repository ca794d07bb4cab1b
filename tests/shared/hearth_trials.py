"""Food on a floor that cools under it, and on a plate that a thermostat holds: what reference tests share."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hearthtide.food import column
from hearthtide.food.cooking import Target, reached
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import Food, FoodState, advance, flip, prepare
from hearthtide.food.spec import FoodLayer, Platter, Portion

ROOM_W_m2 = 430.0  # black walls at 22 °C


class Floor:
    """A floor that has soaked at one temperature, explicit in time; 80 mm of fireclay unless said.

    `store_J_m3K` is density times heat capacity; a better conductor wants wider gaps.
    """

    def __init__(
        self, stone_C: float, k_W_mK: float = 1.0, store_J_m3K: float = 2.2e6, gap_m: float = 0.002
    ) -> None:
        self.nodes_C = np.full(40, stone_C)
        self.k_W_mK, self.store_J_m3K, self.gap_m = k_W_mK, store_J_m3K, gap_m

    def surface_under_C(self, conductance_W_m2K: float, base_C: float, dt_s: float) -> float:
        through = 1 / (1 / conductance_W_m2K + self.gap_m / 2 / self.k_W_mK)
        taken = through * (self.nodes_C[0] - base_C)
        flow = self.k_W_mK / self.gap_m * (self.nodes_C[:-1] - self.nodes_C[1:])
        change = np.zeros(40)
        change[:-1] -= flow
        change[1:] += flow
        change[0] -= taken
        self.nodes_C = self.nodes_C + change * dt_s / (self.store_J_m3K * self.gap_m)
        return float(base_C + taken / conductance_W_m2K)


def on_iron(name: str, layers: tuple[FoodLayer, ...], start_C: float, platter_C: float) -> Portion:
    """A portion on a platter of 2 kg of iron."""
    return Portion(name, layers, 0.025, start_C, platter=Platter("cast_iron", 2.0, 0.04, platter_C))


def second_on_floor(food: Food, state: FoodState, floor: Floor, gas_C: float, up_W_m2: float) -> FoodState:
    """One second on that floor, its front a third more and its back a third less irradiated."""
    rim = (1.3 * up_W_m2, up_W_m2, 0.7 * up_W_m2, up_W_m2)
    stone_C = floor.surface_under_C(food.stone_conductance_W_m2K(state), state.base_C, 1.0)
    return advance(food, state, Exposure("stone", stone_C, up_W_m2, rim, gas_C), 1.0)


def until(
    food: Food, state: FoodState, target: Target, stone_C: float, up_W_m2: float, flip_at_s: int = 0
) -> tuple[float, FoodState]:
    """Minutes on a fireclay floor until the target is reached, one flip at most, and the state then."""
    floor = Floor(stone_C)
    for second in range(3600):
        if second >= flip_at_s and reached(food, state, target):
            return second / 60, state
        if flip_at_s and second == flip_at_s:
            state = flip(food, state)
        state = second_on_floor(food, state, floor, stone_C, up_W_m2)
    raise AssertionError(f"{food.portion.name} was not done in 60 min")


def on_plate(food: str, thickness_m: float, start_C: float, plate_C: float) -> tuple[Food, Exposure]:
    """A portion on a metal plate, in the open."""
    plate = Platter("cast_iron", 2.0, 0.02, plate_C)
    prepared = prepare(Portion(food, (FoodLayer(food, thickness_m),), 0.02, start_C, platter=plate))
    return prepared, Exposure("platter", 22.0, ROOM_W_m2, (ROOM_W_m2,) * 4, 22.0)


def second_on_plate(food: Food, state: FoodState, bare: Exposure, plate_C: float) -> FoodState:
    """One second on a plate that a thermostat keeps at its temperature."""
    cells = state.cells.copy()
    cells[column.LUMP, column.LUMP_C] = plate_C
    return advance(food, replace(state, cells=cells), bare, 1.0)
