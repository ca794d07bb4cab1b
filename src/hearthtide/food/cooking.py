"""A stretch of cooking in steady heat until it is done, and its course for pictures."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import BELOW_C, Floats, met
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import (
    NOTHING_ASKED,
    STILL,
    Food,
    FoodState,
    advance,
    flip,
    heat_on,
    prepare,
    run_until,
    start,
)
from hearthtide.food.outcome import asked, colour_steps
from hearthtide.food.outcome import core_C as core_of
from hearthtide.food.spec import Portion


@dataclass(frozen=True)
class Target:
    """What must all be true: core at least [°C], top's mean colour at least (step 1..5), bubbling."""

    core_C: float | None = None
    colour: int | None = None
    bubbling: bool = False


@dataclass(frozen=True)
class Stretch:
    """The end of a stretch: state, how long it took [s], whether the target was met in time.

    `stone_C` is the stone's face under it then, cooled by the portion where it cools; without meaning for a
    portion that is not on the stone.
    """

    state: FoodState
    seconds: float
    met: bool
    stone_C: float


@dataclass(frozen=True)
class Trace:
    """The course of a stretch: arrays of shape (n,), colour (n, 5): underside, then the four sectors."""

    times_s: Floats
    core_C: Floats
    top_C: Floats
    base_C: Floats
    colour: Floats


def until(food: Food, state: FoodState, target: Target) -> Floats:
    """The target as the loops want it."""
    return asked(food, state, target.core_C, target.colour, target.bubbling)


def reached(food: Food, state: FoodState, target: Target) -> bool:
    """Whether everything the target asks for is true now."""
    # A copy, as a run has it: numbers nobody may write are another type, to be compiled for once more.
    return bool(met(state.cells.copy(), food.forms[state.over].cut, until(food, state, target)))


def cook(
    food: Food,
    state: FoodState,
    exposure: Exposure,
    target: Target,
    max_s: float,
    flip_at_s: tuple[float, ...] = (),
    stone: Floats = STILL,
) -> Stretch:
    """Cook in steady heat until the target is reached, or `max_s` is over.

    `flip_at_s` counts from the start of the stretch. A target reached before the last flip waits for it;
    it is looked for every second or oftener. `stone` (`column.STONE_ROWS`, nodes) cools under the portion,
    else it stays as the exposure has it.
    Raises PhysicalRangeError when `max_s` is not positive.
    """
    if not max_s > 0:
        raise PhysicalRangeError(f"max_s {max_s}: expected above 0")
    flips = sorted(at_s for at_s in flip_at_s if at_s < max_s)
    all_flips = len(flips) == len(flip_at_s)
    heat, now_s = heat_on(food, state, exposure, stone=stone.copy()), 0.0
    for at_s in flips:
        state, took_s = run_until(food, state, heat, NOTHING_ASKED, at_s - now_s)
        now_s += took_s
        state = flip(food, state)
        if exposure.base == "stone":
            exposure = replace(exposure, stone_C=float(heat.around[BELOW_C]))
        heat = heat_on(food, state, exposure, stone=heat.stone)
    ends = until(food, state, target) if all_flips else NOTHING_ASKED
    state, took_s = run_until(food, state, heat, ends, max_s - now_s)
    met = all_flips and reached(food, state, target)
    return Stretch(state, now_s + took_s, met, float(heat.around[BELOW_C]))


# A hot oven with even sides, in which parts of one piece are compared: stone, and dome with a flame up.
EVEN = Exposure("stone", 300.0, 14_000.0, (14_000.0,) * 4, 350.0)


# When a part that is not done by then is turned over, and when one is given up: own choice.
TURN_S, MOST_S = 1200.0, 7200.0


@functools.cache
def slowest(parts: tuple[Portion, ...], core_C: float) -> Portion:
    """The part whose core takes longest to `core_C` in a hot oven, turned over after twenty minutes.

    Of parts that are not there after two hours it is the one with the colder core.
    """
    target = Target(core_C=core_C)

    def lateness(part: Portion) -> tuple[float, float]:
        food = prepare(part)
        done = cook(food, start(food), EVEN, target, TURN_S)
        seconds = done.seconds
        if not done.met:
            done = cook(food, flip(food, done.state), EVEN, target, MOST_S - TURN_S)
            seconds += done.seconds
        return seconds, -core_of(food, done.state)

    return max(parts, key=lateness)


def trace(food: Food, state: FoodState, exposure: Exposure, seconds: float, every_s: float) -> Trace:
    """The course of `seconds` in steady heat, recorded at the start and after every `every_s`.

    Raises PhysicalRangeError when a time is not positive.
    """
    if not (seconds > 0 and every_s > 0):
        raise PhysicalRangeError(f"seconds {seconds}, every_s {every_s}: expected both above 0")
    times_s, states = [0.0], [state]
    while times_s[-1] < seconds - 1e-9:
        dt_s = min(every_s, seconds - times_s[-1])
        states.append(advance(food, states[-1], exposure, dt_s))
        times_s.append(times_s[-1] + dt_s)
    colours = [colour_steps(food, each) for each in states]
    return Trace(
        times_s=np.array(times_s),
        core_C=np.array([core_of(food, each) for each in states]),
        top_C=np.array([each.top_C for each in states]),
        base_C=np.array([each.base_C for each in states]),
        colour=np.array([(each.bottom, *each.sectors) for each in colours]),
    )
