"""How long stone rests after bare dough: the oven run under one pie, beside the same oven without it.

The spot counts as back when it is within `BACK_WITHIN_C` of what it would be had nothing lain there. It
comes back fast at first, from the stone below, and ever more slowly after.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.food import model as food_model
from hearthtide.food.model import Food, FoodState, prepare, start
from hearthtide.house.files import portion
from hearthtide.house.models import House
from hearthtide.oven.advance import advance
from hearthtide.oven.load import Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.planning.build import StageChoices
from hearthtide.planning.exposure import Seat, faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Choice
from hearthtide.planning.response import Moment, middle_spot

# As closely as a stone is read and held at all (common practice, no source), as for the floor's band.
BACK_WITHIN_C = 15.0
LONGEST_S = 900  # the most a house may write down itself; stone that takes longer rests so long
UNDER_DT_S = 4.0  # as the verifier steps under food
AFTER_DT_S, AFTER_STEPS = 5.0, 4  # looked at every 20 s and in between by a straight line; own choice


@dataclass(frozen=True)
class Rest:
    """A spot after bare dough: how much colder it was left than without [°C], seconds until it is back.

    `back` is False where it was not within `LONGEST_S`.
    """

    colder_C: float
    seconds: int
    back: bool


@dataclass(frozen=True)
class Baking:
    """Bare dough at one spot: its food as it goes on, for how long it lies there, under which flame."""

    chair: Seat
    food: Food
    begin: FoodState
    seconds: float
    power_W: float


def rest_after(oven: Oven, state: OvenState, baking: Baking, within_C: float = BACK_WITHIN_C) -> Rest:
    """The rest of one spot after one pie.

    Both ovens, with the pie and without, run from `state` under the same flame; what differs under the pie
    is the pie's doing alone. Raises ValueError for `within_C` or `seconds` that are not positive.
    """
    if not (within_C > 0 and baking.seconds > 0):
        raise ValueError(f"within_C {within_C}, seconds {baking.seconds}: expected both above 0")
    food, chair = baking.begin, baking.chair
    used, bare, gone_s = state, state, 0.0
    while gone_s < baking.seconds - 1e-9:
        dt_s = min(UNDER_DT_S, baking.seconds - gone_s)
        load = _load(chair, baking.food, food)
        faces = faces_W_m2(oven, used, baking.power_W, [chair], load)[0]
        heat = stone_exposure(float(chair.under @ used.floor_C), faces, used.gas_C)
        food = food_model.advance(baking.food, food, heat, dt_s)
        used = advance(oven, used, baking.power_W, dt_s, load).state
        bare = advance(oven, bare, baking.power_W, dt_s).state
        gone_s += dt_s
    colder_C = left_C = _colder_C(chair, used, bare)
    rested_s, before_C = 0.0, left_C
    while left_C > within_C and rested_s < LONGEST_S:
        used, bare = (
            advance(oven, each, baking.power_W, AFTER_DT_S, steps=AFTER_STEPS).state for each in (used, bare)
        )
        rested_s += AFTER_DT_S * AFTER_STEPS
        before_C, left_C = left_C, _colder_C(chair, used, bare)
    if left_C > within_C:
        return Rest(colder_C, LONGEST_S, False)
    past = (within_C - left_C) / (before_C - left_C) if before_C > left_C else 0.0
    return Rest(colder_C, math.ceil(rested_s - past * AFTER_DT_S * AFTER_STEPS), True)


def _load(chair: Seat, food: Food, state: FoodState) -> Load:
    facts = (food.stone_conductance_W_m2K(state), state.base_C, state.top_C)
    return Load(chair.cover[None, :], *(np.array([fact]) for fact in facts))


def _colder_C(chair: Seat, used: OvenState, bare: OvenState) -> float:
    return float(chair.under @ (bare.floor_C - used.floor_C))


def with_rests(
    oven: Oven, house: House, places: Places, moments: tuple[Moment, ...], choices: StageChoices
) -> StageChoices:
    """The choices of bare dough with the rest of their stone, per zone and half hour (`Choice.recovery_s`).

    Each zone is asked at its middle spot. A later stage's food is taken as cold as it went in: it draws no
    more than that. Dishes in a vessel leave no rest behind and stay as they are.
    """
    found = dict(choices)
    for (key, stage), by_bin in choices.items():
        if house.dishes[key].vessel.kind == "stone":
            asked = _Asked(oven, house, places, key)
            bins = by_bin * len(moments) if len(by_bin) == 1 else by_bin
            found[key, stage] = tuple(
                tuple(asked.rested(choice, moment) for choice in row)
                for row, moment in zip(bins, moments, strict=True)
            )
    return found


class _Asked:
    """One dish's rests; moments alike (`response.kind`) and one zone are asked once."""

    def __init__(self, oven: Oven, house: House, places: Places, key: str) -> None:
        self.oven, self.places = oven, places
        self.food = prepare(portion(house, key))
        self.known: dict[tuple[int, int, int, int], int] = {}

    def rested(self, choice: Choice, moment: Moment) -> Choice:
        spot = middle_spot(self.places, choice.places)
        at = (*moment.kind, spot, choice.seconds)
        if at not in self.known:
            chair = seat(self.oven, self.places.spots[spot])
            baking = Baking(chair, self.food, start(self.food), choice.seconds, moment.power_W)
            self.known[at] = rest_after(self.oven, moment.state, baking).seconds
        return replace(choice, recovery_s=self.known[at])
