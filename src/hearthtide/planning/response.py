"""How long a stage takes where: the food model run in the heat of a few typical spots of each zone."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hearthtide.food import column
from hearthtide.food.column import Floats
from hearthtide.food.cooking import Target, cook
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import Food, FoodState, prepare, start
from hearthtide.heat.columns import links
from hearthtide.house.files import portion
from hearthtide.house.models import COLOUR_STEP, House, StageFile
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.under import stone_under
from hearthtide.planning.build import StageChoices, banded, house_choices, stage_masks
from hearthtide.planning.exposure import Seat, evened, faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places, bits
from hearthtide.planning.problem import LEAST_STAGE_S, Choice

LONGEST_S = 2400.0  # a stage that takes longer than forty minutes is none for this hearth; own choice
STEP_S = 2.0
MARGIN_S, MARGIN = 4.0, 0.08  # a planned stage is this much longer, whichever is more; own choice
FLIPS_AGREE = 0.03  # share of its time by which a stage may miss the time its flips were set by; own choice
GROUPS = 3  # a zone's places by distance from the flame, each third with its own time


def with_margin(seconds: float) -> float:
    """The time to plan for a target met after `seconds`: a spot is seldom as rested as the one asked."""
    return max(float(LEAST_STAGE_S), seconds + max(MARGIN_S, MARGIN * seconds))


@dataclass(frozen=True)
class Moment:
    """The oven as the search may expect it in one half hour: its middle, and the mean flame."""

    state: OvenState
    power_W: float

    @property
    def kind(self) -> tuple[int, int]:
        """Moments alike share their answers: flame within some 2 kW, mean stone within some 6 °C."""
        return round(self.power_W / 2000), round(float(self.state.floor_C.mean()) / 6)


@dataclass(frozen=True)
class Answer:
    """One stage at one spot: seconds until its target, None when it is never met; the food and the face of
    the stone under it then [°C], and when it was turned over.
    """

    seconds: float | None
    state: FoodState
    stone_C: float
    flip_at_s: tuple[float, ...]


def target_of(stage: StageFile) -> Target:
    until = stage.until
    colour = None if until.colour is None else COLOUR_STEP[until.colour]
    return Target(until.core, colour, until.bubbling)


def heat_at(oven: Oven, moment: Moment, chair: Seat, stage: StageFile) -> Exposure:
    """What an item first meets at a spot; evened out where the stage turns it."""
    faces = faces_W_m2(oven, moment.state, moment.power_W, [chair])[0]
    heat = stone_exposure(float(chair.under @ moment.state.floor_C), faces, moment.state.gas_C)
    return evened(heat) if stage.turns or stage.spins else heat


def respond(
    oven: Oven,
    moment: Moment,
    chair: Seat,
    food: Food,
    state: FoodState,
    stage: StageFile,
    guess_s: float | None = None,
) -> Answer:
    """Cook one stage at a spot, radiation as at that moment, the stone under it cooling as it cooks.

    `guess_s` is what it took in like heat, where that is known: see `respond_in`.
    """
    heat, stone = heat_at(oven, moment, chair, stage), stone_below(oven, moment.state, chair.under)
    return respond_in(food, state, stage, heat, stone, guess_s)


def respond_in(
    food: Food,
    state: FoodState,
    stage: StageFile,
    heat: Exposure,
    stone: Floats,
    guess_s: float | None = None,
) -> Answer:
    """Cook one stage in one heat over a column of stone (`column.STONE_ROWS`, nodes).

    Flips fall at their fractions of the time the stage then takes: first guessed by `guess_s`, or by what it
    takes without, then asked three times at most. A guess that leads to no target, or to none that agrees,
    is forgotten.
    """
    target, flips = target_of(stage), tuple[float, ...]()
    guessed, agreed = guess_s is not None and stage.flips != (), False
    if guess_s is None or not guessed:
        stretch = cook(food, state, heat, target, LONGEST_S, flips, stone)
        guess_s = stretch.seconds
    for _ in range(3 if stage.flips else 0):
        flips = tuple(f * guess_s for f in stage.flips)
        stretch = cook(food, state, heat, target, LONGEST_S, flips, stone)
        agreed = stretch.met and abs(stretch.seconds - guess_s) <= FLIPS_AGREE * guess_s
        if agreed or not stretch.met:
            break
        guess_s = stretch.seconds
    if guessed and not agreed:
        return respond_in(food, state, stage, heat, stone)
    return Answer(stretch.seconds if stretch.met else None, stretch.state, stretch.stone_C, flips)


def stone_below(oven: Oven, state: OvenState, under: Floats) -> Floats:
    """The column of stone under those shares of the cells (n,) as `food.column` runs it (STONE_ROWS, nodes).

    Its properties are held as they are then.
    """
    stone = stone_under(oven, state, under)
    at = links(oven.floor_wall, stone.nodes_C[:, 0], oven.design.coefficients.outer_film_W_m2K)
    below = np.zeros((column.STONE_ROWS, len(stone.nodes_C)))
    below[column.STONE_C] = stone.nodes_C[:, 0]
    below[column.STONE_J_M2K] = at.capacity_J_m2K
    below[column.STONE_LINK] = np.concatenate(([at.surface_W_m2K], at.link_W_m2K))
    below[column.STONE_BACK, -1], below[column.STONE_BEHIND_C] = at.back_W_m2K, stone.ambient_C
    return below


def night_choices(
    oven: Oven, house: House, places: Places, moments: tuple[Moment, ...]
) -> tuple[StageChoices, dict[tuple[str, int], str]]:
    """Places and seconds for every stage in every half hour, and reasons for stages with none at all.

    A stage for which the house states minutes uses them as they are, a preheat always.
    """
    table: dict[tuple[str, int], tuple[tuple[Choice, ...], ...]] = {}
    stuck: dict[tuple[str, int], str] = {}
    kinds = [moment.kind for moment in moments]
    typical = {kind: moment for kind, moment in zip(kinds, moments, strict=True)}
    for key, dish in house.dishes.items():
        given = [house_choices(dish, i, places) for i in range(len(dish.stages))]
        took: dict[int, float] = {}
        asked = {
            kind: _dish(oven, house, places, key, moment, took)
            for kind, moment in (typical.items() if None in given else ())
        }
        for i, stage in enumerate(dish.stages):
            table[key, i] = given[i] or tuple(asked[kind][i].choices for kind in kinds)
            if given[i] is None and not all(table[key, i]):
                whys = (asked[kind][i].why_not for kind in kinds if not asked[kind][i].choices)
                stuck[key, i] = f"{stage.name}: {next(whys)}"
            elif not all(table[key, i]):
                stuck[key, i] = f"{stage.name}: no such place on this hearth"
    return table, stuck


@dataclass(frozen=True)
class _Found:
    """One stage's choices at one moment, and why there are none."""

    choices: tuple[Choice, ...]
    why_not: str


def _dish(
    oven: Oven, house: House, places: Places, key: str, moment: Moment, took: dict[int, float]
) -> list[_Found]:
    """All stages of a dish at one moment; each begins as the one before typically ends.

    `took` is what they took when they were last asked, one after the other, and is brought up to date.
    """
    asked = 0
    dish = house.dishes[key]
    food = prepare(portion(house, key))
    begin, found = start(food), []
    for i, stage in enumerate(dish.stages):
        if stage.preheat:
            found.append(_Found((), "no such place on this hearth"))  # no food yet: the house's own minutes
            continue
        food = covered(food, stage)
        choices: list[Choice] = []
        why, end = "no such place on this hearth", begin
        for rank, mask in enumerate(stage_masks(dish, i, places)):
            for group in thirds(places, mask):
                chair = seat(oven, places.spots[group[len(group) // 2]])
                asked += 1
                answer = respond(oven, moment, chair, food, begin, stage, took.get(asked))
                if answer.seconds is None:
                    took.pop(asked, None)
                    why = f"not done within {LONGEST_S / 60:.0f} min"
                    continue
                took[asked] = answer.seconds
                end = end if choices else answer.state
                seconds = round(with_margin(answer.seconds))
                choices.append(banded(Choice(seconds, sum(1 << p for p in group), rank), stage))
        found.append(_Found(tuple(choices), why))
        begin = end
    return found


def covered(food: Food, stage: StageFile) -> Food:
    """The food with this stage's lid or foil over it."""
    return replace(food, portion=replace(food.portion, cover=stage.covered))


def middle_spot(places: Places, mask: int) -> int:
    """The place in the middle of a mask's, from nearest the flame to farthest."""
    ordered = sorted(bits(mask), key=lambda p: (places.spots[p].flame_m, p))
    return ordered[len(ordered) // 2]


def thirds(places: Places, mask: int) -> list[list[int]]:
    """The places of a mask in up to three groups, from nearest the flame to farthest."""
    ordered = sorted(bits(mask), key=lambda p: (places.spots[p].flame_m, p))
    size = -(-len(ordered) // GROUPS)
    return [ordered[k : k + size] for k in range(0, len(ordered), size)] if ordered else []
