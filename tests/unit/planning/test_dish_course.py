"""The course of a dish: its stages last what the models answer, its acts turn it, its rest carries over."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from hearthtide.food.band import ensemble
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import advance, prepare, start
from hearthtide.food.outcome import colour_steps
from hearthtide.house.files import oven_design, portion
from hearthtide.house.models import House
from hearthtide.house.places import Outline
from hearthtide.oven.program import run_program
from hearthtide.planning.dish_course import (
    DishCourse,
    Ran,
    carry_over,
    face_C,
    run_course,
    timed,
    turned,
    walked,
)
from hearthtide.planning.exposure import Seat, seat
from hearthtide.planning.places import bits
from hearthtide.planning.response import Moment, covered, heat_at, respond
from small_night import places_of, quick_oven, small_house

HOUSE = small_house()
OVEN = quick_oven(oven_design(HOUSE))
PLACES = places_of(HOUSE)
MOMENT = Moment(
    run_program(OVEN, OVEN.cold(25.0), ((0.0, 21_000.0),), 9000.0, dt_s=30.0, record_every_s=3600.0).state,
    14_000.0,
)


def chair(house: House, key: str, stage: int) -> Seat:
    dish = house.dishes[key]
    spots = bits(PLACES.mask(Outline.of(dish.vessel), dish.stages[stage].places[:1], dish.clear_of_flame))
    return seat(OVEN, PLACES.spots[spots[len(spots) // 2]])


def ran(house: House, key: str) -> Ran:
    chairs = [[chair(house, key, i)] for i in range(len(house.dishes[key].stages))]
    return run_course(OVEN, house, key, MOMENT, chairs, ensemble(portion(house, key), None, 12, 1))


@cache
def course(key: str) -> DishCourse:
    return ran(HOUSE, key).course


def with_stages(key: str, **changed: object) -> House:
    """The house with something changed in all stages of one dish."""
    dish = HOUSE.dishes[key]
    stages = tuple(stage.model_copy(update=changed) for stage in dish.stages)
    return HOUSE.model_copy(update={"dishes": {key: dish.model_copy(update={"stages": stages})}})


@pytest.mark.parametrize("key", ["pizza", "steak", "chicken"])
def test_every_stage_takes_what_the_models_answer_for_its_spot(key: str) -> None:
    found, food = ran(HOUSE, key), prepare(portion(HOUSE, key))
    for i, (stage, begin) in enumerate(zip(found.course.stages, found.begins, strict=True)):
        written = HOUSE.dishes[key].stages[i]
        answer = respond(OVEN, MOMENT, chair(HOUSE, key, i), covered(food, written), begin, written)
        # What is lost by adding the earlier stages and taking them off again is rounding.
        assert stage.done and stage.end_s - stage.begin_s == pytest.approx(answer.seconds, abs=1e-6)
    assert [a.end_s for a in found.course.stages[:-1]] == [b.begin_s for b in found.course.stages[1:]]


def test_acts_fall_at_their_fractions_in_order() -> None:
    acts = course("pizza").acts
    assert [act.act for act in acts] == ["launch", "turn", "turn", "pull"]
    pulled_s = acts[-1].at_s
    assert [act.at_s for act in acts[1:3]] == pytest.approx([0.4 * pulled_s, 0.7 * pulled_s])
    assert [act.turned_deg for act in acts[1:3]] == [120.0, 120.0]  # two turns share the round in thirds
    kinds = [act.act for act in course("chicken").acts]
    assert kinds == ["launch", "spin", "move", "pull", "rest"]
    times = [act.at_s for act in course("chicken").acts]
    assert times == sorted(times)
    assert times[-1] - times[-2] == HOUSE.dishes["chicken"].rest


def test_what_the_food_sets_has_a_band_and_what_the_clock_sets_has_none() -> None:
    for act in course("chicken").acts:
        if act.act in ("move", "pull", "rest"):
            assert act.low_s is not None and act.high_s is not None
            assert act.low_s < act.at_s < act.high_s
        else:
            assert act.low_s is None and act.high_s is None


def test_an_unturned_pizza_comes_out_uneven() -> None:
    """Nothing but its turns is taken away; they must take the most of the spread away again."""
    spread = [
        float(np.ptp(found.track.colour[np.searchsorted(found.track.times_s, found.pulled_s), 1:]))
        for found in (course("pizza"), ran(with_stages("pizza", turns=()), "pizza").course)
    ]
    assert spread[1] > 2 * spread[0] > 0


def sectors(facing_deg: float) -> tuple[float, ...]:
    dish, food = HOUSE.dishes["pizza"], prepare(portion(HOUSE, "pizza"))
    still = dish.stages[0].model_copy(update={"turns": ()})
    at = chair(HOUSE, "pizza", 0)
    heat = heat_at(OVEN, MOMENT, at, still)
    *_, last = walked(OVEN, MOMENT, at, food, start(food), heat, (), 180.0, facing_deg)
    return colour_steps(food, last.state).sectors


def test_turned_half_round_before_it_goes_in_it_comes_out_mirrored() -> None:
    ahead, back = sectors(0.0), sectors(180.0)
    assert back == pytest.approx((*ahead[2:], *ahead[:2]), abs=1e-9)
    assert ahead[0] > ahead[2]  # towards the flame it is browner


def test_heat_turned_is_an_item_turned_the_other_way_to_say_it() -> None:
    heat = Exposure("stone", 350.0, 15e3, (30e3, 14e3, 6e3, 11e3), 320.0)
    food = prepare(portion(HOUSE, "pizza"))
    for facing in (0.0, 75.0, 120.0, 300.0):
        as_item = advance(food, start(food), heat, 90.0, facing)
        as_heat = advance(food, start(food), turned(heat, facing), 90.0)
        assert colour_steps(food, as_item).sectors == pytest.approx(colour_steps(food, as_heat).sectors)


def test_the_face_is_the_foods_own_whatever_shines_beside_it() -> None:
    """A raw steak at 12 °C on a platter that comes at 230 °C: bare iron is most of what shines."""
    food = prepare(portion(HOUSE, "steak"))
    assert start(food).top_C > 100
    assert face_C(food, start(food)) == pytest.approx(12.0, abs=1e-6)


def test_the_core_that_is_drawn_lies_within_its_ribbon() -> None:
    for key in ("pizza", "steak", "chicken"):
        track = course(key).track
        assert track.times_s.shape == track.core_C.shape == track.core_low_C.shape == track.loss.shape
        assert track.colour.shape == (len(track.times_s), 5)
        assert np.all(np.diff(track.times_s) >= 0)
        assert np.all(track.core_low_C <= track.core_high_C)
        inside = (track.core_low_C - 0.5 <= track.core_C) & (track.core_C <= track.core_high_C + 0.5)
        assert inside.all()


def test_a_steak_carries_over_and_leaves_its_platter_at_the_pull() -> None:
    found = course("steak")
    carry, track = found.carry, found.track
    assert carry is not None and carry.rise_K > 1 and 0 < carry.after_s <= found.rest_s
    assert carry.core_C_at_pull == pytest.approx(
        50.0, abs=1.5
    )  # its stage ends at 50 °C; flips move it a hair
    assert carry.core_C_at_end == track.core_C[-1]
    assert track.times_s[-1] == found.pulled_s + found.rest_s
    assert np.all(track.on_vessel[track.times_s < found.pulled_s] == 1)
    assert np.all(track.on_vessel[track.times_s > found.pulled_s] == 0)
    assert course("pizza").carry is None  # it has no rest


def test_a_core_that_only_falls_has_no_carry_over() -> None:
    times_s, core_C = np.array([0.0, 10.0, 20.0]), np.array([60.0, 58.0, 50.0])
    carry = carry_over(times_s, core_C, 0.0)
    assert (carry.rise_K, carry.after_s, carry.core_C_at_end) == (0.0, 0.0, 50.0)


def test_a_stage_that_is_never_done_ends_the_course() -> None:
    hot = HOUSE.dishes["chicken"].stages[0].until.model_copy(update={"core": 100.0, "colour": "dark"})
    found = ran(with_stages("chicken", until=hot, covered=1.0), "chicken").course
    assert len(found.stages) == 1 and not found.done
    assert found.pulled_s == 2400.0  # forty minutes
    assert not {"move", "pull", "rest"} & {act.act for act in found.acts}


def test_a_stage_done_as_it_comes_in_takes_no_time() -> None:
    warm = HOUSE.dishes["chicken"].stages[0].until.model_copy(update={"core": 60.0})
    found = ran(with_stages("chicken", until=warm), "chicken").course
    assert found.stages[1].begin_s == found.stages[1].end_s
    assert found.done and len(found.track.core_low_C) == len(found.track.times_s)


def test_acts_fall_on_the_first_step_at_or_after_their_time() -> None:
    dish, food = HOUSE.dishes["steak"], prepare(portion(HOUSE, "steak"))
    at = chair(HOUSE, "steak", 0)
    heat = heat_at(OVEN, MOMENT, at, dish.stages[0])
    steps = list(walked(OVEN, MOMENT, at, food, start(food), heat, timed(dish, 0, 101.0), 120.0))
    flipped_s = next(step.time_s for step in steps if step.state.over)
    assert flipped_s == 2 * math.ceil(0.5 * 101.0 / 2)
