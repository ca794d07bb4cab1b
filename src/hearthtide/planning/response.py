"""How long a stage takes where: the food model run in the heat of a few typical spots of each zone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hearthtide.food.cooking import Target, cook
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import Food, FoodState, prepare, start
from hearthtide.food.outcome import burn_margin_s, colour_steps
from hearthtide.house.files import portion
from hearthtide.house.models import COLOUR_STEP, House, StageFile
from hearthtide.oven.model import Oven, OvenState
from hearthtide.planning.build import StageChoices, house_choices, stage_masks
from hearthtide.planning.exposure import evened, faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places, bits
from hearthtide.planning.problem import Choice

LONGEST_S = 2400.0
GROUPS = 3  # a zone's places by distance from the flame, each third with its own time


@dataclass(frozen=True)
class Moment:
    """The oven as the search may expect it in one half hour."""

    state: OvenState
    power_W: float


@dataclass(frozen=True)
class Answer:
    """One stage at one spot: seconds until its target, or None with the reason there is none."""

    seconds: float | None
    why_not: str
    state: FoodState


def target_of(stage: StageFile) -> Target:
    until = stage.until
    colour = None if until.colour is None else COLOUR_STEP[until.colour]
    return Target(until.core, colour, until.bubbling)


def respond(food: Food, state: FoodState, stage: StageFile, exposure: Exposure, most: int) -> Answer:
    """Cook one stage in steady heat; flips fall at their fractions of the time it then takes.

    `most` is the colour step nothing may go beyond. A spot where the target is met only after
    something is past dark, or never, gives no seconds.
    """
    if stage.turns or stage.spins:
        exposure = evened(exposure)
    seconds = 300.0
    stretch = cook(food, state, exposure, target_of(stage), LONGEST_S, dt_s=2.0)
    if stage.flips:
        for _ in range(3):
            flips = tuple(fraction * seconds for fraction in stage.flips)
            stretch = cook(food, state, exposure, target_of(stage), LONGEST_S, flips, 2.0)
            if abs(stretch.seconds - seconds) <= 0.03 * seconds:
                break
            seconds = stretch.seconds
    if not stretch.met:
        return Answer(None, f"not done in {LONGEST_S / 60:.0f} min", stretch.state)
    if burn_margin_s(food, stretch.state, exposure, 10.0) <= 0:
        return Answer(None, "burnt before it is done", stretch.state)
    colour = colour_steps(food, stretch.state)
    if max(colour.mean, colour.bottom) >= most + 1:
        return Answer(None, "darker than the dish allows before it is done", stretch.state)
    return Answer(max(10.0, stretch.seconds), "", stretch.state)


def night_choices(
    oven: Oven, house: House, places: Places, moments: tuple[Moment, ...], own_minutes: bool = True
) -> tuple[StageChoices, dict[tuple[str, int], str]]:
    """Places and seconds for every stage in every half hour, and reasons for stages with none at all.

    With `own_minutes` a stage for which the house states minutes uses them as they are.
    """
    table: dict[tuple[str, int], tuple[tuple[Choice, ...], ...]] = {}
    stuck: dict[tuple[str, int], str] = {}
    for key, dish in house.dishes.items():
        food = prepare(portion(house, key))
        begins: list[FoodState] = [start(food)] * len(moments)
        for i, stage in enumerate(dish.stages):
            given = house_choices(dish, i, places) if own_minutes else None
            found = (
                [
                    _stage_choices(oven, house, places, key, i, moment, food, begin)
                    for moment, begin in zip(moments, begins, strict=True)
                ]
                if given is None or i + 1 < len(dish.stages)
                else []
            )
            table[key, i] = given or tuple(choices for choices, _, _ in found)
            begins = [state for _, _, state in found]
            if not all(table[key, i]):
                stuck[key, i] = f"{stage.name}: " + next(why for choices, why, _ in found if not choices)
    return table, stuck


def _stage_choices(
    oven: Oven, house: House, places: Places, key: str, i: int, moment: Moment, food: Food, begin: FoodState
) -> tuple[tuple[Choice, ...], str, FoodState]:
    """Choices of one stage in one half hour, why there are none, and a typical state at its end."""
    dish = house.dishes[key]
    stage = dish.stages[i]
    most = COLOUR_STEP[dish.colour_at_most]
    food = covered(food, stage)
    choices: list[Choice] = []
    why, end = "no such place on this hearth", begin
    for rank, mask in enumerate(stage_masks(dish, i, places)):
        for group in thirds(places, mask):
            middle = group[len(group) // 2]
            chair = seat(oven, places.spots[middle])
            faces = faces_W_m2(oven, moment.state, moment.power_W, [chair])[0]
            stone_C = float(chair.under @ moment.state.floor_C)
            answer = respond(food, begin, stage, stone_exposure(stone_C, faces, moment.state.gas_C), most)
            if answer.seconds is None:
                why = answer.why_not
                continue
            if not choices:
                end = answer.state
            choices.append(Choice(round(answer.seconds), sum(1 << p for p in group), rank))
    return tuple(choices), why, end


def covered(food: Food, stage: StageFile) -> Food:
    """The food with this stage's lid or foil over it."""
    return replace(food, portion=replace(food.portion, cover=stage.covered))


def thirds(places: Places, mask: int) -> list[list[int]]:
    """The places of a mask in up to three groups, from nearest the flame to farthest."""
    ordered = sorted(bits(mask), key=lambda p: (places.spots[p].flame_m, p))
    size = -(-len(ordered) // GROUPS)
    return [ordered[k : k + size] for k in range(0, len(ordered), size)] if ordered else []
