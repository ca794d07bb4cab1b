"""A portion cooked, turned and rested, with the temperature of every depth kept: where heat killed least."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import GAP, NODES, WATER, WATER_0, Floats
from hearthtide.food.exposure import Exposure
from hearthtide.food.lethality import Lethality, Organism, equivalent_s, judge
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
    return np.concatenate(([0.0], np.cumsum(food.middle[GAP, : NODES - 1])))


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
    crust_kg_m2 = CRUST * food.middle[WATER_0]
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
    """What those legs kill of one organism, and where least; name the rest as the last leg: it counts."""
    course = history(food, state, legs)
    seconds = equivalent_s(course.times_s, course.node_C, target.T_ref_C, target.z_K)
    return judge(seconds, course.heights_m, target, course.dried)
