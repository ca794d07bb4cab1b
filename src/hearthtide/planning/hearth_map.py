"""One stage of a dish tried all over the hearth: how long it takes at each place, and what gives first."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from hearthtide.food.cooking import Target
from hearthtide.food.model import Food, FoodState
from hearthtide.food.outcome import Colour, bubbling, burn_margin_s, colour_steps, core_C
from hearthtide.house.models import COLOUR_STEP, DishFile, Place
from hearthtide.house.places import STEP_M, Outline, Spot
from hearthtide.oven.model import Oven
from hearthtide.planning.dish_course import timed, walked
from hearthtide.planning.exposure import Seat, seat
from hearthtide.planning.places import Places, bits
from hearthtide.planning.response import LONGEST_S, STEP_S, Moment, heat_at, respond, target_of

Face = Literal["top", "underside"]
Gives = Literal["done", "too dark", "top", "underside", "core", "colour", "never"]
DARK = 5.0  # the step past which a face goes on to burn
LOOK_S = 10.0  # how often burning is looked for, that far ahead and a step of the walk more
ACROSS = 10.8  # places across a hearth at most, so that a figure has room at each; own choice
# Steps of the raster along and across, of `STEP_M` each: its places lie 10, 11, 14, 15, 16 or 20 cm apart.
RASTERS = ((2, 0), (2, 1), (2, 2), (3, 0), (3, 1), (4, 0))


@dataclass(frozen=True)
class SpotAnswer:
    """A stage at one place. `seconds` is what `respond` answers, None where something burns before or it is
    never done; `burns_s` when the face named by `gives` burns. `wished`: where the dish's file lets it stand.
    """

    x_m: float
    y_m: float
    place: Place
    flame_m: float | None
    wished: bool
    seconds: float | None
    gives: Gives
    burns_s: float | None


@dataclass(frozen=True)
class StageSpots:
    """One stage all over the hearth; `apart_m` is the least distance between two of its places."""

    dish: str
    stage: str
    apart_m: float
    target: Target
    colour_at_most: str
    power_W: float
    spots: tuple[SpotAnswer, ...]


def try_everywhere(
    oven: Oven,
    moment: Moment,
    places: Places,
    dish: DishFile,
    stage: int,
    food: Food,
    begin: FoodState,
    tell: Callable[[float], None] = lambda _: None,
) -> StageSpots:
    """A stage at every place of a coarse raster where the vessel fits, clear of the flame as the dish asks.

    `food` is covered as in that stage and `begin` its state when the stage begins.
    """
    outline = Outline.of(dish.vessel)
    mask = places.mask(outline, get_args(Place), dish.clear_of_flame)
    size_m = max(oven.design.hearth.width_m, oven.design.hearth.depth_m)
    step = raster(size_m)
    chosen = coarse([places.spots[p] for p in bits(mask)], step)
    found = []
    for number, spot in enumerate(chosen):
        tell(number / len(chosen))
        found.append(_at(oven, moment, seat(oven, spot), dish, stage, food, begin))
    return StageSpots(
        dish=dish.name,
        stage=dish.stages[stage].name,
        apart_m=math.hypot(*step) * STEP_M,
        target=target_of(dish.stages[stage]),
        colour_at_most=dish.colour_at_most,
        power_W=moment.power_W,
        spots=tuple(found),
    )


def raster(size_m: float) -> tuple[int, int]:
    """The finest raster with room for a figure at each place of a hearth so many metres across.

    >>> raster(1.0), raster(1.2), raster(1.4)
    ((2, 0), (2, 1), (2, 2))
    """
    wide = (step for step in RASTERS if math.hypot(*step) * STEP_M >= size_m / ACROSS)
    return next(wide, RASTERS[-1])


def coarse(spots: Sequence[Spot], step: tuple[int, int]) -> list[Spot]:
    """Those on a square raster turned as `step` says, then whatever is as far from all chosen ones."""
    if not spots:
        return []
    ordered = sorted(spots, key=lambda spot: (spot.y_m, spot.x_m))
    a, b = step
    n, apart_m = a * a + b * b, math.hypot(a, b) * STEP_M
    x0, y0 = ordered[0].x_m, ordered[0].y_m
    on, off = list[Spot](), list[Spot]()
    for spot in ordered:
        i, j = round((spot.x_m - x0) / STEP_M), round((spot.y_m - y0) / STEP_M)
        (off if (a * i + b * j) % n or (a * j - b * i) % n else on).append(spot)
    chosen: list[Spot] = []
    for spot in (*on, *off):
        if all(math.hypot(spot.x_m - c.x_m, spot.y_m - c.y_m) >= apart_m - 1e-9 for c in chosen):
            chosen.append(spot)
    return chosen


def _at(
    oven: Oven, moment: Moment, chair: Seat, dish: DishFile, i: int, food: Food, begin: FoodState
) -> SpotAnswer:
    stage, spot = dish.stages[i], chair.spot
    answer = respond(oven, moment, chair, food, begin, stage)
    colour, target = colour_steps(food, answer.state), target_of(stage)
    heat = heat_at(oven, moment, chair, stage)
    burnt: tuple[Face, float] | None = None
    if burn_margin_s(food, answer.state, heat, horizon_s=1.0) <= 0:
        seconds = LONGEST_S if answer.seconds is None else answer.seconds
        burnt = burns_first(oven, moment, chair, dish, i, food, begin, seconds)
        # Flips fall a little otherwise there than in the answer: what is burnt at its end has burnt by then.
        burnt = burnt or (darker(colour), seconds)
    gives = what_gives(
        done=answer.seconds is not None,
        burnt=None if burnt is None else burnt[0],
        too_dark=too_dark(colour, COLOUR_STEP[dish.colour_at_most]),
        core_short=target.core_C is not None and core_C(food, answer.state) < target.core_C,
        colour_short=target.colour is not None and colour.mean < target.colour,
        still=target.bubbling and not bubbling(food, answer.state),
    )
    return SpotAnswer(
        x_m=spot.x_m,
        y_m=spot.y_m,
        place=spot.zone,
        flame_m=spot.flame_m if math.isfinite(spot.flame_m) else None,
        wished=spot.zone in stage.places,
        seconds=answer.seconds if burnt is None else None,
        gives=gives,
        burns_s=None if burnt is None else burnt[1],
    )


def what_gives(
    done: bool, burnt: Face | None, too_dark: bool, core_short: bool, colour_short: bool, still: bool
) -> Gives:
    """What a cook meets first at a place: a face that burns, else done, else what is lacking at the end.

    >>> what_gives(True, None, False, False, False, False), what_gives(True, "top", True, False, False, False)
    ('done', 'top')
    >>> what_gives(False, None, False, True, False, False), what_gives(False, None, False, True, True, False)
    ('core', 'never')
    """
    if burnt is not None:
        return burnt
    if done:
        return "too dark" if too_dark else "done"
    if core_short and not (colour_short or still):
        return "core"
    return "colour" if colour_short and not (core_short or still) else "never"


def too_dark(colour: Colour, most: int) -> bool:
    """Whether any side is a whole step past the darkest wanted, as the plan's checks have it."""
    return max(colour.bottom, *colour.sectors) >= most + 1


def darker(colour: Colour) -> Face:
    """The darker face, by its darkest sector."""
    return "top" if max(colour.sectors) >= colour.bottom else "underside"


def burns_first(
    oven: Oven,
    moment: Moment,
    chair: Seat,
    dish: DishFile,
    i: int,
    food: Food,
    begin: FoodState,
    seconds: float,
) -> tuple[Face, float] | None:
    """Which face first is past dark within a stage of that length, and when [s]; None where none is.

    That one which was dark first: the scale ends there, and both may be when one goes on to burn.
    """
    heat, since = heat_at(oven, moment, chair, dish.stages[i]), dict[Face, float]()
    over, next_s, ahead_s = begin.over, 0.0, LOOK_S + STEP_S
    for step in walked(oven, moment, chair, food, begin, heat, timed(dish, i, seconds), seconds):
        colour = colour_steps(food, step.state)
        if step.state.over != over:
            over, since = step.state.over, {_other(face): at_s for face, at_s in since.items()}
        if max(colour.sectors) >= DARK:
            since.setdefault("top", step.time_s)
        if colour.bottom >= DARK:
            since.setdefault("underside", step.time_s)
        if step.time_s < next_s:
            continue
        next_s = step.time_s + LOOK_S
        margin_s = burn_margin_s(food, step.state, step.heat, ahead_s)
        if margin_s < ahead_s and step.time_s + margin_s <= seconds:
            first = min(since, key=lambda face: since[face]) if since else darker(colour)
            return first, step.time_s + margin_s
    return None


def _other(face: Face) -> Face:
    return "underside" if face == "top" else "top"
