"""What the oven model is asked of a falling night: its sums of fuel by hand, and what any oven must do."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hearthtide.day.falling_oven import BURN_S, model_falls, propped_share_h, relit_gas, relit_wood
from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.combustion import fuel
from hearthtide.oven.answers import course
from hearthtide.oven.design import Burner, Layer
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import build_oven
from hearthtide.oven.readings import measured_state
from small_oven import DESIGN

ROOM_C = 20.0
DOOR = (Layer("steel", 0.002), Layer("calcium_silicate", 0.04))


@cache
def oven(kind="wood"):
    design = replace(DESIGN, mouth=replace(DESIGN.mouth, door=DOOR))
    if kind == "wood":
        bed = Burner("bed", bearing_deg=-60.0, breadth_m=0.28, standoff_m=0.18)
        design = replace(design, fuel="wood", burners=(bed,))
    return build_oven(design, QUICK)


def test_wood_that_burns_gives_the_heat_it_has_but_for_the_embers_raked_out():
    """2 kg at 18 % water have 2 x its net value; after forty minutes some char is left: 80 to 100 %."""
    whole_kWh = 2 * fuel("wood", 0.18).calorific_J_kg / 3.6e6
    run = relit_wood(oven(), 220.0, ROOM_C, 2.0, 3600.0, True)
    assert 0.8 * whole_kWh < run.kWh < whole_kWh
    assert (run.kg, run.burn_s, run.from_C) == (2.0, BURN_S, 220.0)
    assert run.stone_C[0] == pytest.approx(220.0) and run.times_s[-1] == BURN_S + 3600


def test_more_wood_leaves_a_hotter_stone_and_a_shut_door_keeps_it():
    ends = [float(relit_wood(oven(), 220.0, ROOM_C, kg, 3600.0, True).stone_C[-1]) for kg in (1, 2, 4)]
    assert ends == sorted(ends) and ends[2] - ends[0] > 10
    assert float(relit_wood(oven(), 220.0, ROOM_C, 2, 3600.0, False).stone_C[-1]) < ends[1] - 5


def test_gas_burns_its_power_for_its_time():
    """26 kW for a quarter of an hour: 6.5 kWh."""
    run = relit_gas(oven("gas"), 220.0, ROOM_C, 900.0, 1800.0, True)
    assert run.kWh == pytest.approx(6.5, rel=0.01) and run.kg == 0
    assert float(np.interp(900.0, run.times_s, run.stone_C)) > 220


def test_a_propped_door_lets_more_out_than_a_shut_and_less_than_none():
    """The open mouth's own share beside it: ln of the excesses after eight hours, shut over open, an hour."""
    ajar = propped_share_h(oven(), 200.0, ROOM_C)
    state = measured_state(oven(), 200.0, ROOM_C, 1.0)
    shut, none = (
        float(course(oven(), state, 0.0, 8 * 3600.0, shut=shut).stone_C[-1]) - ROOM_C
        for shut in (True, False)
    )
    assert 0.005 < ajar < np.log(shut / none) / 8
    assert propped_share_h(oven(), 200.0, ROOM_C, 0.10) < ajar
    with pytest.raises(PhysicalRangeError, match="gap"):
        propped_share_h(oven(), 200.0, ROOM_C, 0.01)


def test_a_night_by_the_model_falls_faster_open_than_shut():
    out_s, door_s, end_s = 79_200.0, 81_000.0, 108_000.0
    falls = model_falls(oven(), 320.0, out_s, door_s, end_s, ROOM_C)
    for fall in falls.values():
        assert fall.source == "the oven model" and (np.diff(fall.times_s) > 0).all()
        assert (fall.low_C <= fall.value_C).all() and (fall.value_C <= fall.high_C).all()
        assert fall.times_s[0] == out_s and fall.times_s[-1] == end_s
    stone = falls["stone"]
    half_h_open = float(stone.at_C(out_s) - stone.at_C(door_s))
    half_h_shut = float(stone.at_C(door_s + 3600) - stone.at_C(door_s + 5400))
    assert half_h_open > 2 * half_h_shut
    assert float(falls["dome"].at_C(out_s)) > float(stone.at_C(out_s)), "in service the dome is the hotter"
