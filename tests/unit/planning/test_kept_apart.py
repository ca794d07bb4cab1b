"""Shellfish and raw food out of reach of other dishes, as a house's rule set asks: constraints, not words."""

from __future__ import annotations

from typing import Any

import pytest

from hearthtide.house.models import DishFile, House, NightFile
from hearthtide.house.rules_file import RulesFile
from hearthtide.planning.engine.search import search
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Schedule
from hearthtide.planning.proof.prove import prove
from hearthtide.safety.rule_sets import rule_set_names
from hearthtide.safety.separation import kept_apart
from small_night import DISHES, places_of, problem_of, small_house

MARKS: dict[str, dict[str, Any]] = {
    "shrimp": {"raw": True, "allergens": {"contains": ["crustacean", "milk"]}},
    "chicken": {"ready_to_eat": True},
    "pizza": {"allergens": {"contains": ["wheat", "milk"]}},
}
HOURS = {"name": "Shellfish", "lit": "14:00", "doors": "17:00", "last_call": "21:30"}
OWN_NOTICE = {
    "id": "AL5", "what": "apart", "of": "shellfish", "section": "house", "severity": "notice", "known": "own",
    "words": "Told, not planned.", "override": {"who": "Ana", "on": "2026-05-01", "why": "one small oven"},
}  # fmt: skip


def house(**rules: Any) -> House:
    dishes = {key: DishFile.model_validate(dish | MARKS.get(key, {})) for key, dish in DISHES.items()}
    made = small_house().model_copy(update={"dishes": dishes})
    chosen = RulesFile.model_validate(rules) if rules else None
    return made.model_copy(update={"file": made.file.model_copy(update={"rules": chosen})})


def night(*tickets: dict[str, Any]) -> NightFile:
    return NightFile.model_validate(HOURS | {"tickets": list(tickets)})


def ticket(table: str = "A1", **keys: Any) -> dict[str, Any]:
    return {"table": table, "covers": 4, "called": "18:00", "wanted": "18:25"} | keys


def items(own: House) -> dict[str, tuple[frozenset[str], frozenset[str]]]:
    rows = night(ticket(dishes=["shrimp", "pizza", "chicken"]))
    order = problem_of(own, rows).orders[0]
    return {item.dish: (item.spits, item.guards) for item in order.items}


def test_without_a_rule_set_raw_food_alone_is_kept_from_what_is_ready_to_eat():
    found = items(house())
    assert found["shrimp"] == ({"crustacean", "milk", "raw"}, frozenset())
    assert found["chicken"][1] == {"raw"} and found["pizza"][1] == frozenset()


@pytest.mark.parametrize("name", rule_set_names())
def test_every_set_keeps_a_vessel_of_shellfish_from_dishes_that_hold_none(name):
    """An empty spot between them (own choice); raw from ready-to-eat: 3-302.11(A)(1), elsewhere practice."""
    found = items(house(set=name))
    assert "shellfish" in found["shrimp"][0] and "shellfish" not in found["shrimp"][1]
    assert "shellfish" in found["pizza"][1] and found["chicken"][1] == {"raw", "shellfish"}
    assert "shellfish" not in found["pizza"][0]


def test_a_house_may_have_shellfish_told_and_not_planned_but_raw_food_never():
    assert items(house(set="us-fda-2022", own=[OWN_NOTICE])) == items(house())
    raw = OWN_NOTICE | {"id": "XC1", "of": "raw and ready to eat"}
    chosen = RulesFile.model_validate({"set": "us-fda-2022", "own": [raw]}).chosen
    assert "raw and ready to eat" in kept_apart(chosen)


def test_shellfish_laid_on_bare_stone_is_no_vessel_that_spits_over():
    on_stone = DishFile.model_validate(DISHES["pizza"] | {"allergens": {"contains": ["wheat", "crustacean"]}})
    own = house(set="us-fda-2022")
    own = own.model_copy(update={"dishes": own.dishes | {"pizza": on_stone}})
    assert "shellfish" not in items(own)["pizza"][0] | items(own)["pizza"][1]
    assert "crustacean" in items(own)["pizza"][0]


def within_reach(own: House) -> int:
    """Of a searched plan the shrimp that stand within splash reach of another dish while it is in."""
    tables = (ticket(f"A{n}", dishes=["shrimp", "pizza", "dip"], wanted=f"18:{20 + n}") for n in range(1, 7))
    problem, places = problem_of(own, night(*tables)), places_of(own)
    schedule = search(problem, rounds=40)
    assert prove(problem, schedule) == ()
    return reached(places, schedule, "shrimp")


def reached(places: Places, schedule: Schedule, spitting: str) -> int:
    """How many stays of other dishes lie within splash reach of this one at one time."""
    stays = [(one.item.dish, stay) for b in schedule.booked for one in b.placed for stay in one.stays]
    return sum(
        places.splash[a.place] >> b.place & 1
        for dish, a in stays
        for other, b in stays
        if dish == spitting != other and a.start_s < b.held_until_s and b.start_s < a.held_until_s
    )


def test_raw_steaks_stand_out_of_reach_of_cooked_birds_whatever_a_house_goes_by():
    """A trade scenario: after a cold room broke raw steaks and birds cooked ahead share the stone."""
    raw = DishFile.model_validate(DISHES["steak"] | {"raw": True})
    for own in (house(), house(set="us-fda-2022")):
        own = own.model_copy(update={"dishes": own.dishes | {"steak": raw}})
        tables = (ticket(f"A{n}", dishes=["steak", "chicken"], wanted=f"18:{25 + n}") for n in range(1, 5))
        problem, places = problem_of(own, night(*tables)), places_of(own)
        schedule = search(problem, rounds=40)
        assert prove(problem, schedule) == ()
        assert reached(places, schedule, "steak") == 0


def test_a_searched_plan_keeps_them_apart_and_without_the_rule_it_does_not():
    assert within_reach(house()) > 0
    assert within_reach(house(set="us-fda-2022")) == 0


@pytest.mark.parametrize("rules", [{"set": "us-fda-2022"}, {"set": "us-fda-2013"}])
def test_raw_kinds_stand_out_of_each_other_s_reach_in_a_searched_plan(rules):
    """3-302.11(A)(2), where the dishes' files say which animals; empty spots between them by brute force."""
    kinds = {"steak": "beef", "shrimp": "shellfish"}
    for own, apart in ((house(), False), (house(**rules), True)):
        dishes = {
            key: DishFile.model_validate(DISHES[key] | {"raw": True, "raw_of": kinds[key]}) for key in kinds
        }
        own = own.model_copy(update={"dishes": own.dishes | dishes})
        tables = (ticket(f"A{n}", dishes=["steak", "shrimp"], wanted=f"18:{24 + n}") for n in range(1, 6))
        problem, places = problem_of(own, night(*tables)), places_of(own)
        schedule = search(problem, rounds=40)
        assert prove(problem, schedule) == ()
        assert (reached(places, schedule, "steak") == 0) == apart
