"""What a cook would find: core, colour, bubbles, lost weight, and how long until something burns."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hearthtide.food import column
from hearthtide.food.colour import browning_for, colour_difference, step
from hearthtide.food.column import (
    BROWN_ABOVE,
    BROWN_BELOW,
    LUMP,
    WATER,
    WATER_0,
    BURNT_FOR_EVER_dE,
    Floats,
)
from hearthtide.food.exposure import Exposure
from hearthtide.food.form import Form
from hearthtide.food.model import NOTHING_ASKED, Food, FoodState, heat_on, run_until

# Forms whose top is kept told apart by columns; own choice.
FORMS_KEPT = 256


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
    form = food.forms[state.over]
    return float(state.cells[form.core_columns, form.core_nodes].min())


def face_C(food: Food, state: FoodState) -> float:
    """The food's upper face [°C]: `top_C` without the bare part of a vessel that shines beside it."""
    platter = food.platter
    if platter is None or not state.on_platter:
        return state.top_C
    share = min(1.0, food.portion.area_m2 / platter.area_m2)
    bare = (1 - share) * (state.base_C + 273.15) ** 4
    return float((((state.top_C + 273.15) ** 4 - bare) / share) ** 0.25 - 273.15)


def colour_steps(food: Food, state: FoodState) -> Colour:
    """The colour of the underside and of the four sectors of the top, as the portion lies now.

    Told on the portion's own scale. Of a body the sectors at 0 and 180 degrees are its flame side and its
    lee, the others its ridge.
    """
    form, scale = food.forms[state.over], food.portion.colours
    steps = [step(colour_difference(float(b)), scale) for b in state.cells[:LUMP, BROWN_ABOVE]]
    below = [step(colour_difference(float(b)), scale) for b in state.cells[:LUMP, BROWN_BELOW]]
    bottom = float(form.cut.under @ below)
    if food.portion.body is None:
        return Colour(bottom, (steps[1], steps[2], steps[3], steps[4]))
    # A middle strip, at 90 degrees, belongs to either side by half.
    lee = form.bearing_deg / 180
    toward, away = (float(np.average(steps, weights=form.cut.shown * side)) for side in (1 - lee, lee))
    ridge = (toward + away) / 2
    return Colour(bottom, (toward, ridge, away, ridge))


def top_colour(food: Food, state: FoodState) -> float:
    """What the top shows as a whole: the mean of `colour_steps`, alone."""
    scale = food.portion.colours
    shown = _shown(food.forms[state.over], food.portion.body is None)
    colour_dE = BURNT_FOR_EVER_dE * -np.expm1(-state.cells[:LUMP, BROWN_ABOVE])
    starts_dE = scale.starts_dE
    return float(shown @ np.interp(colour_dE, starts_dE, range(1, len(starts_dE) + 1)))


@lru_cache(maxsize=FORMS_KEPT)
def _shown(form: Form, flat: bool) -> Floats:
    """Shares of the columns (columns,) in the colour of the top; of a body its two sides count alike."""
    if flat:
        return form.cut.shown
    lee = form.bearing_deg / 180
    sides = (form.cut.shown * side for side in (1 - lee, lee))
    return np.asarray(sum(side / side.sum() for side in sides) / 2)


def weight_loss(food: Food, state: FoodState) -> float:
    """Share of the portion's raw weight that is gone as vapour and juice, 0..1.

    The middle stands for the whole of a flat portion, also where it has a rim.
    """
    cut = food.forms[state.over].cut
    grids = cut.grids[cut.of]
    gone = (grids[:, WATER_0] - state.cells[:LUMP, WATER : column.PEAK]).sum(axis=1)
    return float(cut.share @ gone / (cut.share @ grids[:, column.MASS].sum(axis=1)))


def bubbling(food: Food, state: FoodState) -> bool:
    """Whether the dish visibly bubbles: water boils inside and the layer under the face is hot too."""
    cut = food.forms[state.over].cut
    middle = len(cut.across) // 2
    # A copy, as a run has it: numbers nobody may write are another type, to be compiled for once more.
    return bool(column.bubbles(state.cells[middle].copy(), cut.grids[cut.of[middle]]))


def asked(
    food: Food,
    state: FoodState,
    core_C: float | None = None,
    colour: float | None = None,
    bubbling: bool = False,
    burnt: bool = False,
) -> Floats:
    """What ends a run, as the loops want it (`column.UNTIL`,); `burnt` alone asks for a face past dark."""
    until = np.full(column.UNTIL, np.nan)
    form = food.forms[state.over]
    columns, nodes = form.core_columns, form.core_nodes
    until[[column.CORE_COLUMN, column.CORE_COLUMNS]] = columns.start, columns.stop
    until[[column.CORE_NODE, column.CORE_NODES]] = nodes.start, nodes.stop
    until[column.STEPS_DE :] = food.portion.colours.starts_dE
    if core_C is not None:
        until[column.CORE_C] = core_C
    if colour is not None:
        until[column.COLOUR] = colour
    if bubbling:
        until[column.BUBBLES] = len(form.cut.across) // 2
    if burnt:
        until[column.BURNT] = browning_for(food.portion.colours.burnt_dE)
    return until


def burn_margin_s(
    food: Food, state: FoodState, exposure: Exposure, horizon_s: float = 240.0, facing_deg: float = 0.0
) -> float:
    """Seconds until the worst face of the portion is past dark if it is left as it is.

    0 when it is already; `horizon_s` when nothing burns within that time.
    """
    limit = browning_for(food.portion.colours.burnt_dE)
    if _worst(state) >= limit:
        return 0.0
    heat, until = heat_on(food, state, exposure, facing_deg), asked(food, state, burnt=True)
    burnt, took_s = run_until(food, state, heat, until, horizon_s, every_s=0.5)
    if _worst(burnt) < limit:
        return horizon_s
    # It is found burnt at the end of a step: back by what it has browned beyond, at the rate it has then.
    later, step_s = run_until(food, burnt, heat, NOTHING_ASKED, 0.5)
    rate_1_s = (_worst(later) - _worst(burnt)) / step_s
    return max(0.0, took_s - min(0.5, (_worst(burnt) - limit) / rate_1_s))


def _worst(state: FoodState) -> float:
    """The largest browning integral of any face: undersides and tops of all columns."""
    return float(state.cells[:LUMP, [BROWN_BELOW, BROWN_ABOVE]].max())
