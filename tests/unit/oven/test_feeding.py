"""Wood fed in splits as an oven's programme: no heat lost, its order and end, and an oven that runs on it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.combustion import fuel
from hearthtide.heat.wood import Split, fed_power_W, steady_ember_share, wood_fire_W, wood_heat_J
from hearthtide.oven.answers import course, left_at, ready
from hearthtide.oven.design import Burner, FlameLevel, Layer, Mouth
from hearthtide.oven.feeding import (
    FIRST_S,
    LONGEST_S,
    fed_program,
    shut_air_share,
    wood_rate_program,
)
from hearthtide.oven.flame import Fire
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import build_oven
from hearthtide.oven.program import power_at_W, rest_of, run_program
from small_oven import DESIGN

DOOR = (Layer("steel", 0.002), Layer("calcium_silicate", 0.04))
WOOD = replace(
    DESIGN,
    mouth=Mouth(0.5, 0.24, DOOR),
    burners=(Burner("bed", bearing_deg=-45.0, breadth_m=0.3, standoff_m=0.2),),
    fuel="wood",
    levels=(FlameLevel("low", 4e3), FlameLevel("high", 30e3)),
)
OVEN = build_oven(WOOD, QUICK)
COLD = OVEN.cold(22.0)
MOISTURE = 0.18

splits = st.lists(
    st.builds(Split, st.floats(-7200.0, 14400.0), st.floats(0.05, 5.0)), min_size=1, max_size=12
)


def energy_J(program):
    """Sum of power times how long it holds, by hand; the last pair must be out."""
    assert program[-1][1] == Fire(0.0)
    return math.fsum(fire.power_W * (end - start) for (start, fire), (end, _) in pairwise(program))


@given(laid=splits, moisture=st.floats(0.0, 0.5), span_s=st.floats(1.0, 20000.0))
def test_a_programme_has_the_heat_its_splits_burn(laid, moisture, span_s):
    """Against the two exponentials of each split integrated by hand:
    flames 1 - exp(-t/a), char 1 - (b exp(-t/b) - a exp(-t/a)) / (b - a), a = 480 s, b = 2400 s.
    """
    program = fed_program(laid, moisture, 0.0, span_s)
    value_J_kg = fuel("wood", moisture).calorific_J_kg
    share = steady_ember_share(moisture)

    def burnt(age_s: float) -> float:
        t = max(age_s, 0.0)
        a, b = math.exp(-t / 480), math.exp(-t / 2400)
        return (1 - share) * (1 - a) + share * (1 - (2400 * b - 480 * a) / 1920)

    expected = math.fsum(s.mass_kg * value_J_kg * (burnt(span_s - s.time_s) - burnt(-s.time_s)) for s in laid)
    whole = math.fsum(s.mass_kg for s in laid) * value_J_kg
    assert energy_J(program) == pytest.approx(expected, rel=1e-9, abs=1e-12 * whole)


@given(laid=splits, span_s=st.floats(1.0, 20000.0))
def test_a_programme_rises_in_time_and_never_cools(laid, span_s):
    program = fed_program(laid, MOISTURE, 0.0, span_s)
    starts = [start for start, _ in program]
    assert starts[0] == 0.0 and starts[-1] == span_s
    assert all(b > a for a, b in pairwise(starts))
    assert all(b - a <= LONGEST_S + 0.01 for a, b in pairwise(starts))
    assert all(fire.flame_W >= 0 and fire.embers_W >= 0 and fire.under_W == 0 for _, fire in program)


def test_order_of_the_splits_is_no_matter():
    laid = [Split(600.0, 1.0), Split(0.0, 2.0), Split(300.0, 0.5)]
    assert fed_program(laid, 0.2, 0.0, 5000.0) == fed_program(
        sorted(laid, key=lambda s: s.time_s), 0.2, 0.0, 5000.0
    )


def test_nothing_fed_is_a_fire_of_nothing():
    assert energy_J(fed_program((), MOISTURE, 0.0, 3600.0)) == 0.0
    assert energy_J(fed_program((Split(3600.0, 1.0),), MOISTURE, 0.0, 3600.0)) == 0.0
    assert wood_rate_program(3.0, 1.0, 0.0, 0.0 + 1.0)[0][1].power_W > 0


def test_nothing_burns_before_the_first_split():
    program = fed_program((Split(1000.0, 1.0),), MOISTURE, 0.0, 3000.0)
    assert {power_at_W(program, at) for at in (0.0, 500.0, 999.0)} == {0.0}
    assert power_at_W(program, 1000.0) > 15e3


def test_all_of_a_split_by_hand():
    """1 kg with 18 % moisture has 14.4 MJ; after 24 h nothing is left of it."""
    assert energy_J(fed_program((Split(0.0, 1.0),), 0.18, 0.0, 86400.0)) == pytest.approx(14.4e6, rel=5e-3)


def test_embers_glow_on_after_the_last_split():
    """After an hour flames are down to exp(-3600/480) = 0.06 %, embers fall by e in 2400 s from then on."""
    program = fed_program((Split(0.0, 1.0),), MOISTURE, 0.0, 4 * 3600.0)
    late = [(start, fire) for start, fire in program if start >= 3600.0][:-1]
    assert all(fire.embers_W > 30 * fire.flame_W for _, fire in late)
    (t0, first), (t1, last) = late[1], late[-2]
    assert math.log(first.embers_W / last.embers_W) == pytest.approx((t1 - t0) / 2400.0, rel=0.03)


def test_the_mean_of_each_interval_is_that_of_the_fire_itself():
    """Quadrature of `wood_fire_W` over every interval, flames and embers apart."""
    laid = (Split(-900.0, 1.0), Split(0.0, 0.8), Split(1300.0, 1.5))
    program = fed_program(laid, 0.25, 0.0, 3000.0)

    def release(which):
        return lambda t: float(wood_fire_W(laid, 0.25, np.array([t]))[which][0])

    for (start, fire), (end, _) in pairwise(program):
        for which, found_W in ((0, fire.flame_W), (1, fire.embers_W)):
            # Just inside the ends: a split's first moment belongs to its own interval.
            mean_W = quad(release(which), start, end - 1e-6)[0] / (end - start)
            assert found_W == pytest.approx(mean_W, rel=1e-5)


@pytest.mark.parametrize("constants", [(480.0, 480.0), (480.0, 480.001), (1e5, 1e6), (1.0, 1e6)])
def test_heat_between_edges_adds_up_for_any_constants(constants):
    edges = np.array([0.0, 1.0, 30.0, 400.0, 90000.0])
    flames, embers = wood_heat_J((Split(0.0, 1.0),), MOISTURE, edges, *constants)
    assert (flames >= 0).all() and (embers >= 0).all()
    whole = wood_heat_J((Split(0.0, 1.0),), MOISTURE, edges[[0, -1]], *constants)
    assert flames.sum() == pytest.approx(whole[0][0], rel=1e-9)
    assert embers.sum() == pytest.approx(whole[1][0], rel=1e-9)


def test_intervals_are_fine_after_a_split_and_coarse_later():
    program = fed_program((Split(0.0, 1.0), Split(7200.0, 1.0)), MOISTURE, 0.0, 14400.0)
    steps = {start: end - start for (start, _), (end, _) in pairwise(program)}
    assert steps[0.0] <= FIRST_S and steps[7200.0] <= FIRST_S
    assert max(steps.values()) > 300


def test_even_feeding_comes_to_the_fed_power():
    """Last of eight hours at 3 kg/h: 1 kg each 20 min, so three whole intervals; nine ember constants in."""
    program = wood_rate_program(3.0, 1.0, 0.0, 8 * 3600.0)
    last = rest_of(program, 7 * 3600.0)
    assert energy_J(last) / 3600 == pytest.approx(fed_power_W(3.0, 0.18), rel=5e-3)


def test_rest_of_a_programme():
    program = ((0.0, 1.0), (10.0, 2.0), (20.0, 0.0))
    assert rest_of(program, 5.0) == ((5.0, 1.0), (10.0, 2.0), (20.0, 0.0))
    assert rest_of(program, 10.0) == ((10.0, 2.0), (20.0, 0.0))
    with pytest.raises(PhysicalRangeError, match="before the programme's start"):
        rest_of(program, -1.0)


def test_an_oven_burns_what_the_programme_holds():
    """The ledger's fuel against the sum by hand, splits at odd seconds; all of it goes somewhere."""
    laid = tuple(Split(i * 3600 / 7, 0.7) for i in range(8))
    program = fed_program(laid, MOISTURE, 0.0, 4000.0)
    run = course(OVEN, COLD, program, 4000.0)
    assert run.ledger.fuel_J == pytest.approx(energy_J(program), rel=1e-12)
    assert abs(run.ledger.residual_J) < 1e-9 * run.ledger.fuel_J
    assert run.times_s[-1] == 4000.0 and run.stone_C[-1] > run.stone_C[0] + 30


def test_a_fire_of_one_power_is_that_flame():
    """One fire as a programme and the same as a power: the same rows."""
    fed = course(OVEN, COLD, ((0.0, OVEN.fire(20e3)),), 1800.0)
    plain = course(OVEN, COLD, 20e3, 1800.0)
    for name in ("times_s", "stone_C", "hottest_C", "near_C", "inner_C", "dome_C"):
        np.testing.assert_allclose(getattr(fed, name), getattr(plain, name), rtol=1e-12)


def test_no_fire_left_is_left_as_without():
    fed = left_at(OVEN, COLD, True, (1.0, 2.0), fire=fed_program((), MOISTURE, 0.0, 7200.0))
    plain = left_at(OVEN, COLD, True, (1.0, 2.0))
    np.testing.assert_allclose(fed.stone_C, plain.stone_C, rtol=1e-12)
    np.testing.assert_allclose(fed.given_up_J, plain.given_up_J, atol=1e-3)


def test_ready_on_fed_wood_stands_there_when_run_straight_through():
    program = wood_rate_program(6.0, 0.8, 0.0, 3 * 3600.0)
    found = ready(OVEN, COLD, program, 150.0, span_s=3 * 3600.0)
    run = found.course
    assert found.ready_s is not None and run.times_s[-1] - 60.0 <= found.ready_s <= run.times_s[-1]
    before, after = (course(OVEN, COLD, program, float(at), 3600.0) for at in run.times_s[-2:])
    assert before.stone_C[-1] < 150.0 <= after.stone_C[-1]


def test_one_split_never_makes_pizza_heat():
    found = ready(OVEN, COLD, fed_program((Split(0.0, 0.5),), 0.2, 0.0, 7200.0), 300.0, span_s=7200.0)
    assert found.ready_s is None and found.course.times_s[-1] == 7200.0


def test_intervals_are_fine_enough():
    """Halving every interval moves the stone by less than 0.5 K over an hour (own choice of a bound)."""
    laid = (Split(0.0, 1.0), Split(1200.0, 1.0), Split(2400.0, 1.0))
    program = fed_program(laid, MOISTURE, 0.0, 3600.0)
    edges = np.array([start for start, _ in program])
    halved = np.sort(np.concatenate([edges, (edges[1:] + edges[:-1]) / 2]))
    flames, embers = (part / np.diff(halved) for part in wood_heat_J(laid, MOISTURE, halved))
    finer = tuple(
        (float(t), Fire(float(f), float(e))) for t, f, e in zip(halved[:-1], flames, embers, strict=True)
    )
    coarse, fine = (run_program(OVEN, COLD, p, 3600.0, 5.0, 3600.0) for p in (program, finer))
    assert coarse.zone_C[-1] == pytest.approx(fine.zone_C[-1], abs=0.5)
    assert coarse.ledger.fuel_J == pytest.approx(fine.ledger.fuel_J, rel=1e-9)


def test_a_shut_door_leaves_a_small_fire_its_air_and_a_large_one_not():
    hot = course(OVEN, COLD, ((0.0, OVEN.fire(20e3)),), 3600.0).state
    assert shut_air_share(OVEN, hot, Fire(0.0)) == 1.0
    assert shut_air_share(OVEN, hot, Fire(0.0, 50.0)) == 1.0
    assert shut_air_share(OVEN, hot, Fire(10e3, 5e3)) < 0.5


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("until_s", lambda: fed_program((), 0.2, 0.0, 0.5)),
        ("from_s", lambda: fed_program((), 0.2, math.nan, 10.0)),
        ("split.mass_kg", lambda: fed_program((Split(0.0, 0.0),), 0.2, 0.0, 10.0)),
        ("split.time_s", lambda: fed_program((Split(math.inf, 1.0),), 0.2, 0.0, 10.0)),
        ("split.time_s", lambda: fed_program((Split(math.nan, 1.0),), 0.2, 0.0, 10.0)),
        ("moisture", lambda: fed_program((Split(0.0, 1.0),), 0.6, 0.0, 10.0)),
        ("ember_s", lambda: fed_program((Split(0.0, 1.0),), 0.2, 0.0, 10.0, 600.0, 300.0)),
        ("kg_h", lambda: wood_rate_program(0.0, 1.0, 0.0, 10.0)),
        ("split_kg", lambda: wood_rate_program(3.0, 0.0, 0.0, 10.0)),
        ("span_s", lambda: course(OVEN, COLD, ((0.0, 1e3),), 0.0)),
        ("every_s", lambda: course(OVEN, COLD, ((0.0, 1e3),), 10.0, 0.0)),
        ("aim_C", lambda: ready(OVEN, COLD, ((0.0, 1e3),), 5.0)),
        ("hours", lambda: left_at(OVEN, COLD, False, (99.0,), fire=((0.0, 1e3),))),
        ("layers of the door", lambda: shut_air_share(build_oven(DESIGN, QUICK), COLD, Fire(1e3))),
    ],
)  # fmt: skip
def test_what_cannot_be_fed(name, call):
    with pytest.raises(PhysicalRangeError, match=name):
        call()
