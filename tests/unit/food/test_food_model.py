import math
import os
import subprocess
import sys

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.exposure import REST, Exposure, rest_exposure, rim_at
from hearthtide.food.grid import layer_grid, turned_over
from hearthtide.food.model import Food, FoodState, advance, flip, prepare, start
from hearthtide.food.spec import FoodLayer, Platter, Portion

HOT = Exposure("stone", 300.0, 14_000.0, (18_000.0, 14_000.0, 10_000.0, 14_000.0), 350.0)
STEAK = Portion(
    "steak", (FoodLayer("beef_strip", 0.025),), 0.025, 4.0, platter=Platter("cast_iron", 2.0, 0.04, 320.0)
)
PIZZA = Portion(
    "pizza",
    (FoodLayer("pizza_dough", 0.004), FoodLayer("tomato_sauce", 0.0015), FoodLayer("mozzarella", 0.003)),
    0.062,
    20.0,
    rim_thickness_m=0.016,
)
DIP = Portion(
    "dip", (FoodLayer("cheese_dip", 0.02),), 0.012, 4.0, platter=Platter("stoneware", 0.6, 0.013, 22.0)
)


def heat_J_m2(food: Food, state: FoodState) -> np.ndarray:
    """Heat stored per column above 0 °C."""
    cut = food.forms[state.over].cut
    stored = []
    for row, grid in zip(state.cells[: column.LUMP], cut.grids[cut.of], strict=True):
        capacity = grid[column.DRY] + column.WATER_J_kgK * row[column.WATER : column.PEAK]
        stored.append(float((capacity * row[: column.NODES]).sum()))
    return np.array(stored)


@pytest.mark.parametrize("portion", [STEAK, PIZZA, DIP], ids=lambda portion: portion.name)
def test_heat_taken_in_is_heat_stored_and_heat_gone_with_vapour_and_juice(portion):
    food = prepare(portion)
    state = start(food)
    before = heat_J_m2(food, state)
    for second in range(240):
        state = advance(food, state, HOT if second < 200 else REST, 1.0, facing_deg=second)
        if second == 100:
            state = flip(food, state)
    rows = state.cells[: column.LUMP]
    took, left = rows[:, column.HEAT], rows[:, column.LEFT]
    assert left.min() > 1e4
    assert heat_J_m2(food, state) - before == pytest.approx(took - left, abs=1e-9 * took.max())


@pytest.mark.parametrize("portion", [STEAK, DIP], ids=lambda portion: portion.name)
def test_the_platters_heat_closes(portion):
    food = prepare(portion)
    state = start(food)
    for _ in range(120):
        state = advance(food, state, HOT, 1.0)
    lump = state.cells[column.LUMP]
    stored = food.lump_J_K * (lump[column.LUMP_C] - portion.platter.start_C)
    came = lump[column.LUMP_FROM_BELOW] + lump[column.LUMP_FROM_FIRE] - lump[column.LUMP_TO_FOOD]
    assert stored == pytest.approx(came, rel=1e-9)
    assert state.base_C == lump[column.LUMP_C]


def test_platter_gives_the_food_what_its_bottom_takes():
    food = prepare(STEAK)
    cold = Exposure("stone", 300.0, 0.0, (0.0,) * 4, 20.0)
    state = advance(food, start(food), cold, 1.0)
    given = state.cells[column.LUMP, column.LUMP_TO_FOOD] / STEAK.area_m2
    assert given == pytest.approx(state.cells[0, column.HEAT], rel=0.01)


def test_small_steps_and_one_long_step_agree():
    food = prepare(PIZZA)
    long, short = start(food), start(food)
    long = advance(food, long, HOT, 60.0)
    for _ in range(600):
        short = advance(food, short, HOT, 0.1)
    inside = slice(2, column.NODES - 2)
    assert long.cells[0, inside] == pytest.approx(short.cells[0, inside], abs=1.0)


def test_the_state_cannot_be_changed_in_place():
    state = start(prepare(DIP))
    with pytest.raises(ValueError, match="read-only"):
        state.cells[0, 0] = 50.0


def test_cover_keeps_radiation_off():
    open_dip = prepare(DIP)
    lidded = prepare(Portion(DIP.name, DIP.layers, DIP.area_m2, DIP.start_C, DIP.platter, cover=1.0))
    bright = Exposure("stone", 22.0, 20_000.0, (20_000.0,) * 4, 22.0)
    assert advance(open_dip, start(open_dip), bright, 30.0).cells[0, column.NODES - 1] > 40
    assert advance(lidded, start(lidded), bright, 30.0).cells[0, column.NODES - 1] < 10


def test_the_sector_that_faces_the_flame_takes_most_and_turning_moves_it():
    food = prepare(PIZZA)
    straight = advance(food, start(food), HOT, 20.0).cells[1:5, column.HEAT]
    turned = advance(food, start(food), HOT, 20.0, facing_deg=90.0).cells[1:5, column.HEAT]
    assert int(np.argmax(straight)) == 0
    # A leading edge turned 90° clockwise: the sector at 270° now faces the flame.
    assert int(np.argmax(turned)) == 3
    assert turned[3] == pytest.approx(straight[0])


def test_rim_irradiance_between_quarters_is_linear_and_wraps():
    assert rim_at((8.0, 4.0, 2.0, 6.0), 315.0) == pytest.approx(7.0)
    assert rim_at((8.0, 4.0, 2.0, 6.0), -90.0) == pytest.approx(6.0)


def test_flip_exchanges_colour_and_temperature_of_the_faces():
    food = prepare(STEAK)
    state = advance(food, start(food), HOT, 120.0, facing_deg=30.0)
    over = flip(food, state)
    last = column.NODES - 1
    assert over.over
    assert over.cells[0, 0] == state.cells[0, last]
    assert over.cells[2, column.BROWN_BELOW] == state.cells[4, column.BROWN_ABOVE]
    assert over.base_C == state.base_C


def test_turned_grid_keeps_every_amount():
    grid = layer_grid(PIZZA.layers)
    over = turned_over(grid)
    assert over[:3].sum(axis=1) == pytest.approx(grid[:3].sum(axis=1))
    assert turned_over(over) == pytest.approx(grid)


def test_grid_keeps_the_thickness_and_each_layer_has_its_gaps():
    grid = layer_grid(PIZZA.layers)
    assert grid[column.GAP].sum() == pytest.approx(0.0085)
    assert grid[column.VOLUME].sum() == pytest.approx(0.0085)
    edges = np.cumsum(grid[column.GAP])
    for edge in (0.004, 0.0055):
        assert np.abs(edges - edge).min() < 1e-12


def test_what_the_oven_sees_is_food_and_bare_platter_by_area():
    food = prepare(STEAK)
    state = start(food)
    share = 0.025 / 0.04
    mean = (share * 277.15**4 + (1 - share) * 593.15**4) ** 0.25 - 273.15
    assert state.base_C == 320.0
    assert state.top_C == pytest.approx(mean)


def test_clay_passes_less_heat_than_iron():
    clay, iron = prepare(DIP), prepare(STEAK)
    assert clay.stone_conductance_W_m2K(start(clay)) < iron.stone_conductance_W_m2K(start(iron))


def test_food_on_a_board_leaves_its_platter_and_rests_wet():
    food = prepare(STEAK)
    hot = advance(food, start(food), HOT, 300.0)
    rested = advance(food, hot, REST, 60.0)
    assert not rested.on_platter
    assert rested.base_C == rested.cells[0, 0]
    assert rested.cells[column.LUMP, column.LUMP_C] == hot.cells[column.LUMP, column.LUMP_C]
    still = advance(food, hot, rest_exposure(22.0, "platter"), 60.0)
    assert still.on_platter
    assert still.base_C > rested.base_C


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"start_C": -10.0}, "ice"),
        ({"start_C": 120.0}, "start"),
        ({"area_m2": 0.0}, "area"),
        ({"sugar": 0.0}, "sugar"),
        ({"cover": 1.5}, "cover"),
        ({"layers": ()}, "layers"),
        ({"layers": (FoodLayer("butter", 0.5),)}, "thick"),
        ({"platter": Platter("cast_iron", 0.0, 0.04, 20.0)}, "platter"),
    ],
)
def test_portions_outside_the_model_are_refused(change, word):
    whole = {"name": "x", "layers": (FoodLayer("butter", 0.01),), "area_m2": 0.01, "start_C": 4.0}
    with pytest.raises(PhysicalRangeError, match=word):
        prepare(Portion(**{**whole, **change}))


@pytest.mark.parametrize(
    "change", [{"up_W_m2": -1.0}, {"up_W_m2": math.nan}, {"stone_C": 2000.0}, {"gas_C": math.nan}]
)
def test_exposures_outside_the_model_are_refused(change):
    whole = {"base": "stone", "stone_C": 300.0, "up_W_m2": 1e4, "rim_W_m2": (1e4,) * 4, "gas_C": 300.0}
    with pytest.raises(PhysicalRangeError, match="expected"):
        Exposure(**{**whole, **change})


def test_no_platter_no_platter_base_and_time_goes_forwards():
    food = prepare(PIZZA)
    with pytest.raises(PhysicalRangeError, match="no platter"):
        advance(food, start(food), rest_exposure(22.0, "platter"), 1.0)
    with pytest.raises(PhysicalRangeError, match="dt_s"):
        advance(food, start(food), HOT, 0.0)


PLAIN = """
import sys
sys.path.insert(0, sys.argv[1])
from test_food_model import HOT, STEAK, advance, flip, prepare, start
food = prepare(STEAK)
state = flip(food, advance(food, start(food), HOT, 20.0))
print(repr(advance(food, state, HOT, 10.0).cells.tolist()))
"""


def test_plain_python_and_compiled_loops_agree():
    here = os.path.dirname(__file__)
    plain = subprocess.run(
        [sys.executable, "-c", PLAIN, here],
        env={**os.environ, "NUMBA_DISABLE_JIT": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    food = prepare(STEAK)
    state = flip(food, advance(food, start(food), HOT, 20.0))
    compiled = advance(food, state, HOT, 10.0).cells
    rows = [[float(x) for x in row.split(",")] for row in plain.stdout.strip()[2:-2].split("], [")]
    assert compiled == pytest.approx(np.array(rows), rel=1e-9, abs=1e-9)


def test_steam_from_a_hot_wall_warms_the_fluid_above_and_goes_no_further_than_it_must():
    food = prepare(
        Portion("dip", (FoodLayer("cheese_dip", 0.02),), 0.02, 10.0, Platter("cast_iron", 3.0, 0.02, 250.0))
    )
    state = advance(food, start(food), Exposure("platter", 22.0, 0.0, (0.0,) * 4, 22.0), 40.0)
    boiling = state.cells[0, : column.NODES] >= column.NEARLY_BOILING_C
    assert boiling[:4].all()
    assert not boiling[-1]
    gone = food.forms[0].cut.grids[0][column.WATER_0].sum() - state.cells[0, column.WATER : column.PEAK].sum()
    # Every kilogram that boils at the wall condenses higher up while that is still cool.
    assert gone < 0.01


def test_raw_muscle_lets_juice_go_and_cooked_meat_does_not():
    lost = {}
    for name in ("chicken_breast_raw", "chicken_cooked"):
        food = prepare(Portion(name, (FoodLayer(name, 0.01),), 0.02, 80.0, cover=1.0))
        state = advance(food, start(food), Exposure("board", 80.0, 0.0, (0.0,) * 4, 80.0), 5.0)
        lost[name] = (
            food.forms[0].cut.grids[0][column.WATER_0].sum()
            - state.cells[0, column.WATER : column.PEAK].sum()
        )
    assert lost["chicken_breast_raw"] > 1.0
    assert lost["chicken_cooked"] == pytest.approx(0, abs=1e-9)
