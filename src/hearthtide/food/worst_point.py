"""A portion cooked, turned and rested, with the temperature of every depth kept: where heat killed least."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import GAP, LETHAL, NODES, WATER, WATER_0, Floats
from hearthtide.food.exposure import Exposure
from hearthtide.food.lethality import Lethality, Organism, judge
from hearthtide.food.model import Food, FoodState, advance, flip

SAMPLE_S = 1.0
# A depth with less than this share of its first water left is crust. Own choice.
CRUST = 0.1


@dataclass(frozen=True)
class Leg:
    """A stretch in steady heat, the portion turned over before it where `turned`. Rest is a leg as well."""

    exposure: Exposure
    seconds: float
    turned: bool = False


@dataclass(frozen=True, eq=False)
class History:
    """The middle column: `times_s` (n,), `node_C` (n, nodes), `heights_m` (nodes,), `dried` (nodes,).

    Nodes run from the underside up as the portion was first laid, whichever way it lies. `dried` tells those
    that were crust at some time. `end` is the portion's state.
    """

    times_s: Floats
    node_C: Floats
    heights_m: Floats
    dried: NDArray[np.bool_]
    end: FoodState


def heights_m(food: Food) -> Floats:
    """Heights of the middle column's nodes above the underside [m], as the portion was laid."""
    cut = food.forms[0].cut
    return np.concatenate(([0.0], np.cumsum(cut.grids[cut.of[0]][GAP, : NODES - 1])))


def _as_laid(state: FoodState, first: int) -> Floats:
    nodes = state.cells[0, first : first + NODES]
    return nodes[::-1] if state.over else nodes


def as_laid_C(state: FoodState) -> Floats:
    """Temperatures of the middle column (nodes,), from the underside as the portion was first laid."""
    return _as_laid(state, 0)


def history(food: Food, state: FoodState, legs: tuple[Leg, ...]) -> History:
    """The portion through its legs, kept at the start and every second (or less) of each.

    Raises PhysicalRangeError where no leg is given or one has no time.
    """
    if not legs or not all(leg.seconds > 0 for leg in legs):
        raise PhysicalRangeError("legs: expected one or more, each above 0 s")
    times_s, node_C = [0.0], [as_laid_C(state)]
    crust_kg_m2 = CRUST * food.forms[0].cut.grids[food.forms[0].cut.of[0]][WATER_0]
    dried = _as_laid(state, WATER) < crust_kg_m2
    for leg in legs:
        state = flip(food, state) if leg.turned else state
        samples = math.ceil(leg.seconds / SAMPLE_S - 1e-9)
        for _ in range(samples):
            state = advance(food, state, leg.exposure, leg.seconds / samples)
            times_s.append(times_s[-1] + leg.seconds / samples)
            node_C.append(as_laid_C(state))
            dried |= _as_laid(state, WATER) < crust_kg_m2
    return History(np.array(times_s), np.array(node_C), heights_m(food), dried, state)


def worst_point(food: Food, state: FoodState, legs: tuple[Leg, ...], target: Organism) -> Lethality:
    """What those legs kill of one organism at every node, and where least; the rest counts as the last leg.

    Of a flat portion the middle is judged, of a body every column.
    Raises PhysicalRangeError where no leg is given or one has no time.
    """
    if not legs or not all(leg.seconds > 0 for leg in legs):
        raise PhysicalRangeError("legs: expected one or more, each above 0 s")
    food = counting(food, target)
    for leg in legs:
        state = flip(food, state) if leg.turned else state
        state = advance(food, state, leg.exposure, leg.seconds)
    return worst_now(food, state, target)


def counting(food: Food, target: Organism) -> Food:
    """The food, every node of which sums up from now on what kills that organism."""
    return replace(food, portion=replace(food.portion, lethal_C=target.T_ref_C, lethal_z_K=target.z_K))


def worst_now(food: Food, state: FoodState, target: Organism) -> Lethality:
    """What has been killed of the organism that the food was `counting`, where least."""
    form = food.forms[state.over]
    judged = (_judged(food, state, int(c), target) for c in np.flatnonzero(form.cut.share))
    return min(judged, key=lambda found: found.core_log)


def _judged(food: Food, state: FoodState, c: int, target: Organism) -> Lethality:
    """One column, from face to face: of a wedge out from its middle, so there and back."""
    form = food.forms[state.over]
    grid, row = form.cut.grids[form.cut.of[c]], state.cells[c]
    heights = np.concatenate(([0.0], np.cumsum(grid[GAP, : NODES - 1])))
    seconds = row[LETHAL : LETHAL + NODES]
    dried = row[WATER : WATER + NODES] < CRUST * grid[WATER_0]
    if form.below_area[c] == 0.0 or form.top_area[c] == 0.0:
        out = slice(None) if form.below_area[c] == 0.0 else slice(None, None, -1)
        deep_m = heights if form.below_area[c] == 0.0 else heights[-1] - heights[::-1]
        seconds, dried = seconds[out], dried[out]
        seconds = np.concatenate((seconds[:0:-1], seconds))
        dried = np.concatenate((dried[:0:-1], dried))
        heights = heights[-1] + np.concatenate((-deep_m[:0:-1], deep_m))
    return judge(seconds, heights, target, dried)
