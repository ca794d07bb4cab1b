"""A stretch of cooking in steady heat until it is done, and its course for pictures."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import Floats
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import Food, FoodState, advance, flip
from hearthtide.food.outcome import bubbling, colour_steps, core_C


@dataclass(frozen=True)
class Target:
    """What must all be true: core at least [°C], top's mean colour at least (step 1..5), bubbling."""

    core_C: float | None = None
    colour: int | None = None
    bubbling: bool = False


@dataclass(frozen=True)
class Stretch:
    """The end of a stretch: state, how long it took [s], and whether the target was met in time."""

    state: FoodState
    seconds: float
    met: bool


@dataclass(frozen=True)
class Trace:
    """The course of a stretch: arrays of shape (n,), colour (n, 5): underside, then the four sectors."""

    times_s: Floats
    core_C: Floats
    top_C: Floats
    base_C: Floats
    colour: Floats


def reached(food: Food, state: FoodState, target: Target) -> bool:
    """Whether everything the target asks for is true now."""
    if target.core_C is not None and core_C(food, state) < target.core_C:
        return False
    if target.colour is not None and colour_steps(food, state).mean < target.colour:
        return False
    return not target.bubbling or bubbling(food, state)


def cook(
    food: Food,
    state: FoodState,
    exposure: Exposure,
    target: Target,
    max_s: float,
    flip_at_s: tuple[float, ...] = (),
    dt_s: float = 1.0,
) -> Stretch:
    """Cook in steady heat until the target is reached, or `max_s` is over.

    `flip_at_s` counts from the start of the stretch; flips fall on a step, the first at or after
    their time. A target reached before the last flip waits for it.
    Raises PhysicalRangeError when `dt_s` or `max_s` is not positive.
    """
    if not (dt_s > 0 and max_s > 0):
        raise PhysicalRangeError(f"dt_s {dt_s}, max_s {max_s}: expected both above 0")
    flips = sorted(flip_at_s)
    for number in range(math.ceil(max_s / dt_s)):
        now_s = number * dt_s
        while flips and flips[0] <= now_s:
            state = flip(food, state)
            flips.pop(0)
        if not flips and reached(food, state, target):
            return Stretch(state, now_s, True)
        state = advance(food, state, exposure, min(dt_s, max_s - now_s))
    return Stretch(state, max_s, not flips and reached(food, state, target))


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
        core_C=np.array([core_C(food, each) for each in states]),
        top_C=np.array([each.top_C for each in states]),
        base_C=np.array([each.base_C for each in states]),
        colour=np.array([(each.bottom, *each.sectors) for each in colours]),
    )
