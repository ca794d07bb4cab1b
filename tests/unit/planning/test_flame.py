"""Which flame to hold when, on the quick oven and short spans."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from hearthtide.house.files import oven_design
from hearthtide.oven.design import FlameLevel
from hearthtide.planning.draw import NOTHING, Draw, DrawNow
from hearthtide.planning.flame import DECIDE_S, FlamePlan, Held, QuickNight, govern, states_at
from small_night import clock, quick_oven, small_house

HOUSE = small_house()
OVEN = quick_oven(oven_design(HOUSE))
BAND = HOUSE.oven.floor_band
LIT = clock("14:00")
IDLE = QuickNight(OVEN, Draw((), ()))
FIVE_PIZZAS = DrawNow(5 * 0.0616, 125.0, 190.0, 110.0)
LOW, HIGH = FlameLevel("low", 7_000.0), FlameLevel("high", 22_000.0)


@pytest.fixture(scope="module")
def idle_plan() -> FlamePlan:
    return govern(IDLE, BAND, 25.0, LIT, LIT + 6 * 3600)


@pytest.mark.parametrize("covered_m2", [0.01, 0.0616, 0.2, 0.45])
@pytest.mark.parametrize("time_s", [0, 1234, 9000])
def test_the_load_covers_what_the_draw_says(covered_m2: float, time_s: int) -> None:
    night = QuickNight(OVEN, Draw((0.0,), (DrawNow(covered_m2, 125.0, 190.0, 110.0),)))
    load = night.load(time_s)
    assert load.cover.sum() * OVEN.cell_area_m2 == pytest.approx(covered_m2)
    assert (load.cover[0, ~night.zone] == 0).all()
    assert load.cover.max() <= 1
    assert (load.conductance_W_m2K[0], load.base_C[0], load.top_C[0]) == (125.0, 190.0, 110.0)


def test_food_never_covers_more_than_the_stone_there_is() -> None:
    night = QuickNight(OVEN, Draw((0.0,), (DrawNow(5.0, 125.0, 190.0, 110.0),)))
    load = night.load(0)
    assert load.cover.max() <= 1
    assert load.cover[0, night.zone].mean() <= 0.81


def test_food_moves_on_to_other_stone() -> None:
    night = QuickNight(OVEN, Draw((0.0,), (FIVE_PIZZAS,)))
    early, later = night.load(0).cover[0], night.load(600).cover[0]
    assert early.sum() == pytest.approx(later.sum())
    assert not np.array_equal(early, later)


def test_no_draw_no_load() -> None:
    assert IDLE.load(LIT).items == 0
    assert QuickNight(OVEN, Draw((0.0,), (NOTHING,))).load(100).items == 0


def test_cold_stone_gets_a_large_flame(idle_plan: FlamePlan) -> None:
    assert idle_plan.held[0].start_s == LIT
    assert idle_plan.power_W(LIT) >= 22_000.0


def test_hot_stone_gets_a_smaller_flame(idle_plan: FlamePlan) -> None:
    assert idle_plan.ready_s is not None
    assert idle_plan.power_W(idle_plan.ready_s + 1800) < idle_plan.power_W(LIT)


def test_an_idle_oven_stays_in_the_band(idle_plan: FlamePlan) -> None:
    assert idle_plan.ready_s is not None
    times = tuple(range(idle_plan.ready_s + 1200, LIT + 6 * 3600, 300))
    states = states_at(IDLE, 25.0, LIT, idle_plan, times)
    free = [IDLE.free_C(state, t) for state, t in zip(states, times, strict=True)]
    assert min(free) >= BAND.low - 15
    assert max(free) <= BAND.high + 15


def test_ready_is_when_the_stone_is_first_inside_the_band(idle_plan: FlamePlan) -> None:
    ready = idle_plan.ready_s
    assert ready is not None
    before, then = states_at(IDLE, 25.0, LIT, idle_plan, (ready - DECIDE_S, ready))
    assert np.median(before.floor_C[IDLE.zone]) < BAND.low
    assert np.median(then.floor_C[IDLE.zone]) >= BAND.low


def test_food_on_the_stone_asks_for_more_flame(idle_plan: FlamePlan) -> None:
    from_s = LIT + 4 * 3600
    rush = QuickNight(OVEN, Draw((float(from_s),), (FIVE_PIZZAS,)))
    busy = govern(rush, BAND, 25.0, LIT, LIT + 6 * 3600)
    span = range(from_s, LIT + 6 * 3600, 60)
    heat = [sum(plan.power_W(t) for t in span) / len(span) for plan in (busy, idle_plan)]
    assert heat[0] > 1.2 * heat[1]


def test_flames_are_the_houses_own_and_change_at_decisions(idle_plan: FlamePlan) -> None:
    levels = OVEN.design.levels
    assert all(held.level in levels for held in idle_plan.held)
    assert all((held.start_s - LIT) % DECIDE_S == 0 for held in idle_plan.held)
    for before, after in pairwise(idle_plan.held):
        assert before.start_s < after.start_s
        assert before.level != after.level


def test_a_flame_too_small_never_gets_ready() -> None:
    weak = small_house(
        oven={"flames": [{"name": "pilot", "power": "1 kW"}, {"name": "low", "power": "2 kW"}]}
    )
    night = QuickNight(quick_oven(oven_design(weak)), Draw((), ()))
    assert govern(night, BAND, 25.0, LIT, LIT + 2 * 3600).ready_s is None


def test_progress_goes_up() -> None:
    told: list[float] = []
    govern(IDLE, BAND, 25.0, LIT, LIT + 3600, told.append)
    assert told == sorted(told)
    assert len(told) == 6
    assert 0 <= told[0] < told[-1] < 1


def test_power_in_force() -> None:
    plan = FlamePlan((Held(100, LOW), Held(700, HIGH)), None)
    assert [plan.power_W(t) for t in (0, 100, 699.9, 700, 9000)] == [7000, 7000, 7000, 22000, 22000]


def test_states_follow_one_another() -> None:
    plan = FlamePlan((Held(LIT, HIGH),), None)
    early, late = states_at(IDLE, 25.0, LIT, plan, (LIT, LIT + 1200))
    assert early.floor_C == pytest.approx(25.0)
    (direct,) = states_at(IDLE, 25.0, LIT, plan, (LIT + 1200,))
    assert late.floor_C == pytest.approx(direct.floor_C)
    ran, _ = IDLE.run(OVEN.cold(25.0), LIT, 1200, HIGH)
    assert late.floor_C == pytest.approx(ran.floor_C)
