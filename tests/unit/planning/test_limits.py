"""What binds on a night that runs late, on nights built so that one limit plainly must."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi

import pytest

from hearthtide.house.models import House, NightFile
from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning import again
from hearthtide.planning.again import late_guest_s, total_late_s
from hearthtide.planning.engine.search import Schedule, Unplaceable, search
from hearthtide.planning.limit_words import ways_note
from hearthtide.planning.limits import binding_limit, binding_now
from hearthtide.planning.plan import Limit
from hearthtide.planning.problem import Item, Problem
from hearthtide.planning.replan import reality_at
from hearthtide.planning.told import Running
from rich_night import with_items
from small_night import MIXED, clock, problem_of, small_house, small_night, solved


def limit_of(house: House, night: NightFile) -> tuple[int, Limit | None]:
    problem, schedule = solved(house, night, rounds=5)
    return total_late_s(schedule), binding_limit(problem, schedule, seed=1)


@cache
def six_pizzas() -> tuple[Problem, Schedule]:
    """Six wanted in one minute, for one pair of hands."""
    night = small_night(*((f"A{n}", "18:00", "18:06", ("pizza",)) for n in range(6)))
    return solved(small_house(cooks=1), night, rounds=5)


@cache
def of_six_pizzas() -> tuple[int, Limit | None]:
    problem, schedule = six_pizzas()
    return total_late_s(schedule), binding_limit(problem, schedule, seed=1)


@cache
def of_two_steaks() -> tuple[int, Limit | None]:
    """Wanted in one minute, three pairs of hands and one platter."""
    night = small_night(*((f"A{n}", "18:00", "18:16", ("steak",)) for n in range(2)))
    return limit_of(small_house(cooks=3, platters=1), night)


def test_a_night_in_time_has_no_limit_to_name() -> None:
    assert limit_of(small_house(), MIXED)[1] is None


def test_hands_bind_when_one_pair_meets_six_pizzas() -> None:
    # One pair of hands needs 89 s a pizza: six wanted in the same minute queue for 9 min.
    late, limit = of_six_pizzas()
    assert limit is not None
    assert limit.binds == "hands"
    assert limit.late_total_s == late
    assert limit.without["hands"] < limit.without["stone"]


def test_hands_still_bind_once_two_of_the_six_have_begun() -> None:
    """From 18:03 on, with what is on the fire going on as it was begun."""
    problem, schedule = six_pizzas()
    running = Running(replace(problem, orders=schedule.orders), schedule, round(clock("18:03")))
    begun = {b.item for b in reality_at(running).begun}
    assert 0 < len(begun) < 6
    limit = binding_now(running, 1, WeightsFile())
    assert limit is not None and limit.binds == "hands" and limit.tried > 0


def test_stone_binds_on_a_tiny_hearth_with_many_hands() -> None:
    # On 90 cm the flame leaves room for one or two pizzas; six pairs of hands stand by.
    house = small_house(cooks=6, oven=TINY, platters=None)
    night = small_night(*((f"A{n}", "18:00", "18:05", ("pizza",)) for n in range(4)))
    _, limit = limit_of(house, night)
    assert limit is not None
    assert limit.binds == "stone"
    assert limit.without["stone"] < limit.without["hands"]
    assert "platters" not in limit.without


def test_platters_bind_when_the_bank_holds_one() -> None:
    # Each steak keeps its platter 7:30 + 5:00 + 0:45 and 10:00 turnaround: the second waits 23 min.
    late, limit = of_two_steaks()
    assert limit is not None
    assert limit.binds == "platters"
    assert limit.without["platters"] < late / 4


def test_minutes_bind_when_the_dish_cannot_be_done_in_time() -> None:
    # 7:30 and 5:00 rest cannot land five minutes after the call, whoever and whatever is at hand.
    _, limit = limit_of(small_house(cooks=3), small_night(("A1", "18:00", "18:05", ("steak",))))
    assert limit is not None
    assert limit.binds == "minutes"
    assert limit.ways_out


def test_lifting_a_limit_never_makes_the_night_worse() -> None:
    night = small_night(*((f"A{n}", f"18:0{n}", f"18:1{4 + n}", ("pizza", "steak", "dip")) for n in range(3)))
    _, limit = limit_of(small_house(platters=2), night)
    assert limit is not None
    assert set(limit.without) == {"floor", "hands", "stone", "platters", "minutes"}
    assert max(limit.without.values()) <= limit.late_guest_s


TINY = {
    "diameter": "90 cm",
    "crown_rise": "34 cm",
    "mouth_width": "40 cm",
    "mouth_height": "20 cm",
    "burners": [{"kind": "ribbon", "bearing": "-45 deg", "length": "10 cm", "standoff": "2 cm"}],
}


def test_the_floor_binds_where_pies_wait_for_their_stone_alone() -> None:
    # Two spots, ten minutes' rest each: a pie every six and a half minutes, wanted every three.
    house = small_house(cooks=6, oven=TINY, platters=None, pizza_recovery="10 min")
    night = small_night(*((f"A{n}", "18:00", f"18:{5 + 3 * n:02d}", ("pizza",)) for n in range(8)))
    _, limit = limit_of(house, night)
    assert limit is not None and limit.binds == "floor"
    assert limit.without["floor"] <= 0.1 * limit.late_guest_s


def test_a_rule_binds_where_plates_wait_for_others_to_leave_their_splash() -> None:
    """Shrimp spit half a metre on a hearth of 90 cm; nothing else there is in anybody's way."""
    house = small_house(cooks=6, oven=TINY, platters=None)
    rows = [(f"{dish[0]}{n}", "18:00", "18:08", (dish,)) for dish in ("shrimp", "dip") for n in range(2)]
    problem = problem_of(house, small_night(*rows))
    assert binding_limit(problem, search(problem, rounds=50), seed=1) is None
    shellfish = frozenset({"shellfish"})

    def kept_apart(item: Item) -> Item:
        return replace(item, **{"spits" if item.dish == "shrimp" else "guards": shellfish})

    wide = replace(with_items(problem, kept_apart), places=replace(problem.places, splash_m=0.5))
    limit = binding_limit(wide, search(wide, rounds=50), seed=1)
    assert limit is not None and limit.binds == "rule"
    assert limit.without["rule"] == 0
    assert all("rule" not in way.words and "apart" not in way.words for way in limit.ways_out)


def test_two_limits_that_only_help_together_are_named_together(monkeypatch) -> None:
    problem, schedule = six_pizzas()
    in_time = tuple(replace(b, landing_s=b.order.wanted_s) for b in schedule.booked)

    def only_together(lifted: Problem, *_: object, **__: object) -> Schedule:
        both = len(lifted.cooks) > 1 and not lifted.stone_binds
        return replace(schedule, booked=in_time) if both else schedule

    monkeypatch.setattr(again, "repair", only_together)
    limit = binding_limit(problem, schedule, seed=1)
    assert limit is not None and limit.binds == "hands and stone"


def test_where_more_search_lands_all_in_time_nothing_else_binds() -> None:
    problem, good = solved(small_house(), MIXED)
    worse = replace(good, booked=tuple(replace(b, landing_s=b.landing_s + 600) for b in good.booked))
    limit = binding_limit(problem, replace(worse, cost=good.cost + 1e6), seed=1)
    assert limit is not None and limit.binds == "search"
    assert limit.ways_out == () and len(limit.late) == 4
    assert "--seed" in ways_note(limit)


def test_who_slips_is_each_course_by_its_latest_drop_the_worst_first() -> None:
    _, schedule = six_pizzas()
    _, limit = of_six_pizzas()
    assert limit is not None
    slipped = {late.ticket: late.late_s for late in limit.late}
    assert slipped == {b.order.ticket: b.late_s for b in schedule.booked if b.late_s > 120}
    assert list(slipped.values()) == sorted(slipped.values(), reverse=True)


def test_the_need_of_hands_is_a_sum_by_hand() -> None:
    # Six pizzas at 25 + 10 + 2 x 12 + 8 + 22 s are 534 s of one pair's 1800 in half an hour.
    _, limit = of_six_pizzas()
    assert limit is not None
    hands = next(need for need in limit.needs if need.limit == "hands")
    assert hands.needed == pytest.approx(534 / 60) and hands.there == 30


def test_the_need_of_stone_is_a_sum_by_hand() -> None:
    # Discs of 28 cm for three minutes (a little more or less, for the hands) and 45 s of rest.
    _, limit = of_six_pizzas()
    assert limit is not None
    stone = next(need for need in limit.needs if need.limit == "stone")
    assert stone.needed == pytest.approx(6 * pi * 0.14**2 * 3.75, rel=0.05)


def test_the_need_of_platters_counts_those_out_at_once() -> None:
    _, limit = of_two_steaks()
    assert limit is not None
    platters = next(need for need in limit.needs if need.limit == "platters")
    assert (platters.needed, platters.there, platters.share) == (2, 1, 2)


def test_an_order_without_room_under_a_lifted_limit_leaves_the_plan_as_it_is(monkeypatch) -> None:
    problem, schedule = six_pizzas()

    def no_room(lifted: Problem, *_: object, **__: object) -> Schedule:
        raise Unplaceable(lifted.orders[0])

    monkeypatch.setattr(again, "repair", no_room)
    limit = binding_limit(problem, schedule, seed=1)
    assert limit is not None and limit.binds == "minutes"
    assert {v for k, v in limit.without.items() if k != "minutes"} == {late_guest_s(schedule)}
    assert limit.ways_out == ()
