"""A portion through stretches of steady heat, turned between them: what lethality is tested on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.food.column import GAP, NODES, Floats
from hearthtide.food.exposure import Exposure
from hearthtide.food.lethality import Lethality, Organism
from hearthtide.food.model import Food, FoodState, advance, flip
from hearthtide.food.worst_point import counting, worst_now


@dataclass(frozen=True)
class Leg:
    """A stretch in steady heat, the portion turned over before it where `turned`. Rest is a leg as well."""

    exposure: Exposure
    seconds: float
    turned: bool = False


def heights_m(food: Food) -> Floats:
    """Heights of the middle column's nodes above the underside [m], as the portion was laid."""
    cut = food.forms[0].cut
    return np.concatenate(([0.0], np.cumsum(cut.grids[cut.of[0]][GAP, : NODES - 1])))


def as_laid_C(state: FoodState) -> Floats:
    """Temperatures of the middle column (nodes,), from the underside as the portion was first laid."""
    nodes = state.cells[0, :NODES]
    return nodes[::-1] if state.over else nodes


def through(food: Food, state: FoodState, legs: tuple[Leg, ...]) -> FoodState:
    """The portion after its legs."""
    for leg in legs:
        state = flip(food, state) if leg.turned else state
        state = advance(food, state, leg.exposure, leg.seconds)
    return state


def worst_point(food: Food, state: FoodState, legs: tuple[Leg, ...], target: Organism) -> Lethality:
    """What those legs kill of one organism, where least."""
    food = counting(food, target)
    return worst_now(food, through(food, state, legs), target)
