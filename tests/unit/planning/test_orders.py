"""From what a night's file says to orders: courses, drops, weights, separation, spots, chores."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from hearthtide.house.models import DishFile, House, NightFile
from hearthtide.oven.design import FlameLevel
from hearthtide.planning.build import (
    PREHEAT_EARLY_S,
    PREHEAT_LATE_S,
    Retimed,
    build_problem,
    corrected,
    flame_chores,
    house_choices,
)
from hearthtide.planning.engine.search import search
from hearthtide.planning.flame import FlamePlan, Held
from hearthtide.planning.orders import REFIRED, allergy_words
from hearthtide.planning.places import bits
from hearthtide.planning.problem import Chore, Closed, Problem, Weights
from hearthtide.planning.proof.prove import prove
from small_night import DISHES, STEEL_DISC, checks_of, clock, places_of, plan_of, problem_of, small_house

HOURS = {"name": "Courses", "lit": "14:00", "doors": "17:00", "last_call": "21:30"}
SEARED: dict[str, Any] = DISHES["steak"] | {
    "name": "Seared on the stone",
    "vessel": STEEL_DISC,
    "stages": [
        {"name": "preheat", "preheat": True, "places": ["near"], "minutes": "8:00", "hot": "260 C"},
        *DISHES["steak"]["stages"],
    ],
}


def house(**file: Any) -> House:
    """The small house with a steak whose platter preheats, raw and ready-to-eat dishes and allergens."""
    marks: dict[str, dict[str, Any]] = {
        "shrimp": {"raw": True, "allergens": {"contains": ["crustacean", "milk"]}},
        "chicken": {"ready_to_eat": True, "tall": True},
        "pizza": {"allergens": {"contains": ["wheat", "milk"]}},
    }
    dishes = {key: dish | marks.get(key, {}) for key, dish in DISHES.items()} | {"seared": SEARED}
    made = small_house(**file)
    return made.model_copy(update={"dishes": {k: DishFile.model_validate(d) for k, d in dishes.items()}})


def night(*tickets: dict[str, Any], **more: Any) -> NightFile:
    return NightFile.model_validate(HOURS | {"tickets": list(tickets)} | more)


def ticket(table: str = "A1", **keys: Any) -> dict[str, Any]:
    plain = {"table": table, "covers": 4, "called": "18:00", "wanted": "18:25", "dishes": ["pizza", "dip"]}
    return {key: value for key, value in (plain | keys).items() if value is not None}


COURSES = ticket(
    wanted=None,
    dishes=None,
    priority=2,
    courses=[
        {"wanted": "18:25", "dishes": ["dip"]},
        {
            "wanted": "18:50",
            "dishes": ["pizza", "pizza", "steak"],
            "drops": 2,
            "drops_apart": "6:00",
            "drag": "3:00",
        },
    ],
)


def test_each_course_is_an_order_and_each_wished_drop_too() -> None:
    orders = problem_of(house(), night(COURSES)).orders
    assert [(o.key, o.ticket, o.drop) for o in orders] == [
        ("A1.1", "A1", 1),
        ("A1.2/1", "A1", 2),
        ("A1.2/2", "A1", 3),
    ]
    assert [o.wanted_s for o in orders] == [clock("18:25"), clock("18:53"), clock("18:59")]
    assert [o.not_before_s for o in orders] == [0, clock("18:53"), clock("18:53")]
    assert sorted(i.key for o in orders for i in o.items) == ["A1-1", "A1-2", "A1-3", "A1-4"]


def test_a_tickets_weight_is_its_guests_times_its_priority_however_it_is_cut() -> None:
    orders = problem_of(house(), night(COURSES)).orders
    assert sum(o.weight for o in orders) == pytest.approx(2 * 4)
    assert orders[0].weight == pytest.approx(2 * 4 / 4)
    (again,) = problem_of(house(), night(ticket(), ticket("B2", called="18:05", refire_of="A1"))).orders[1:]
    assert again.weight == REFIRED * 4


def test_retiming_keeps_courses_drops_and_weights() -> None:
    problem = problem_of(house(), night(COURSES, ticket("B2")))
    longer = corrected(problem, {"A1-2": Retimed((1.1,), (3,))})
    assert [(o.key, o.drop, o.wanted_s) for o in longer.orders] == [
        (o.key, o.drop, o.wanted_s) for o in problem.orders
    ]
    assert [o.weight for o in longer.orders] == pytest.approx([o.weight for o in problem.orders])
    paces = {i.key: i.pace for o in longer.orders for i in o.items}
    assert paces["A1-2"] == (1.1,) and paces["A1-3"] == (1.0,)


def test_what_spits_and_what_guards_comes_from_the_dish_and_the_allergy() -> None:
    rows = ticket(dishes=["shrimp", "chicken", {"dish": "dip", "allergy": ["shellfish"]}])
    shrimp, chicken, dip = problem_of(house(), night(rows)).orders[0].items
    assert shrimp.spits == {"raw", "crustacean", "milk"} and shrimp.guards == frozenset()
    assert chicken.guards == {"raw"} and chicken.tall
    assert dip.guards == {"crustacean", "mollusc"}
    (whole,) = problem_of(house(), night(ticket(dishes=["steak"], allergy=["milk"]))).orders
    assert whole.items[0].guards == {"milk"}


def test_a_plan_keeps_what_spits_out_of_reach_of_what_guards() -> None:
    rows = night(
        ticket("A1", dishes=["shrimp", "shrimp"]),
        ticket("B2", dishes=["chicken", "chicken"]),
        ticket("C3", dishes=["dip", "steak"], allergy=["shellfish"]),
    )
    problem = problem_of(house(splash="25 cm"), rows)
    assert problem.places.splash_m == 0.25
    schedule = search(problem, rounds=60)
    assert prove(problem, schedule) == ()
    placed = [(p.item, s) for b in schedule.booked for p in b.placed for s in p.stays]
    together = 0
    for a, at in placed:
        for b, there in placed:
            if a.spits & b.guards and at.start_s < there.held_until_s and there.start_s < at.held_until_s:
                together += 1
                assert not problem.places.splash[at.place] >> there.place & 1
    assert together > 0, "nothing that must be kept apart was on the stone at once"


def test_a_spot_by_hand_is_the_hearths_nearest_and_the_other_stages_are_free() -> None:
    at = {"dish": "chicken", "spot": {"x": "1 cm", "y": "56 cm"}}
    problem = problem_of(house(), night(ticket(dishes=[at])))
    warm, crisp = problem.orders[0].items[0].stages
    masks = {c.places for row in warm.choices for c in row}
    (mask,) = masks
    (place,) = bits(mask)
    spot = problem.places.spots[place]
    assert abs(spot.x_m - 0.01) <= 0.025 and abs(spot.y_m - 0.56) <= 0.035
    assert crisp.choices == house_choices(house().dishes["chicken"], 1, problem.places)
    schedule = search(problem, rounds=0)
    assert schedule.booked[0].placed[0].stays[0].place == place


def test_closed_stone_is_shut_while_it_is_and_the_plan_keeps_off_it() -> None:
    shut = [
        {"x": "20 cm", "y": "50 cm", "radius": "15 cm", "from": "18:00", "until": "19:00", "why": "spill"}
    ]
    problem = problem_of(house(), night(ticket(dishes=["pizza"] * 3), closed=shut))
    (closed,) = problem.closed
    assert (closed.from_s, closed.until_s) == (clock("18:00"), clock("19:00"))
    for place in bits(closed.places)[::7]:
        spot = problem.places.spots[place]
        reach = 0.15 + max(spot.outline.radius_m, spot.outline.width_m, spot.outline.depth_m)
        assert ((spot.x_m - 0.2) ** 2 + (spot.y_m - 0.5) ** 2) ** 0.5 < reach
    schedule = search(problem, rounds=0)
    assert not any(closed.places >> s.place & 1 for b in schedule.booked for p in b.placed for s in p.stays)


@pytest.mark.parametrize("from_h", [0, 12])
def test_stone_may_be_shut_past_all_that_is_planned(from_h: int) -> None:
    whole = problem_of(house(), night(ticket(dishes=["pizza"] * 3)))
    used = {s.place for b in search(whole, rounds=100).booked for p in b.placed for s in p.stays}
    for_good = Closed(sum(1 << p for p in used), whole.from_s + 3600 * from_h, whole.from_s + 48 * 3600)
    schedule = search(replace(whole, closed=(for_good,)), rounds=100)
    assert prove(replace(whole, closed=(for_good,)), schedule) == ()
    now_used = {s.place for b in schedule.booked for p in b.placed for s in p.stays}
    assert used.isdisjoint(now_used) == (from_h == 0)


def test_a_preheat_has_a_wide_band_and_the_food_is_loaded_where_it_stands() -> None:
    problem = problem_of(house(), night(ticket(dishes=["seared"])))
    preheat, sear = problem.orders[0].items[0].stages
    assert {c.band_s for row in preheat.choices for c in row} == {(PREHEAT_EARLY_S, PREHEAT_LATE_S)}
    assert (preheat.stays, sear.stays) == (False, True)
    schedule = search(problem, rounds=0)
    (placed,) = schedule.booked[0].placed
    assert [h.act for h in placed.handlings] == ["launch", "load", "flip", "pull"]
    assert len({stay.place for stay in placed.stays}) == 1
    assert prove(problem, schedule) == ()


def test_a_houses_band_is_the_choices_band() -> None:
    stage = (
        house()
        .dishes["dip"]
        .stages[0]
        .model_copy(
            update={
                "band": house().dishes["dip"].stages[0].band.model_copy(update={"early": 10.0, "late": 90.0})
            }
        )
    )
    dish = house().dishes["dip"].model_copy(update={"stages": (stage,)})
    ((choice, *_),) = house_choices(dish, 0, places_of(house())) or ((),)
    assert choice.band_s == (10, 90)


def test_weights_hands_and_one_handed_acts_are_the_houses() -> None:
    own = house(weights={"late": 3, "told": 0}, one_handed=["cut"])
    file = own.file.model_copy(
        update={
            "cooks": (
                own.file.cooks[0].model_copy(
                    update={"act_seconds": own.file.cooks[0].act_seconds.model_copy(update={"turn": 9.0})}
                ),
            )
        }
    )
    problem = problem_of(own.model_copy(update={"file": file}), night(ticket()))
    assert problem.weights == replace(Weights(), late=3.0, told=0.0)
    assert problem.one_handed == {"cut"}
    assert (problem.hands_s(0, "turn"), problem.hands_s(0, "flip")) == (9, 10)


def flame_plan() -> FlamePlan:
    high, low = FlameLevel("high", 22_000.0), FlameLevel("low", 7_000.0)
    times = (("14:00", high), ("17:30", low), ("18:10", high), ("20:00", low))
    return FlamePlan(tuple(Held(clock(at), level) for at, level in times), None)


def test_flame_changes_in_service_are_chores_of_those_who_do_the_flame() -> None:
    chores = flame_chores(house(), flame_plan(), clock("18:00"), clock("19:00"))
    assert chores == (Chore("flame", clock("18:10"), chores[0].give_s, "flame up to high"),)
    nobody = house(cooks={"Cook": ("dress", "launch", "load", "turn", "spin", "flip", "move", "pull", "cut")})
    assert flame_chores(nobody, flame_plan(), clock("18:00"), clock("19:00")) == ()
    problem = replace(problem_of(house(), night(ticket())), chores=chores)
    schedule = search(problem, rounds=0)
    assert prove(problem, schedule) == () and len(schedule.chores) == 1


def test_bare_dough_of_which_nobody_says_how_long_it_rests_is_refused() -> None:
    own = house(pizza_recovery=None)
    places = places_of(own)
    choices = {
        (key, i): house_choices(dish, i, places) or ()
        for key, dish in own.dishes.items()
        for i in range(len(dish.stages))
    }
    with pytest.raises(ValueError, match="pizza_recovery"):
        build_problem(own, night(ticket()), places, choices)
    rested = {
        key: tuple(tuple(replace(c, recovery_s=400) for c in row) for row in bins)
        for key, bins in choices.items()
    }
    assert build_problem(own, night(ticket()), places, rested).recovery_s == 400


def test_wished_drops_and_courses_break_no_promise_and_preheats_pass_the_checker() -> None:
    rows = night(COURSES, ticket("B2", dishes=["seared"], wanted="18:35"))
    own = house(cooks=2)
    problem: Problem = problem_of(own, rows)
    schedule = search(problem, rounds=100)
    plan = plan_of(own, rows, problem, schedule)
    kept = checks_of(plan)
    assert kept["together"] and kept["acts in order"] and kept["moves and stays agree"], plan.checks
    assert sorted({(o.course, o.drop, o.wished_drops) for o in plan.landings if o.ticket == "A1"}) == [
        (1, 1, 1),
        (2, 1, 2),
        (2, 2, 2),
    ]
    late = replace(plan.landings[0], drop=3)
    assert late.drop > late.wished_drops


def test_allergy_orders_are_told_to_the_person_in_charge_and_never_as_clear() -> None:
    marked = (
        house()
        .dishes["steak"]
        .model_copy(
            update={
                "allergens": house().dishes["steak"].allergens.model_copy(update={"may_contact": ("wheat",)})
            }
        )
    )
    own = house().model_copy(update={"dishes": house().dishes | {"steak": marked}})
    words = allergy_words(own, night(ticket(dishes=["steak"], allergy=["gluten"])))
    assert "A1" in words[0] and "may have touched wheat" in words[0] and "person in charge" in words[0]
    assert not any("free" in line for line in words)
    assert allergy_words(own, night(ticket())) == ()
