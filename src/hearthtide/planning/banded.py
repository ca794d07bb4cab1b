"""One stage at one spot with its band: the heat as `response` finds it, met by every member."""

from __future__ import annotations

from dataclasses import replace

from hearthtide.food.band import Cooked, Event, Member, cook_all, cover_all
from hearthtide.food.model import Food, FoodState, advance, flip
from hearthtide.house.models import StageFile
from hearthtide.oven.model import Oven
from hearthtide.oven.program import run_program
from hearthtide.oven.under import cooled, stone_under
from hearthtide.planning.exposure import Seat
from hearthtide.planning.response import LONGEST_S, STEP_S, Moment, heat_at, target_of

EVERY_S = 10.0  # the stone under an item is taken as steady this long; own choice
# How long a flame that is turned to burns before the food comes in: gas and flame follow within seconds, the
# skins of dome and stone within minutes, their depth within hours. Own choice.
TURNED_S = 300.0


def turned_to(oven: Oven, moment: Moment, power_W: float) -> Moment:
    """The oven five minutes after its flame was turned to another power."""
    program = ((0.0, power_W),)
    trace = run_program(oven, moment.state, program, TURNED_S, dt_s=2.0, record_every_s=TURNED_S)
    return Moment(trace.state, power_W)


def course_of(
    oven: Oven,
    moment: Moment,
    chair: Seat,
    food: Food,
    state: FoodState,
    stage: StageFile,
    seconds: float | None,
) -> tuple[Event, ...]:
    """The heat at a spot as a stage of about `seconds` (None: the longest) goes on, for twice that time.

    The stone cools under the portion as it is written down; a member draws a little more or less heat from
    it, which is left out. Flips fall at their fractions of `seconds`.
    """
    expected_s = LONGEST_S if seconds is None else seconds
    heat, stone = heat_at(oven, moment, chair, stage), stone_under(oven, moment.state, chair.under)
    flips = sorted(fraction * expected_s for fraction in stage.flips)
    events, waiting, now_s = [Event(at_s, flip=True) for at_s in flips], list(flips), 0.0
    while now_s < min(LONGEST_S, 2 * expected_s + EVERY_S):
        while waiting and waiting[0] <= now_s:
            state = flip(food, state)
            waiting.pop(0)
        heat = replace(heat, stone_C=stone.face_C)
        if now_s % EVERY_S == 0.0:
            events.append(Event(now_s, heat))
        state = advance(food, state, heat, STEP_S)
        stone = cooled(oven, stone, food.stone_conductance_W_m2K(state), state.base_C, STEP_S)
        now_s += STEP_S
    return tuple(sorted(events, key=lambda event: event.at_s))


def cook_stage(
    members: tuple[Member, ...], states: tuple[FoodState, ...], course: tuple[Event, ...], stage: StageFile
) -> Cooked:
    """Every member through one stage, covered as the stage has it, forty minutes at most."""
    open_to = cover_all(members, stage.covered)
    return cook_all(open_to, course, target_of(stage), LONGEST_S, states, STEP_S)
