import math

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.colour import STANDARD, browning_for, colour_difference, step
from hearthtide.food.cooking import Target, cook, reached, trace
from hearthtide.food.exposure import REST, Exposure
from hearthtide.food.model import FoodState, advance, flip, prepare, start
from hearthtide.food.outcome import (
    Colour,
    bubbling,
    burn_margin_s,
    colour_steps,
    core_C,
    top_colour,
    weight_loss,
)
from hearthtide.food.spec import Body, FoodLayer, Platter, Portion

HOT = Exposure("stone", 300.0, 14_000.0, (18_000.0, 14_000.0, 10_000.0, 14_000.0), 350.0)
FLAT = prepare(Portion("flatbread", (FoodLayer("dough", 0.006),), 0.05, 20.0))
ROUND = prepare(
    Portion("half bird", (FoodLayer("chicken_breast_raw", 0.05),), 0.02, 20.0, body=Body("dome", 0.09, 0.6))
)
RIMMED = prepare(Portion("pizza", (FoodLayer("pizza_dough", 0.004),), 0.05, 20.0, rim_thickness_m=0.016))


def painted(state: FoodState, place: tuple, value: float) -> FoodState:
    cells = state.cells.copy()
    cells[place] = value
    return FoodState(cells, state.over, state.on_platter, state.base_C, state.top_C)


def test_steps_begin_where_they_say():
    assert [step(dE) for dE in STANDARD.starts_dE] == [1, 2, 3, 4, 5]
    assert step(51.9) == 5


@pytest.mark.parametrize("food", [FLAT, RIMMED, ROUND], ids=lambda food: food.portion.name)
def test_the_top_alone_has_the_colour_that_all_faces_tell(food):
    state = start(food)
    for _ in range(4):
        state = advance(food, state, HOT, 60.0)
        assert top_colour(food, state) == pytest.approx(colour_steps(food, state).mean, rel=1e-12)
    assert top_colour(food, state) > 1.0
    over = flip(food, state)
    assert top_colour(food, over) == pytest.approx(colour_steps(food, over).mean, rel=1e-12)


def test_browning_and_colour_are_each_others_inverse():
    assert colour_difference(browning_for(17.0)) == pytest.approx(17.0)
    for wrong in (-1.0, 52.0):
        with pytest.raises(PhysicalRangeError, match="colour difference"):
            browning_for(wrong)
    with pytest.raises(PhysicalRangeError, match="browning"):
        colour_difference(-0.1)


def test_colour_is_read_from_each_face_alone():
    state = painted(start(FLAT), (2, column.BROWN_ABOVE), browning_for(STANDARD.golden_dE))
    colour = colour_steps(FLAT, state)
    assert colour.bottom == 1
    assert colour.sectors == pytest.approx((1, 3, 1, 1))
    assert Colour(1, (1, 3, 1, 1)).mean == 1.5


def test_core_is_the_coldest_of_the_thickest_part():
    cold_middle = painted(start(RIMMED), (0, 5), 5.0)
    assert core_C(RIMMED, cold_middle) == 20.0
    assert core_C(FLAT, painted(start(FLAT), (0, 5), 5.0)) == 5.0


def test_weight_loss_is_water_gone_over_raw_weight():
    state = start(FLAT)
    assert weight_loss(FLAT, state) == pytest.approx(0)
    dry = painted(state, (0, slice(column.WATER, column.PEAK)), 0.0)
    # Flatbread dough is 42.5 % water.
    assert weight_loss(FLAT, dry) == pytest.approx(0.425, abs=0.001)


def test_bubbling_needs_boiling_water_and_a_hot_top():
    dip = prepare(Portion("dip", (FoodLayer("cheese_dip", 0.02),), 0.01, 20.0))
    state = start(dip)
    assert not bubbling(dip, state)
    assert not bubbling(dip, painted(state, (0, 0), 100.0))
    all_hot = painted(state, (0, slice(0, column.NODES)), 95.0)
    assert not bubbling(dip, all_hot)
    assert bubbling(dip, painted(all_hot, (0, 0), 100.0))


def test_burn_margin_is_zero_once_past_dark_and_the_horizon_when_cool():
    burnt = painted(start(FLAT), (3, column.BROWN_ABOVE), browning_for(STANDARD.burnt_dE))
    assert burn_margin_s(FLAT, burnt, HOT) == 0
    assert burn_margin_s(FLAT, start(FLAT), REST, horizon_s=30.5) == 30.5


def test_burn_margin_foretells_what_happens():
    margin = burn_margin_s(RIMMED, start(RIMMED), HOT)
    assert 20 < margin < 200
    state = advance(RIMMED, start(RIMMED), HOT, math.floor(margin) - 1)
    assert burn_margin_s(RIMMED, state, HOT) > 0
    later = advance(RIMMED, state, HOT, 3.0)
    assert burn_margin_s(RIMMED, later, HOT) == 0


def test_cook_stops_at_the_first_step_that_meets_everything():
    done = cook(FLAT, start(FLAT), HOT, Target(core_C=70.0, colour=2), 600.0)
    assert done.met
    assert reached(FLAT, done.state, Target(70.0, 2))
    before = cook(FLAT, start(FLAT), HOT, Target(core_C=70.0, colour=2), done.seconds - 1)
    assert not before.met
    assert before.seconds == done.seconds - 1


def test_cook_waits_for_its_last_flip():
    steak = prepare(
        Portion("s", (FoodLayer("beef_lean", 0.01),), 0.02, 20.0, Platter("cast_iron", 2.0, 0.02, 250.0))
    )
    done = cook(steak, start(steak), HOT, Target(core_C=21.0), 200.0, flip_at_s=(60.0, 90.0))
    assert done.met
    assert done.seconds == 90.0
    assert not done.state.over


def test_what_is_met_already_takes_no_time_and_bad_times_are_refused():
    assert cook(FLAT, start(FLAT), HOT, Target(core_C=10.0), 60.0).seconds == 0
    with pytest.raises(PhysicalRangeError, match="above 0"):
        cook(FLAT, start(FLAT), HOT, Target(core_C=60.0), max_s=0.0)
    with pytest.raises(PhysicalRangeError, match="every_s"):
        trace(FLAT, start(FLAT), HOT, 10.0, 0.0)


def test_trace_begins_at_the_start_and_ends_on_time():
    course = trace(FLAT, start(FLAT), HOT, 25.0, 10.0)
    assert course.times_s.tolist() == [0, 10, 20, 25]
    assert course.colour.shape == (4, 5)
    assert course.core_C[0] == course.top_C[0] == course.base_C[0] == 20
    assert np.all(np.diff(course.core_C) > 0)
