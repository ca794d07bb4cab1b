"""A stage tried all over the hearth: on places there are, with the models' own times, burning found."""

from __future__ import annotations

import math
from functools import cache
from typing import get_args

import pytest

from hearthtide.food.model import FoodState, prepare, start
from hearthtide.food.outcome import Colour, burn_margin_s
from hearthtide.house.files import oven_design, portion
from hearthtide.house.models import Place
from hearthtide.house.places import STEP_M, Outline, Spot, spots_of
from hearthtide.oven.program import run_program
from hearthtide.planning.dish_course import timed, walked
from hearthtide.planning.exposure import seat
from hearthtide.planning.hearth_map import (
    StageSpots,
    burns_first,
    coarse,
    darker,
    raster,
    too_dark,
    try_everywhere,
    what_gives,
)
from hearthtide.planning.places import bits
from hearthtide.planning.response import Moment, heat_at, respond
from small_night import places_of, quick_oven, small_house

HOUSE = small_house()
OVEN = quick_oven(oven_design(HOUSE))
PLACES = places_of(HOUSE)
MOMENT = Moment(
    run_program(OVEN, OVEN.cold(25.0), ((0.0, 21_000.0),), 9000.0, dt_s=30.0, record_every_s=3600.0).state,
    14_000.0,
)
PLAIN = HOUSE.dishes["pizza"]
THICK = (PLAIN.layers[0].model_copy(update={"thickness": 0.020}), *PLAIN.layers[1:])
SUGARY = PLAIN.model_copy(update={"sugar": 5.0, "clear_of_flame": 0.0, "layers": THICK})
HOUSE_SUGARY = HOUSE.model_copy(update={"dishes": {**HOUSE.dishes, "sugary": SUGARY}})


@cache
def tried(key: str) -> StageSpots:
    food = prepare(portion(HOUSE_SUGARY, key))
    return try_everywhere(OVEN, MOMENT, PLACES, HOUSE_SUGARY.dishes[key], 0, food, start(food))


def known(key: str) -> dict[tuple[float, float], list[Spot]]:
    dish = HOUSE_SUGARY.dishes[key]
    found: dict[tuple[float, float], list[Spot]] = {}
    for p in bits(PLACES.mask(Outline.of(dish.vessel), get_args(Place), dish.clear_of_flame)):
        found.setdefault((PLACES.spots[p].x_m, PLACES.spots[p].y_m), []).append(PLACES.spots[p])
    return found


@pytest.mark.parametrize("key", ["pizza", "sugary"])
def test_spots_are_those_that_are_there_with_the_times_the_models_answer(key: str) -> None:
    dish, found, there = HOUSE_SUGARY.dishes[key], tried(key), known(key)
    food = prepare(portion(HOUSE_SUGARY, key))
    assert len(found.spots) > 20
    for spot in found.spots:
        (same,) = there[spot.x_m, spot.y_m]
        assert (spot.place, spot.flame_m) == (same.zone, same.flame_m)
        assert spot.wished == (spot.place in dish.stages[0].places)
    for spot in found.spots[::6]:
        (same,) = there[spot.x_m, spot.y_m]
        answer = respond(OVEN, MOMENT, seat(OVEN, same), food, start(food), dish.stages[0])
        if spot.gives in ("done", "too dark"):
            assert spot.seconds == answer.seconds and spot.burns_s is None
        else:
            assert spot.seconds is None
            assert spot.burns_s is None or spot.burns_s <= (answer.seconds or 2400.0)


def test_a_plain_pizza_is_done_and_a_thick_sugary_one_burns_by_the_flame() -> None:
    assert {spot.gives for spot in tried("pizza").spots} == {"done"}
    nearest = min(tried("sugary").spots, key=lambda spot: spot.flame_m or math.inf)
    assert nearest.gives == "top" and nearest.burns_s is not None


@pytest.mark.parametrize("stage_s", [600.0, 171.3, 2 * math.pi * 100])
def test_it_burns_when_the_margin_says_so(stage_s: float) -> None:
    """Walked up to some seconds before, the food itself has those seconds left until it is burnt.

    Whatever the length of the stage, and so of the steps it is walked in.
    """
    spot = min((s for same in known("sugary").values() for s in same), key=lambda s: s.flame_m)
    food, at = prepare(portion(HOUSE_SUGARY, "sugary")), seat(OVEN, spot)
    begin: FoodState = start(food)
    found = burns_first(OVEN, MOMENT, at, SUGARY, 0, food, begin, stage_s)
    assert found is not None
    face, burns_s = found
    heat = heat_at(OVEN, MOMENT, at, SUGARY.stages[0])
    steps = walked(OVEN, MOMENT, at, food, begin, heat, timed(SUGARY, 0, stage_s), stage_s)
    *_, last = (step for step in steps if step.time_s <= burns_s - 20.0)
    before_s = last.time_s
    margin_s = burn_margin_s(food, last.state, last.heat, 60.0)
    assert face == "top" and before_s + margin_s == pytest.approx(burns_s, abs=1.0)
    assert burns_first(OVEN, MOMENT, at, SUGARY, 0, food, begin, before_s) is None


@pytest.mark.parametrize(
    ("done", "burnt", "dark", "core", "colour", "still", "gives"),
    [
        (True, None, False, False, False, False, "done"),
        (True, None, True, False, False, False, "too dark"),
        (True, "top", True, False, False, False, "top"),
        (True, "underside", False, False, False, False, "underside"),
        (False, "underside", True, True, True, False, "underside"),
        (False, None, False, True, False, False, "core"),
        (False, None, True, True, False, False, "core"),
        (False, None, False, False, True, False, "colour"),
        (False, None, False, True, True, False, "never"),
        (False, None, False, True, False, True, "never"),
        (False, None, False, False, False, True, "never"),
    ],
)
def test_what_gives_first(done, burnt, dark, core, colour, still, gives) -> None:
    assert what_gives(done, burnt, dark, core, colour, still) == gives


def test_a_step_past_the_darkest_wanted_on_any_side_is_too_dark() -> None:
    assert too_dark(Colour(2.0, (2.0, 2.0, 4.0, 2.0)), 3)
    assert too_dark(Colour(4.0, (2.0, 2.0, 2.0, 2.0)), 3)
    assert not too_dark(Colour(3.9, (3.9, 2.0, 2.0, 2.0)), 3)
    assert not too_dark(Colour(5.0, (5.0, 5.0, 5.0, 5.0)), 5)


def test_the_darker_face() -> None:
    assert darker(Colour(3.0, (1.0, 1.0, 3.5, 1.0))) == "top"
    assert darker(Colour(3.0, (2.0, 2.5, 2.9, 2.0))) == "underside"


@pytest.mark.parametrize("size_m", [0.8, 1.2, 1.4, 2.0])
def test_a_raster_is_apart_and_leaves_no_gap(size_m: float) -> None:
    step = raster(size_m)
    apart_m = math.hypot(*step) * STEP_M
    spots = spots_of(oven_design(HOUSE), HOUSE.file.zones, Outline(0.0, 0.0, 0.1))
    chosen = coarse(spots, step)
    gaps = [
        math.hypot(one.x_m - other.x_m, one.y_m - other.y_m)
        for i, one in enumerate(chosen)
        for other in chosen[:i]
    ]
    assert min(gaps) >= apart_m - 1e-9
    assert set(chosen) <= set(spots)
    for spot in spots:  # whatever is left out has a chosen one nearer than that
        assert min(math.hypot(spot.x_m - c.x_m, spot.y_m - c.y_m) for c in chosen) < apart_m


def test_no_spots_make_no_raster() -> None:
    assert coarse([], (2, 1)) == []
