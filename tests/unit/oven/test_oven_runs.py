"""Runs of an oven: order in time, many steps in one call, food on the stone, the door overnight."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hearthtide.heat.materials import material
from hearthtide.heat.radiation import STEFAN_BOLTZMANN_W_m2K4
from hearthtide.oven.advance import advance
from hearthtide.oven.design import Layer, Mouth
from hearthtide.oven.footprint import Disc
from hearthtide.oven.grid import QUICK, Grid
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.program import Placed, certified, run_program
from hearthtide.oven.zones import floor_C_at
from small_oven import DESIGN


@cache
def oven(grid: Grid) -> Oven:
    return build_oven(DESIGN, grid)


def test_certified_run_is_second_order_and_its_estimate_bounds_the_error() -> None:
    """Richardson on a first-order scheme: halving the step quarters the error (theory).

    Measured against the same run in far smaller steps; what air flows lag behind belongs to both.
    """
    kiln, program = oven(QUICK), ((0.0, 26_000.0),)
    fine, _ = certified(kiln, kiln.cold(25.0), program, 960.0, 0.5, 240.0)
    for name in ("floor_mean_C", "dome_C"):
        errors = []
        for dt in (30.0, 15.0, 7.5):
            best, estimate = certified(kiln, kiln.cold(25.0), program, 960.0, dt, 240.0)
            away = abs(getattr(best, name) - getattr(fine, name))
            errors.append(away[-1])
            assert np.all(away[1:] < getattr(estimate, name)[1:])
            assert getattr(estimate, name)[0] == 0
        assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.2)
        assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.2)


def test_steps_in_one_call_are_single_steps() -> None:
    """A call keeps air flows and wall properties as they stood at its beginning; single calls look anew.

    In an oven long alight both change little over a few seconds, so the ways differ by little of the rise.
    """
    kiln = oven(QUICK)
    state = run_program(kiln, kiln.cold(25.0), ((0.0, 26_000.0),), 3600.0, 5.0, 600.0).state
    for _ in range(40):
        state = advance(kiln, state, 26_000.0, 0.5).state
    together, ledger, apart = advance(kiln, state, 26_000.0, 2.0, steps=4), Ledger(), state
    for _ in range(4):
        step = advance(kiln, apart, 26_000.0, 2.0)
        apart, ledger = step.state, ledger + step.ledger
    rise = together.state.floor_C - state.floor_C
    assert rise.mean() > 0.1
    np.testing.assert_allclose(together.state.floor_C, apart.floor_C, atol=0.003 * rise.mean())
    np.testing.assert_allclose(together.state.dome_C, apart.dome_C, atol=0.003 * rise.mean())
    assert together.ledger.fuel_J == ledger.fuel_J == 8 * 26_000.0
    for name in ("floor_J", "dome_J", "flue_J", "mouth_J"):
        assert getattr(together.ledger, name) == pytest.approx(getattr(ledger, name), rel=0.005)


def test_stone_under_food_falls_and_recovers() -> None:
    """A cold base draws the stone down by more than its surroundings, and the fire brings it back."""
    kiln = oven(QUICK)
    hot = run_program(kiln, kiln.cold(25.0), ((0.0, 26_000.0),), 5400.0, 10.0, 600.0).state
    spot = np.array([[0.1, 0.7]])
    food = Placed(Disc(0.1, 0.7, 0.3), 0.0, 120.0, 300.0, 60.0, 90.0)
    ends = []
    for until in (120.0, 720.0):
        program = ((0.0, 12_000.0),)
        fed = run_program(kiln, hot, program, until, 2.0, 60.0, placed=(food,))
        bare = run_program(kiln, hot, program, until, 2.0, 60.0)
        ends.append([float(floor_C_at(kiln, run.state, spot)[0]) for run in (fed, bare)])
        assert abs(fed.ledger.residual_J) < 1e-9 * fed.ledger.fuel_J
        assert fed.ledger.food_J > 0 == bare.ledger.food_J
    (under, beside), (later, untouched) = ends
    assert under < beside - 30
    assert later > under + 10
    assert untouched - later < (beside - under) / 3


DOORED = replace(DESIGN, mouth=Mouth(0.5, 0.24, (Layer("fibre_blanket", 0.05),)))


@cache
def doored() -> tuple[Oven, OvenState]:
    """An oven with a door, fired for two hours."""
    kiln = build_oven(DOORED, QUICK)
    return kiln, run_program(kiln, kiln.cold(20.0), ((0.0, 26_000.0),), 7200.0, 10.0, 600.0).state


def test_door_keeps_the_heat_overnight() -> None:
    kiln, hot = doored()
    open_, shut = (
        run_program(kiln, hot, ((0.0, 0.0),), 8 * 3600.0, 10.0, 3600.0, shut_from_s=when)
        for when in (float("inf"), 0.0)
    )
    assert shut.floor_mean_C[-1] > open_.floor_mean_C[-1] + 20
    assert shut.dome_C[-1] > open_.dome_C[-1] + 20
    assert shut.ledger.mouth_J < open_.ledger.mouth_J / 2
    assert np.all(np.diff(shut.floor_mean_C[1:]) < 0)


@pytest.mark.parametrize("dt_s", [2.0, 10.0, 30.0])
def test_putting_the_door_on_makes_no_heat(dt_s: float) -> None:
    """A dead oven's door is never hotter than what it faces nor sends in more than it takes (2nd law)."""
    kiln, state = doored()
    for _ in range(8):
        hottest = max(state.floor_C.max(), state.dome_C.max(), state.upper_C)
        step = advance(kiln, state, 0.0, dt_s, shut=True)
        state = step.state
        assert state.mouth_C.max() <= hottest
        # The face is one step behind what falls on it, as all surfaces are: 5 % of what the room can send.
        assert step.ledger.mouth_J > -0.05 * dt_s * 0.12 * STEFAN_BOLTZMANN_W_m2K4 * (hottest + 273.15) ** 4


def test_shut_door_passes_on_what_it_takes() -> None:
    """Late in the night heat through the door is k (T - room) by hand: 1 / (0.05 m / k + 1 / 10)."""
    kiln, state = doored()
    state = run_program(kiln, state, ((0.0, 0.0),), 4 * 3600.0, 10.0, 3600.0, shut_from_s=0.0).state
    step = advance(kiln, state, 0.0, 10.0, shut=True)
    conductance = 1 / (0.05 / float(material("fibre_blanket").conductivity_W_mK(200.0)) + 0.1)
    through = conductance * (kiln.mouth_area_m2 @ (state.mouth_C - 20.0)) * 10.0
    assert step.ledger.mouth_J == pytest.approx(float(through), rel=0.05)
