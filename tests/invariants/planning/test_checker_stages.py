"""A legal plan read against a house that asks for something else must be refused, under the right name."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from hearthtide.house.models import House
from hearthtide.planning.checker_stages import check_stages
from hearthtide.planning.plan import Plan
from small_night import MIXED, plan_of, small_house, solved

HOUSE = small_house(platters=2)


@cache
def legal() -> Plan:
    return plan_of(HOUSE, MIXED, *solved(HOUSE, MIXED, rounds=300))


def broken(house: House, plan: Plan) -> set[str]:
    checks = check_stages(house, plan.moves, plan.items)
    assert len(checks) == 4
    return {check.name for check in checks if not check.ok}


def asking(dish: str, **changed: Any) -> House:
    """The house with the first stage of a dish, or the dish itself, asking for something else."""
    old = HOUSE.dishes[dish]
    stage = {key: value for key, value in changed.items() if key in type(old.stages[0]).model_fields}
    rest = {key: value for key, value in changed.items() if key not in stage}
    stages = (old.stages[0].model_copy(update=stage), *old.stages[1:])
    new = old.model_copy(update={"stages": stages, **rest})
    return HOUSE.model_copy(update={"dishes": {**HOUSE.dishes, dish: new}})


def test_the_plan_itself_is_accepted() -> None:
    assert broken(HOUSE, legal()) == set()


@pytest.mark.parametrize(
    ("dish", "changed", "name"),
    [
        ("pizza", {"minutes": 540.0}, "minutes of the house"),
        ("pizza", {"places": ("mouth",)}, "places as wished"),
        ("steak", {"rest": 1800.0}, "rests"),
        ("steak", {"flips": (0.95,)}, "turns in time"),
        ("steak", {"flips": ()}, "turns in time"),
    ],
)
def test_another_wish_is_another_plan(dish: str, changed: dict[str, Any], name: str) -> None:
    assert name in broken(asking(dish, **changed), legal())


def test_a_plate_taken_early_from_its_rest_is_refused() -> None:
    plan = legal()
    steak = next(item for item in plan.items if item.dish == "steak")
    hurried = replace(steak, ready_s=steak.ready_s - 240)
    items = tuple(hurried if item is steak else item for item in plan.items)
    assert broken(HOUSE, replace(plan, items=items)) == {"rests"}
