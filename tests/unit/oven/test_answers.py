"""What a cook asks of the oven: answers that hold when they are run, and sums done by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.columns import links
from hearthtide.heat.combustion import NATURAL_GAS, PROPANE, fuel
from hearthtide.oven.answers import (
    ahead,
    course,
    holding_power_W,
    left_at,
    ready,
    usable_again,
)
from hearthtide.oven.design import FlameLevel, Layer, Mouth
from hearthtide.oven.footprint import Disc
from hearthtide.oven.grid import QUICK
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import OvenState, build_oven
from hearthtide.oven.program import Placed, run_program
from hearthtide.oven.readings import (
    Price,
    fuel_of,
    measured_state,
    overnight_state,
    settled_state,
    spread,
    where_between,
)
from hearthtide.oven.zones import working_zone
from small_oven import DESIGN

DOOR = (Layer("steel", 0.002), Layer("calcium_silicate", 0.04))
OVEN = build_oven(replace(DESIGN, mouth=Mouth(0.5, 0.24, DOOR)), QUICK)
OPEN = build_oven(DESIGN, QUICK)
WEAK = build_oven(replace(DESIGN, levels=(FlameLevel("low", 1e3), FlameLevel("high", 5e3))), QUICK)
TOP_W, LOW_W, AIM_C = 26e3, 2.4e3, 350.0
COLD = OVEN.cold(22.0)


@pytest.fixture(scope="module")
def settled() -> OvenState:
    return settled_state(OVEN, AIM_C, 3.0, 22.0)


def median_C(state: OvenState) -> float:
    return float(np.median(state.floor_C[working_zone(OVEN)]))


def test_the_stone_is_ready_when_it_says():
    """The same oven run straight through to that time stands at the aim."""
    found = ready(OVEN, COLD, TOP_W, AIM_C)
    assert found.ready_s is not None
    straight = run_program(OVEN, COLD, ((0.0, TOP_W),), found.ready_s, 2.0, 600.0).state
    assert median_C(straight) == pytest.approx(AIM_C, abs=1.5)


def test_more_flame_or_a_lower_aim_is_sooner_and_no_flame_never():
    times = [ready(OVEN, COLD, power, AIM_C).ready_s for power in (22e3, 26e3, 34e3)]
    assert times == sorted(times, reverse=True)
    assert ready(OVEN, COLD, TOP_W, 250.0).ready_s < times[1]
    assert ready(OVEN, COLD, 0.0, AIM_C).ready_s is None


def test_last_nights_oven_is_ready_sooner_the_more_so_with_its_door_on():
    shut = overnight_state(OVEN, AIM_C, shut=True, ambient_C=22.0)
    off = overnight_state(OVEN, AIM_C, shut=False, ambient_C=22.0)
    times = [ready(OVEN, state, TOP_W, AIM_C).ready_s for state in (shut, off, COLD)]
    assert times == sorted(times)


def test_a_night_leaves_about_what_the_trade_finds(settled):
    """Door on, well insulated: 180 to 260 °C in the morning; no door: 88 °C after 18.5 h (common practice, no
    source). Neither says from what heat, nor the first after how long: 20 and 25 K are allowed for that.
    """
    assert 160.0 <= left_at(OVEN, settled, True, (10.0,)).stone_C[0] <= 280.0
    assert left_at(OVEN, settled, False, (18.5,)).stone_C[0] == pytest.approx(88.0, abs=25.0)


def test_the_holding_flame_holds(settled):
    """Run for the 40 minutes it was asked for, stone that stood at the aim stands there again."""
    found = holding_power_W(OVEN, settled, AIM_C)
    assert found.power_W is not None and LOW_W < found.power_W < TOP_W
    trace = run_program(OVEN, settled, ((0.0, found.power_W),), 2400.0, 5.0, 300.0)
    assert median_C(trace.state) == pytest.approx(AIM_C, abs=0.5)
    assert abs(trace.zone_C - trace.zone_C[0]).max() < 5.0
    assert found.level.name == ("low" if found.power_W < (LOW_W + TOP_W) / 2 else "high")


def test_no_flame_holds_what_is_out_of_reach(settled):
    cool, hot = holding_power_W(OVEN, COLD, 300.0), holding_power_W(OVEN, settled, 100.0)
    assert (cool.power_W, cool.too_hot, cool.level.name) == (None, False, "high")
    assert (hot.power_W, hot.too_hot, hot.level.name) == (None, True, "low")


def test_turned_down_further_is_usable_sooner(settled):
    hot = course(OVEN, settled, TOP_W, 1800.0).state
    found = [usable_again(OVEN, hot, TOP_W, power, 370.0) for power in (LOW_W, 5e3, 8e3)]
    halves = [turn.half_s for turn in found]
    assert all(half is not None and half > 0 for half in halves)
    assert halves == sorted(halves) and halves[0] < halves[-1]
    for turn in found:
        assert turn.all_s is None or turn.half_s <= turn.all_s
        assert turn.kept.stone_C[-1] > turn.turned.stone_C[-1]
    assert usable_again(OVEN, hot, TOP_W, LOW_W, 390.0).half_s < halves[0]


def test_out_is_not_much_slower_than_the_lowest_flame(settled):
    """A flame adds heat, so without one the stone should be usable no later than at the lowest.

    A known miss: it is up to half as long again, because nothing but a flame stirs the gas of this model, and
    without one the upper layer stands still over hot stone.
    """
    hot = course(OVEN, settled, TOP_W, 1800.0).state
    out, low = (usable_again(OVEN, hot, TOP_W, power, 370.0).half_s for power in (0.0, LOW_W))
    assert 0.5 * low < out < 1.5 * low


def test_with_the_door_on_no_less_is_left(settled):
    hours = (0.0, 1.0, 4.0, 8.0)
    shut, off = left_at(OVEN, settled, True, hours), left_at(OVEN, settled, False, hours)
    assert np.all(shut.stone_C >= off.stone_C) and np.all(shut.dome_C[1:] > off.dome_C[1:])
    for left in (shut, off):
        assert np.all(np.diff(left.stone_C) < 0) and np.all(np.diff(left.given_up_J) > 0)
        assert left.stone_C[0] == pytest.approx(median_C(settled)) and left.given_up_J[0] == 0


@pytest.mark.parametrize("shut", [True, False])
def test_what_the_stone_gave_up_went_somewhere(settled, shut):
    """First law: what stone and dome lost left with gas, through mouth or door, or through the shell."""
    left = left_at(OVEN, settled, shut, (6.0,))
    spent = left.course.ledger
    assert spent.fuel_J == 0 and min(spent.flue_J, spent.mouth_J, spent.shell_J) > 0
    gone = spent.flue_J + spent.mouth_J + spent.shell_J
    assert gone == pytest.approx(left.given_up_J[0], rel=0.02)


def test_a_door_passes_on_what_its_layers_let_through(settled):
    """Steel 2 mm at 45 W/mK, calcium silicate 40 mm, film 10 W/m²K: 2 to 3 W/m²K over 0.12 m² (hand sum).

    Its inner face cannot be hotter than the dome it faces, so 8 h pass at most 3 * 0.12 * 330 K * 8 h.
    """
    spent = left_at(OVEN, settled, True, (8.0,)).course.ledger
    assert 0 < spent.mouth_J < 3 * 0.12 * 330 * 8 * 3600


def test_pizzas_cool_the_stone_ahead(settled):
    under = Placed(Disc(0.2, 0.35, 0.3), 0.0, 1800.0, 125.0, 190.0, 110.0)
    bare, loaded = ahead(OVEN, settled, 12e3), ahead(OVEN, settled, 12e3, (under,))
    assert list(bare.times_s) == [300.0 * i for i in range(7)]
    assert loaded.stone_C[-1] < bare.stone_C[-1]
    assert np.all(bare.near_C > bare.stone_C)
    assert loaded.ledger.food_J > 0 == bare.ledger.food_J


def test_fuel_by_hand():
    """10 kW for an hour: 10 kWh, 36 MJ: 36/49.2 kg of natural gas (NIST TN 1926), 1 m³ at 36 MJ/m³."""
    run = course(OVEN, COLD, 10e3, 3600.0)
    used = fuel_of(run.ledger, NATURAL_GAS, 36e6, Price(0.12, "kWh"))
    assert used.energy_kWh == pytest.approx(10.0, rel=1e-9)
    assert used.mass_kg == pytest.approx(36 / 49.2, rel=1e-9)
    assert used.volume_m3 == pytest.approx(1.0, rel=1e-9)
    assert used.cost == pytest.approx(1.20, rel=1e-9)
    trace = run_program(OVEN, COLD, ((0.0, 10e3),), 3600.0, 5.0, 600.0)
    assert fuel_of(trace, PROPANE, 88e6, Price(3.0, "m3")).cost == pytest.approx(3.0 * 36 / 88, rel=1e-9)


def test_wood_is_weighed_not_metered():
    """14.4 MJ/kg at 18 % moisture: 1 kg/h is 4 kW (the combustion tests derive it from oxygen)."""
    used = fuel_of(Ledger(fuel_J=14.4e6), fuel("wood"), None, Price(0.30, "kg"))
    assert used.mass_kg == pytest.approx(1.0, rel=0.01) and used.volume_m3 is None
    assert used.cost == pytest.approx(0.30, rel=0.01)
    with pytest.raises(PhysicalRangeError, match="m3"):
        fuel_of(Ledger(fuel_J=1e6), fuel("wood"), None, Price(0.30, "m3"))


def test_shares_of_the_fuel_add_up():
    spent = course(OVEN, COLD, TOP_W, 7200.0).ledger
    parts = (spent.floor_J, spent.dome_J, spent.flue_J, spent.mouth_J, spent.shell_J)
    assert sum(parts) / spent.fuel_J == pytest.approx(1.0, abs=0.005)
    assert min(parts) > 0


def test_where_the_stone_lies(settled):
    every = where_between(OVEN, settled, -50.0, 1000.0)
    assert every.share == 1.0 and every.inside.all()
    assert where_between(OVEN, settled, -50.0, 0.0).share == 0.0
    middle = every.median_C
    low, high = where_between(OVEN, settled, -50.0, middle), where_between(OVEN, settled, middle, 1000.0)
    assert low.share == pytest.approx(0.5, abs=0.01) and high.share == pytest.approx(0.5, abs=0.01)
    assert OVEN.cells_m[high.inside, 1].mean() > OVEN.cells_m[low.inside, 1].mean()  # the mouth is cool


def test_a_soaked_reading_carries_one_flux_through_every_layer():
    """Steady conduction: what enters each depth leaves it, and leaves the back by its film."""
    state = measured_state(OVEN, 200.0, 22.0, 1.0)
    nodes = state.floor_nodes_C[:, OVEN.stone.where[0]]
    film = OVEN.design.coefficients.outer_film_W_m2K
    at = links(OVEN.floor_wall, nodes, film)
    fluxes = [at.surface_W_m2K * (200.0 - nodes[0]), *(at.link_W_m2K * (nodes[:-1] - nodes[1:]))]
    fluxes.append(at.back_W_m2K * (nodes[-1] - 22.0))
    assert np.allclose(fluxes, fluxes[0], rtol=0.005)
    assert np.all(state.floor_C == 200.0)


def test_the_less_soaked_the_later_ready():
    states = [measured_state(OVEN, 200.0, 22.0, share) for share in (1.0, 0.3, 0.05)]
    assert np.all(np.diff([state.floor_nodes_C.mean() for state in states]) < 0)
    times = [ready(OVEN, state, TOP_W, AIM_C).ready_s for state in states]
    assert times == sorted(times) and times[0] < times[-1]
    assert times[-1] < ready(OVEN, COLD, TOP_W, AIM_C).ready_s


def test_priors_lie_about_the_oven_and_leave_it_alone(settled):
    def heated_C(oven):
        return course(oven, settled, TOP_W, 1800.0).stone_C

    own = heated_C(OVEN)
    low, high = spread(OVEN, heated_C, burning=True)
    assert np.all(low <= own) and np.all(own <= high) and high[-1] - low[-1] > 1.0
    assert np.array_equal(heated_C(OVEN), own)


@pytest.mark.parametrize(
    ("ask", "names"),
    [
        (lambda s: ready(OVEN, s, TOP_W, 900.0), "aim_C"),
        (lambda s: ready(OVEN, s, -1.0, AIM_C), "power_W"),
        (lambda s: ahead(OVEN, s, TOP_W, minutes=0.0), "minutes"),
        (lambda s: holding_power_W(OVEN, s, float("nan")), "aim_C"),
        (lambda s: usable_again(OVEN, s, LOW_W, TOP_W, 370.0), "turned down to"),
        (lambda s: usable_again(OVEN, s, TOP_W, TOP_W, 370.0), "turned down to"),
        (lambda s: left_at(OVEN, s, True, (100.0,)), "hours"),
        (lambda s: left_at(OVEN, s, True, (4.0, 1.0)), "steps"),
        (lambda s: left_at(OPEN, s, True, (1.0,)), "door"),
        (lambda s: overnight_state(OVEN, AIM_C, hours=0.0), "hours"),
        (lambda s: settled_state(WEAK, AIM_C), "top flame"),
        (lambda s: measured_state(OVEN, 10.0, 22.0, 1.0), "floor_C"),
        (lambda s: measured_state(OVEN, 200.0, 22.0, 0.0), "soaked_share"),
        (lambda s: where_between(OVEN, s, 300.0, 300.0), "high_C"),
        (lambda s: fuel_of(Ledger(fuel_J=1.0), NATURAL_GAS, None, Price(-1.0, "kWh")), "price"),
    ],
)
def test_what_cannot_be_asked(ask, names):
    with pytest.raises(PhysicalRangeError, match=names):
        ask(COLD)
