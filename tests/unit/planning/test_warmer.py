"""A night's minutes on warmer stone and under a higher flame, on the quick oven of a small house."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.model import OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.planning.build import build_problem, dish_stages
from hearthtide.planning.draw import Draw
from hearthtide.planning.flame import STEP_S, FlamePlan, Held, QuickNight
from hearthtide.planning.problem import Problem
from hearthtide.planning.response import Moment, night_choices
from hearthtide.planning.warmer import LAG_S, NightStove, raised, restaged
from small_night import clock, places_of, quick_oven, small_house, small_night

LOW, HALF, HIGH = FlameLevel("low", 7e3), FlameLevel("half", 14e3), FlameLevel("high", 22e3)
LEVELS = (LOW, HALF, HIGH)
LIT, FIRST = clock("14:00"), clock("18:00")


def test_a_plan_one_level_higher_for_a_while_is_as_it_was_before_and_after() -> None:
    plan = FlamePlan((Held(0, HALF), Held(600, LOW), Held(1200, HALF)), None)
    higher = raised(plan, LEVELS, 300, 900)
    assert higher is not None
    powers = [higher.power_W(t) for t in (0, 299, 300, 599, 600, 899, 900, 1199, 1200)]
    assert powers == [14e3, 14e3, 22e3, 22e3, 14e3, 14e3, 7e3, 7e3, 14e3]


def test_the_highest_flame_cannot_be_raised_nor_for_no_time() -> None:
    assert raised(FlamePlan((Held(0, HIGH),), None), LEVELS, 300, 900) is None
    assert raised(FlamePlan((Held(0, LOW),), None), LEVELS, 900, 900) is None


@pytest.fixture(scope="module")
def house() -> House:
    """The small house whose pizzas the models time."""
    found = small_house(cooks={"Cook": ("dress", "launch", "turn", "spin", "flip", "move", "pull", "cut")})
    pizza = found.dishes["pizza"]
    stages = tuple(stage.model_copy(update={"minutes": None}) for stage in pizza.stages)
    return found.model_copy(update={"dishes": {"pizza": pizza.model_copy(update={"stages": stages})}})


@pytest.fixture(scope="module")
def cold(house: House) -> OvenState:
    """The oven after an hour at 22 kW: its stone is not yet in its band."""
    oven = quick_oven(oven_design(house))
    state = oven.cold(25.0)
    for _ in range(3600 // STEP_S):
        state = advance(oven, state, 22e3, float(STEP_S)).state
    return state


def stove_of(house: House, state: OvenState, name: str) -> tuple[NightStove, Problem]:
    oven, places = quick_oven(oven_design(house)), places_of(house)
    level = level_of(house, name)
    moments = (Moment(state, level.power_W),)
    choices, stuck = night_choices(oven, house, places, moments)
    assert not stuck
    night = small_night(("A1", "18:00", "18:06", ("pizza",)))
    stove = NightStove(
        house=house,
        places=places,
        ahead=QuickNight(oven, Draw((), ())),
        flame=FlamePlan((Held(LIT, level),), None),
        moments=moments,
        stages=dish_stages(house, choices),
        ordered=frozenset({"pizza"}),
        ambient_C=25.0,
        lit_s=LIT,
        first_s=FIRST,
    )
    return stove, build_problem(house, night, places, choices)


def seconds(problem: Problem) -> int:
    return problem.orders[0].items[0].shortest_s


def median_C(house: House, state: OvenState) -> float:
    return float(np.median(state.floor_C[working_zone(quick_oven(oven_design(house)))]))


def test_on_stone_at_the_top_of_its_band_a_pizza_is_done_sooner(house, cold) -> None:
    assert median_C(house, cold) < house.oven.floor_band.low
    stove, problem = stove_of(house, cold, "high")
    assert seconds(stove.at_top(problem)) < seconds(problem)


def test_stone_that_is_warmer_already_stays_as_it_is(house, cold) -> None:
    by_C = house.oven.floor_band.high - median_C(house, cold) + 5
    hot = replace(cold, floor_C=cold.floor_C + by_C, floor_nodes_C=cold.floor_nodes_C + by_C)
    stove, problem = stove_of(house, hot, "high")
    assert stove.at_top(problem) == problem


def test_a_spot_given_by_hand_stays_the_only_one(house, cold) -> None:
    stove, problem = stove_of(house, cold, "high")
    item = problem.orders[0].items[0]
    (stage,) = item.stages
    first = stage.choices[0][0]
    spot = first.places & -first.places
    only = replace(stage, choices=((replace(first, places=spot),),))
    by_hand = replace(item, stages=(only,))
    warm = stove.at_top(problem).orders[0].items[0].stages
    (again,) = restaged(by_hand, stove.stages["pizza"], warm).stages
    assert [choice.places for row in again.choices for choice in row] == [spot]
    assert again.choices[0][0].seconds < first.seconds


def test_a_higher_flame_burns_its_own_power_for_as_long_as_it_is_up(house, cold) -> None:
    """From 18:00 (nobody is there sooner) until ten minutes before the end: 50 min one level up."""
    stove, problem = stove_of(house, cold, "low")
    up = stove.flame_up(problem, FIRST, FIRST + 3600)
    assert up is not None
    more_W = level_of(house, "half").power_W - level_of(house, "low").power_W
    assert up.fuel_kWh == pytest.approx((3600 - LAG_S) * more_W / 3.6e6)
    assert "18:00 to 18:50" in up.words


def level_of(house: House, name: str) -> FlameLevel:
    return next(level for level in oven_design(house).levels if level.name == name)


def test_a_flame_that_would_drive_the_stone_out_of_its_band_is_no_way_out(house, cold) -> None:
    """Held at full since 14:00 but for the rush, this stone is far over its band by 18:00."""
    stove, problem = stove_of(house, cold, "low")
    held = (Held(LIT, level_of(house, "full")), Held(FIRST - 600, level_of(house, "high")))
    hot = replace(stove, flame=FlamePlan(held, None))
    assert hot.flame_up(problem, FIRST, FIRST + 3600) is None


def test_the_changes_are_work_for_hands_that_do_the_flame(house, cold) -> None:
    stove, problem = stove_of(house, cold, "low")
    assert not problem.cooks_for("flame")
    up = stove.flame_up(problem, FIRST, FIRST + 3600)
    assert up is not None and up.problem.chores == ()
    doing = replace(problem, cooks=tuple(replace(c, acts=c.acts | {"flame"}) for c in problem.cooks))
    up = stove.flame_up(doing, FIRST, FIRST + 3600)
    assert up is not None
    assert [chore.wanted_s for chore in up.problem.chores] == [FIRST, FIRST + 3600 - LAG_S]
