"""What a cook would find: core, colour, bubbles, lost weight, and how long until something burns."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hearthtide.food import column
from hearthtide.food.colour import browning_for, colour_difference, step
from hearthtide.food.column import (
    BROWN_ABOVE,
    BROWN_BELOW,
    COLUMNS,
    GAP,
    NODES,
    PEAK,
    WATER,
    WATER_0,
    Floats,
)
from hearthtide.food.exposure import Exposure
from hearthtide.food.grid import layer_mass_kg_m2
from hearthtide.food.model import SUBSTEP_S, Food, FoodState, grids, surroundings, tops

# A dish bubbles when water boils somewhere inside and the layer this deep below its face is this hot,
# so that bubbles live to reach the face. Common practice, no source.
BUBBLE_DEPTH_M = 0.002
BUBBLE_C = 90.0


@dataclass(frozen=True)
class Colour:
    """Steps 1 pale to 5 dark, continuous: the underside's middle and the top's four sectors.

    Sectors lie at 0, 90, 180, 270 degrees clockwise from the leading edge, seen from above.
    """

    bottom: float
    sectors: tuple[float, float, float, float]

    @property
    def mean(self) -> float:
        """What the top shows as a whole."""
        return sum(self.sectors) / 4


def core_C(food: Food, state: FoodState) -> float:
    """The coldest point in the inner half of the thickest part [°C]: the middle, or the rim if thicker.

    The outer quarters are left out, as a probe leaves them: at rest they cool below the core.
    """
    rimmed = food.portion.rim_thickness_m > food.portion.thickness_m
    inner = (food.side_inner if rimmed else food.middle_inner)[state.over]
    return float(state.cells[1:COLUMNS, inner].min() if rimmed else state.cells[0, inner].min())


def colour_steps(food: Food, state: FoodState) -> Colour:
    """The colour of the underside and of the four sectors of the top, as the portion lies now.

    Told on the portion's own scale.
    """
    scale = food.portion.colours
    steps = [step(colour_difference(float(b)), scale) for b in state.cells[:COLUMNS, BROWN_ABOVE]]
    bottom = step(colour_difference(float(state.cells[0, BROWN_BELOW])), scale)
    return Colour(bottom, (steps[1], steps[2], steps[3], steps[4]))


def weight_loss(food: Food, state: FoodState) -> float:
    """Share of the portion's raw weight that is gone as vapour and juice, 0..1.

    The middle stands for the whole portion, also where it has a rim.
    """
    grid, _ = grids(food, state)
    gone_kg_m2 = float((grid[WATER_0] - state.cells[0, WATER:PEAK]).sum())
    return gone_kg_m2 / layer_mass_kg_m2(food.portion.layers)


def bubbling(food: Food, state: FoodState) -> bool:
    """Whether the dish visibly bubbles: water boils inside and the layer under the face is hot too."""
    cells = state.cells[0]
    wet = cells[WATER:PEAK] > 0
    boils = bool((wet & (cells[:NODES] >= column.NEARLY_BOILING_C)).any())
    grid, _ = grids(food, state)
    depth_m = np.concatenate(([0.0], np.cumsum(grid[GAP, : NODES - 1][::-1])))
    below_face_C = float(np.interp(BUBBLE_DEPTH_M, depth_m, cells[:NODES][::-1]))
    return boils and below_face_C >= BUBBLE_C


def burn_margin_s(
    food: Food, state: FoodState, exposure: Exposure, horizon_s: float = 240.0, facing_deg: float = 0.0
) -> float:
    """Seconds until the worst face of the portion is past dark if it is left as it is.

    0 when it is already; `horizon_s` when nothing burns within that time.
    """
    middle, side = grids(food, state)
    around = surroundings(food, exposure)
    heat = tops(food, exposure, facing_deg)
    cells = state.cells.copy()
    limit = browning_for(food.portion.colours.burnt_dE)
    per_second = round(1 / SUBSTEP_S)
    worst = _worst(cells)
    for second in range(math.ceil(horizon_s)):
        if worst >= limit:
            return float(second)
        before = worst
        column.run(cells, middle, side, around, heat, SUBSTEP_S, per_second)
        worst = _worst(cells)
        if worst >= limit:
            return min(horizon_s, second + (limit - before) / (worst - before))
    return horizon_s


def _worst(cells: Floats) -> float:
    """The largest browning integral of any face: undersides and tops of all columns."""
    return float(cells[:COLUMNS, [BROWN_BELOW, BROWN_ABOVE]].max())
