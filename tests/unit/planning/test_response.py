"""How long a stage takes where: hotter is not slower, farther is not faster, the house's minutes win."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from hearthtide.food.model import prepare, start
from hearthtide.house.files import oven_design, portion
from hearthtide.house.models import DishFile, House
from hearthtide.house.places import Outline
from hearthtide.oven.program import run_program
from hearthtide.planning.exposure import seat
from hearthtide.planning.places import Places, bits
from hearthtide.planning.response import Moment, night_choices, respond, target_of, thirds
from small_night import places_of, quick_oven, small_house

HOUSE = small_house()
OVEN = quick_oven(oven_design(HOUSE))
PLACES = places_of(HOUSE)
COLD = OVEN.cold(25.0)
WARM, HOT = (
    Moment(run_program(OVEN, COLD, ((0.0, power),), 9000.0, dt_s=30.0, record_every_s=3600.0).state, 14_000.0)
    for power in (16_000.0, 21_000.0)
)
PIZZA = Outline(0, 0, 0.14)


def seconds(dish: str, moment: Moment, place: int) -> float:
    food = prepare(portion(HOUSE, dish))
    stage = HOUSE.dishes[dish].stages[0]
    answer = respond(OVEN, moment, seat(OVEN, PLACES.spots[place]), food, start(food), stage)
    return float("inf") if answer.seconds is None else answer.seconds


@pytest.mark.parametrize("dish", ["pizza", "shrimp", "dip"])
def test_a_hotter_oven_is_not_slower(dish: str) -> None:
    outline = Outline.of(HOUSE.dishes[dish].vessel)
    middle = bits(PLACES.mask(outline, ("mid", "edge"), 0.30))[5]
    hot, warm = seconds(dish, HOT, middle), seconds(dish, WARM, middle)
    assert hot < warm
    assert hot < float("inf")


def test_a_hotter_spot_is_not_slower() -> None:
    spots = bits(PLACES.mask(PIZZA, ("mid", "edge"), 0.30))[::12]

    def stone_C(place: int) -> float:
        return float(seat(OVEN, PLACES.spots[place]).under @ HOT.state.floor_C)

    ordered = sorted(spots, key=stone_C)
    coolest, hottest = ordered[0], ordered[-1]
    assert stone_C(hottest) - stone_C(coolest) > 10
    assert seconds("pizza", HOT, hottest) <= seconds("pizza", HOT, coolest)


def test_stone_too_cold_never_gets_there() -> None:
    lukewarm = Moment(
        run_program(OVEN, COLD, ((0.0, 2_400.0),), 600.0, dt_s=30.0, record_every_s=3600.0).state, 2_400.0
    )
    assert seconds("pizza", lukewarm, bits(PLACES.mask(PIZZA, ("mid",), 0.30))[0]) == float("inf")


def test_target_is_what_must_be_true() -> None:
    target = target_of(HOUSE.dishes["pizza"].stages[0])
    assert (target.core_C, target.bubbling) == (85.0, False)
    assert 3 in vars(target).values()  # golden is the third of five steps
    assert target_of(HOUSE.dishes["dip"].stages[0]).bubbling


def test_groups_share_out_a_mask_from_near_to_far() -> None:
    mask = PLACES.mask(PIZZA, ("mid",), 0.30)
    groups = thirds(PLACES, mask)
    assert sorted(p for group in groups for p in group) == bits(mask)
    assert 1 <= len(groups) <= 3
    for near, far in pairwise(groups):
        assert max(PLACES.spots[p].flame_m for p in near) <= min(PLACES.spots[p].flame_m for p in far)
    assert thirds(PLACES, 0) == []


def test_the_houses_minutes_are_used_as_they_are() -> None:
    choices, stuck = night_choices(OVEN, HOUSE, PLACES, (HOT,))
    assert stuck == {}
    for key, dish in HOUSE.dishes.items():
        for i, stage in enumerate(dish.stages):
            found = {choice.seconds for row in choices[key, i] for choice in row}
            assert found == {round(stage.minutes or 0)}


def only(key: str, dish: DishFile) -> House:
    return HOUSE.model_copy(update={"dishes": {key: dish}})


def untimed(dish: DishFile) -> DishFile:
    stages = tuple(stage.model_copy(update={"minutes": None}) for stage in dish.stages)
    return dish.model_copy(update={"stages": stages})


def test_models_time_what_the_house_does_not() -> None:
    house = only("shrimp", untimed(HOUSE.dishes["shrimp"]))
    choices, stuck = night_choices(OVEN, house, PLACES, (WARM, HOT))
    assert stuck == {}
    warm, hot = choices["shrimp", 0]
    assert min(c.seconds for c in hot) < min(c.seconds for c in warm)
    wanted = PLACES.mask(Outline(0.26, 0.20, 0), ("near", "mid"), 0.0)
    covered = 0
    for choice in hot:
        assert choice.places & covered == 0
        covered |= choice.places
    assert covered & ~wanted == 0


def test_a_target_no_spot_can_meet_is_named() -> None:
    cold = Moment(COLD, 0.0)
    house = only("pizza", untimed(HOUSE.dishes["pizza"]))
    choices, stuck = night_choices(OVEN, house, PLACES, (cold,))
    assert choices["pizza", 0] == ((),)
    assert "bake" in stuck["pizza", 0]


def test_a_dish_with_no_place_is_named() -> None:
    clear = HOUSE.dishes["pizza"].model_copy(update={"clear_of_flame": 1.4})
    for dish in (clear, untimed(clear)):
        _, stuck = night_choices(OVEN, only("pizza", dish), PLACES, (HOT,))
        assert "no such place" in stuck["pizza", 0]


def test_turned_food_does_not_care_which_side_faces_the_flame() -> None:
    place = bits(PLACES.mask(PIZZA, ("mid",), 0.30))[3]
    spot = PLACES.spots[place]
    about = replace(spot, flame_bearing_deg=spot.flame_bearing_deg + 180.0)
    turned = Places((spot, about), (3, 3))
    food = prepare(portion(HOUSE, "pizza"))
    stage = HOUSE.dishes["pizza"].stages[0]
    times = [respond(OVEN, HOT, seat(OVEN, s), food, start(food), stage).seconds for s in turned.spots]
    assert times[0] == pytest.approx(times[1], rel=0.02)


@pytest.mark.parametrize("guess_s", [60.0, 400.0, 2300.0])
def test_flips_set_by_any_guess_agree_with_those_set_from_nothing(guess_s: float) -> None:
    food = prepare(portion(HOUSE, "chicken"))
    stage = HOUSE.dishes["chicken"].stages[0].model_copy(update={"flips": (0.5,)})
    place = bits(PLACES.mask(Outline.of(HOUSE.dishes["chicken"].vessel), ("mid", "edge"), 0.0))[5]
    chair = seat(OVEN, PLACES.spots[place])
    fresh = respond(OVEN, HOT, chair, food, start(food), stage)
    guessed = respond(OVEN, HOT, chair, food, start(food), stage, guess_s)
    assert fresh.seconds is not None
    assert guessed.seconds == pytest.approx(fresh.seconds, rel=0.03)
    for answer in (fresh, guessed):
        assert answer.flip_at_s[0] == pytest.approx(0.5 * (answer.seconds or 0.0), rel=0.03)
