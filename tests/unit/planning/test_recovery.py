"""The rest of stone after bare dough, by the oven model."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hearthtide.food import model as food_model
from hearthtide.food.model import prepare, start
from hearthtide.house.files import oven_design, portion
from hearthtide.house.places import Outline
from hearthtide.oven.advance import advance
from hearthtide.oven.load import Load
from hearthtide.oven.readings import settled_state
from hearthtide.planning.build import house_choices
from hearthtide.planning.exposure import faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import bits
from hearthtide.planning.recovery import BACK_WITHIN_C, LONGEST_S, Baking, Rest, rest_after, with_rests
from hearthtide.planning.response import Moment
from small_night import places_of, quick_oven, small_house

HOUSE = small_house()
PIZZA = Outline.of(HOUSE.dishes["pizza"].vessel)
POWER_W = 14_000.0


@cache
def moment() -> Moment:
    """The quick oven, settled with its stone at about 360 °C."""
    return Moment(settled_state(quick_oven(oven_design(HOUSE)), 360.0, hours=2.0), POWER_W)


def baking(seconds: float = 180.0, zone: str = "mid") -> Baking:
    oven, places = quick_oven(oven_design(HOUSE)), places_of(HOUSE)
    spot = next(p for p in bits(places.mask(PIZZA, (zone,), 0.3)))
    food = prepare(portion(HOUSE, "pizza"))
    return Baking(seat(oven, places.spots[spot]), food, start(food), seconds, POWER_W)


@cache
def rest(seconds: float = 180.0, within_C: float = BACK_WITHIN_C) -> Rest:
    return rest_after(quick_oven(oven_design(HOUSE)), moment().state, baking(seconds), within_C)


def test_the_closer_it_must_be_the_longer_it_rests() -> None:
    rests = [rest(within_C=within).seconds for within in (60.0, 30.0, 20.0, 15.0)]
    assert rests == sorted(rests) and rests[0] < rests[-1]
    assert rest(within_C=300.0).seconds == 0


def test_a_longer_bake_leaves_it_to_rest_longer() -> None:
    assert rest(90.0).seconds < rest(180.0).seconds < rest(360.0).seconds


def test_stone_that_does_not_come_back_in_time_says_so() -> None:
    never = rest(180.0, 1e-6)
    assert not never.back and never.seconds == LONGEST_S
    assert rest().back


@pytest.mark.parametrize(("seconds", "within"), [(0.0, 15.0), (180.0, 0.0)])
def test_nothing_to_ask_is_refused(seconds: float, within: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        rest_after(quick_oven(oven_design(HOUSE)), moment().state, baking(seconds), within)


def test_stepped_every_second_the_spot_is_back_when_it_says() -> None:
    """The same two ovens run again at one second, the step `advance` asks for with items on the stone."""
    oven, one, found = quick_oven(oven_design(HOUSE)), baking(), rest()
    used = bare = moment().state
    state = one.begin
    for _ in range(180):
        load = Load(
            one.chair.cover[None, :],
            np.array([one.food.stone_conductance_W_m2K(state)]),
            np.array([state.base_C]),
            np.array([state.top_C]),
        )
        faces = faces_W_m2(oven, used, POWER_W, [one.chair], load)[0]
        heat = stone_exposure(float(one.chair.under @ used.floor_C), faces, used.gas_C)
        state = food_model.advance(one.food, state, heat, 1.0)
        used, bare = advance(oven, used, POWER_W, 1.0, load).state, advance(oven, bare, POWER_W, 1.0).state
    colder = float(one.chair.under @ (bare.floor_C - used.floor_C))
    assert found.colder_C == pytest.approx(colder, rel=0.1)
    for _ in range(found.seconds // 5):
        used, bare = (advance(oven, s, POWER_W, 1.0, steps=5).state for s in (used, bare))
    left = float(one.chair.under @ (bare.floor_C - used.floor_C))
    assert left == pytest.approx(BACK_WITHIN_C, abs=1.5)


def test_choices_of_bare_dough_carry_their_rest_and_vessels_none() -> None:
    oven, places = quick_oven(oven_design(HOUSE)), places_of(HOUSE)
    choices = {(key, 0): house_choices(HOUSE.dishes[key], 0, places) or () for key in ("pizza", "dip")}
    hotter = replace(moment(), power_W=22_000.0)
    found = with_rests(oven, HOUSE, places, (moment(), hotter), choices)
    assert found["dip", 0] == choices["dip", 0]
    assert len(found["pizza", 0]) == 2
    for row in found["pizza", 0]:
        assert [c.places for c in row] == [c.places for c in choices["pizza", 0][0]]
        assert all(60 <= c.recovery_s <= LONGEST_S for c in row)
