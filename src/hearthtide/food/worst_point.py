"""Where in a portion heat has killed least."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from hearthtide.food.column import BOILING_C, GAP, LETHAL, NODES, PEAK, WATER, WATER_0, Floats
from hearthtide.food.form import Form
from hearthtide.food.lethality import Lethality, Organism, judge
from hearthtide.food.model import Food, FoodState

# A depth with less than this share of its first water left is crust. Own choice.
CRUST = 0.1
# So much above boiling a node cannot have been wet; less may be rounding. Own choice.
DRY_C = BOILING_C + 1.0


def counting(food: Food, target: Organism) -> Food:
    """The food, every node of which sums up from now on what kills that organism."""
    return replace(food, portion=replace(food.portion, lethal_C=target.T_ref_C, lethal_z_K=target.z_K))


def worst_now(food: Food, state: FoodState, target: Organism) -> Lethality:
    """What has been killed of the organism that the food was `counting`, where least.

    Of a flat portion the middle is judged, of a body every column.
    """
    form = food.forms[state.over]
    judged = (_judged(food, state, int(c), target) for c in np.flatnonzero(form.cut.share))
    return min(judged, key=lambda found: found.core_log)


def _judged(food: Food, state: FoodState, c: int, target: Organism) -> Lethality:
    """One column, from face to face as it was laid: of a wedge from its skin to the middle and out again."""
    form = food.forms[state.over]
    grid, row = form.cut.grids[form.cut.of[c]], state.cells[c]
    seconds, dried, gaps_m = row[LETHAL : LETHAL + NODES], _dried(row, grid), grid[GAP, : NODES - 1]
    wedge = _is_wedge(form, c)
    # A wedge that looks up has its skin last.
    backwards = form.top_area[c] > 0 if wedge else state.over
    if backwards:
        seconds, dried, gaps_m = seconds[::-1], dried[::-1], gaps_m[::-1]
    if not wedge:
        return judge(seconds, _heights_m(gaps_m), target, dried)
    there, back = slice(None), slice(-2, None, -1)
    seconds, dried = (np.concatenate((each[there], each[back])) for each in (seconds, dried))
    found = judge(seconds, _heights_m(np.concatenate((gaps_m, gaps_m[::-1]))), target, dried)
    # Found on its way in; a wedge that looks aside may be longer than the piece is deep.
    thickness_m = food.portion.thickness_m
    deep_m = min(found.worst_m, thickness_m / 2)
    return replace(found, worst_m=deep_m, thickness_m=thickness_m, under_skin=True)


def _is_wedge(form: Form, c: int) -> bool:
    """Whether a column has a face at one end only, the other being the middle of the piece."""
    return bool(form.below_area[c] == 0.0 or form.top_area[c] == 0.0)


def _heights_m(gaps_m: Floats) -> Floats:
    return np.concatenate(([0.0], np.cumsum(gaps_m)))


def _dried(row: Floats, grid: Floats) -> NDArray[np.bool_]:
    """Nodes that are crust, or were: nothing that holds water is hotter than boiling."""
    dry: NDArray[np.bool_] = row[WATER : WATER + NODES] < CRUST * grid[WATER_0]
    return dry | (row[PEAK : PEAK + NODES] > DRY_C)
