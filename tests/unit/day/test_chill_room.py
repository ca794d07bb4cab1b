"""A cold room as one lump of air and metal: against closed forms, and every joule accounted for."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from cold_units import HALVES, HOUR_S, US, WALK_IN
from hearthtide.day.chill_room import Body, Leg, face_m2, run_units
from hearthtide.errors import PhysicalRangeError
from hearthtide.food.chill_methods import FAN_RACK, ChillMethod
from hearthtide.food.chilling import ToChill, chill, passed_s
from hearthtide.food.composition import heat_capacity_J_kgK

DRY = ChillMethod("dry", 3.0, 16.0, 16.0, "no", "by hand")


def one(kg, what=HALVES, core_C=75.0, method=FAN_RACK, since_s=0.0):
    return Body(what, kg, core_C, since_s, (Leg(0, method),), (48 * HOUR_S,))


def test_an_empty_room_comes_to_its_room_as_one_lump_does():
    # T = T_end + (T_0 - T_end) exp(-t UA / C), T_end = outside - taken / UA: closed form.
    unit = replace(WALK_IN, takes_W=400.0, gain_W=600.0)
    run = run_units((unit,), (), 0.0, 2 * HOUR_S, 1.0)
    gains = 600.0 / 22.0
    end_C = 25.0 - 400.0 / gains
    for at_s in (600, 1800, 3600, 7200):
        exact_C = end_C + (3.0 - end_C) * math.exp(-at_s * gains / unit.holds_J_K)
        assert run.air_C[0][at_s] == pytest.approx(exact_C, abs=0.005)


def test_a_warm_room_is_pulled_down_at_full_power_and_then_held():
    # The same closed form downwards; from the set air on only what comes in is taken away.
    unit = replace(WALK_IN, takes_W=1500.0)
    run = run_units((unit,), (), 0.0, 4 * HOUR_S, 1.0, begin_C=[20.0])
    gains = 600.0 / 22.0
    end_C = 25.0 - 1500.0 / gains
    when_s = unit.holds_J_K / gains * math.log((20.0 - end_C) / (3.0 - end_C))
    assert float(np.interp(-3.001, -run.air_C[0], run.times_s)) == pytest.approx(when_s, rel=0.002)
    assert run.taken_J[0][-1] == pytest.approx(600.0)
    assert run.air_C[0].min() == pytest.approx(3.0)


def test_a_closed_box_and_a_thin_body_come_together_as_two_lumps():
    # (T_b - T_a) falls as exp(-hA (1/C_a + 1/C_b) t); end at the mean by heat capacity: closed form. The body
    # conducts so well that it is one lump; the 1 W that a unit takes at the least is counted at the end.
    unit = replace(WALK_IN, air_C=-1.0, takes_W=1.0, gain_W=0.0, holds_J_K=40e3)
    what = ToChill("tomato_sauce", 0.01, conducts=1000.0)
    body = one(5.0, what, 34.0, DRY)
    run = run_units((unit,), (body,), 0.0, 2 * HOUR_S, 2.0, begin_C=[26.0])
    heat = heat_capacity_J_kgK(what.stuff.composition, 31.0) * 5.0
    follows = 2 * 16.0 * face_m2(what, DRY, 5.0)
    rate = follows * (1 / heat + 1 / 40e3)
    end_C = (heat * 34.0 + 40e3 * 26.0 - 2 * HOUR_S * 1.0) / (heat + 40e3)
    for at_s in (300, 900, 1800):
        n = at_s // 2
        gap_K = run.core_C[0][n] - run.air_C[0][n]
        assert gap_K == pytest.approx(8.0 * math.exp(-rate * at_s), rel=0.02, abs=0.01)
    assert run.air_C[0][-1] == pytest.approx(end_C, abs=0.03)


def test_every_joule_is_accounted_for():
    units = (replace(WALK_IN, takes_W=900.0), replace(WALK_IN, key="other", air_C=1.0))
    bodies = (one(12.0), one(6.0, since_s=1800.0), Body(
        HALVES, 5.0, 80.0, 600.0, (Leg(0, FAN_RACK), Leg(1, FAN_RACK)), (3600.0, 48 * HOUR_S)
    ))  # fmt: skip
    run = run_units(units, bodies, 0.0, 9 * HOUR_S)
    for room, unit in enumerate(units):
        came_J = (unit.gain_W_K * (unit.room_C - run.air_C[room][1:]) * run.step_s).sum()
        held_J = unit.holds_J_K * (run.air_C[room][-1] - run.air_C[room][0])
        left = came_J + run.given_J[room].sum() - run.taken_J[room].sum() - held_J
        assert abs(left) < 1e-9 * run.given_J[room].sum()
        assert run.taken_J[room].max() <= unit.takes_W * run.step_s * (1 + 1e-9)
        assert run.taken_J[room].min() >= 0


def test_what_food_gives_off_is_its_heat_capacity_over_the_way():
    # Mass times the integral of Choi and Okos' heat capacity from start to end; the grid's fixed volumes (its
    # density is that of 20 °C) leave up to two in a hundred.
    run = run_units((replace(WALK_IN, takes_W=5000.0),), (one(10.0),), 0.0, 24 * HOUR_S)
    food = HALVES.stuff.composition
    expected_J = 10.0 * quad(lambda at_C: heat_capacity_J_kgK(food, at_C), run.core_C[0][-1], 75.0)[0]
    assert run.given_J[0].sum() == pytest.approx(expected_J, rel=0.02)


@pytest.mark.parametrize("mark_C", [57.0, 21.0, 5.0])
def test_in_air_that_holds_food_chills_as_it_does_alone(mark_C):
    # The food model is the other side: it knows no room. Steps of 60 s against 5 s: within 90 s,
    # near the end, where the core creeps towards the air, within 1 %.
    run = run_units((replace(WALK_IN, takes_W=1e5),), (one(1.0),), 0.0, 8 * HOUR_S)
    alone = chill(HALVES, 75.0, FAN_RACK, US)
    expected_s = passed_s(alone.times_s, alone.core_C, mark_C)
    assert passed_s(run.times_s, run.core_C[0], mark_C) == pytest.approx(expected_s, abs=90, rel=0.01)


def test_more_hot_food_warms_the_air_more_and_takes_longer():
    few, many = (
        run_units((replace(WALK_IN, takes_W=900.0),), (one(kg),), 0.0, 8 * HOUR_S) for kg in (4.0, 30.0)
    )
    assert many.air_C.max() > few.air_C.max() + 2
    assert many.core_C[0][180] > few.core_C[0][180] + 0.5


def test_melting_ice_holds_whatever_is_put_in_and_counts_the_heat():
    unit = replace(WALK_IN, held=True, air_C=0.5)
    run = run_units((unit,), (one(8.0, method=replace(FAN_RACK, air_C=0.5)),), 0.0, 6 * HOUR_S)
    assert np.ptp(run.air_C) == 0
    assert run.taken_J.sum() == pytest.approx(run.given_J.sum())


def test_steps_are_shortened_where_the_air_holds_little():
    light = run_units((replace(WALK_IN, holds_J_K=1e3),), (one(30.0),), 0.0, HOUR_S)
    assert light.step_s < 30
    swings = np.diff(np.sign(np.diff(light.air_C[0][light.times_s > 600])))
    assert np.count_nonzero(swings) <= 2


@pytest.mark.parametrize("step_s", [0.5, 500.0])
def test_a_step_out_of_range_is_refused(step_s):
    with pytest.raises(PhysicalRangeError):
        run_units((WALK_IN,), (), 0.0, 4 * HOUR_S, step_s)
