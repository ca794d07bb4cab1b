"""What a piece of food costs, and a night's plan: construct, improve, verify."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from hearthtide.food.cooking import Target, cook
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import advance, prepare, start
from hearthtide.house.files import oven_design, portion, read_house, read_night
from hearthtide.planning.build import build_problem, house_choices, house_outlines
from hearthtide.planning.engine.search import search
from hearthtide.planning.night import plan_night
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.problem import Choice

HOUSE = read_house(Path(__file__).parents[1] / "examples" / "brindlecote")
NIGHT = read_night(HOUSE, "tuesday")
HEAT = Exposure("stone", 355.0, 14_000.0, (18_000.0, 14_000.0, 10_000.0, 14_000.0), 400.0)


@pytest.mark.parametrize("dish", ["pizza", "strip_steak"])
def test_two_seconds_of_food(benchmark, dish: str):
    food = prepare(portion(HOUSE, dish))
    state = start(food)
    benchmark(advance, food, state, HEAT, 2.0)


def test_cooking_a_steak(benchmark):
    food = prepare(portion(HOUSE, "strip_steak"))
    benchmark(cook, food, start(food), HEAT, Target(core_C=50.0), 1200.0, (200.0,))


def _problem():
    places = enumerate_places(oven_design(HOUSE), HOUSE.file.zones, house_outlines(HOUSE))
    choices = {}
    for key, dish in HOUSE.dishes.items():
        for i in range(len(dish.stages)):
            given = house_choices(dish, i, places)
            mask = places.mask(next(iter(house_outlines(HOUSE))), ("mid", "edge"), dish.clear_of_flame)
            choices[key, i] = given or ((Choice(150, mask, 0),),)
    return build_problem(HOUSE, NIGHT, places, choices)


def test_places_and_conflicts(benchmark):
    design, zones, outlines = oven_design(HOUSE), HOUSE.file.zones, house_outlines(HOUSE)
    benchmark.pedantic(enumerate_places, (design, zones, outlines), rounds=3)


@pytest.mark.parametrize("rounds", [0, 1000])
def test_search_of_a_night(benchmark, rounds: int):
    problem = _problem()
    benchmark.pedantic(lambda: search(problem, rounds=rounds), rounds=3)


def test_whole_plan(capsys):
    began = time.perf_counter()
    plan = plan_night(HOUSE, NIGHT)
    seconds = time.perf_counter() - began
    parts = ", ".join(f"{k} {plan.figures[k]:.1f}" for k in ("field_s", "solve_s", "verify_s"))
    with capsys.disabled():
        print(f"\nBrindlecote, Tuesday, {len(plan.items)} items: {seconds:.1f} s ({parts})")
