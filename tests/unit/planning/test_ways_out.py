"""Ways out of a late night: each a change of the problem whose price and gain are sums done by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning.again import Again, late_guest_s, late_orders
from hearthtide.planning.engine.search import search
from hearthtide.planning.limit_words import late_words, need_words, way_words, ways_note
from hearthtide.planning.limits import binding_limit
from hearthtide.planning.plan import Late, Limit, Need
from hearthtide.planning.problem import Problem, Schedule
from hearthtide.planning.proof.prove import prove
from hearthtide.planning.ways_out import APART_S, FlameUp, Way, cost_s, ways
from printed_plan import limit as printed_limit
from rich_night import preheated, with_items
from small_night import clock, problem_of, small_house, small_night, solved

HOUSE = WeightsFile(plate_off=700, helper=3, platter=50)
RUSH = small_night(
    ("A1", "18:00", "18:07", ("pizza", "pizza", "pizza", "pizza")),
    ("B2", "18:00", "18:08", ("pizza", "pizza", "dip")),
    ("C3", "18:01", "18:10", ("pizza", "shrimp")),
    ("D4", "18:30", "18:50", ("pizza",)),
)


@pytest.fixture(scope="module")
def late_night() -> tuple[Problem, Schedule]:
    problem, schedule = solved(small_house(), RUSH, rounds=400)
    return replace(problem, orders=schedule.orders), schedule


def of_kind(late_night: tuple[Problem, Schedule], kind: str) -> list[Way]:
    return [way for way in ways(*late_night, None, HOUSE) if way.kind == kind]


def test_every_way_is_planned_to_a_schedule_that_is_proven(late_night) -> None:
    again = Again.of(*late_night, seed=1)
    for way in ways(*late_night, None, HOUSE):
        found = again.plan(way.problem)
        assert found is not None
        assert prove(way.problem, found) == (), way.words


def test_a_dish_off_the_hearth_takes_its_plates_from_the_late_orders_alone(late_night) -> None:
    problem, schedule = late_night
    slow = {item.key for b in late_orders(problem, schedule) for item in b.order.items}
    assert slow and not any(key.startswith("D4") for key in slow)
    way = next(way for way in of_kind(late_night, "dish off") if "pizza" in way.words)
    left = [item for order in way.problem.orders for item in order.items]
    gone = sum(i.dish == "pizza" and i.key in slow for o in problem.orders for i in o.items)
    assert not any(item.dish == "pizza" and item.key in slow for item in left)
    assert sum(item.ticket == "D4" for item in left) == 1
    assert way.price(schedule)[0] == 700 * gone


def test_a_table_waits_as_many_guests_as_before_while_any_plate_is_left_it(late_night) -> None:
    problem, _ = late_night
    before = {order.key: order.weight for order in problem.orders}
    for way in of_kind(late_night, "dish off"):
        assert all(order.weight == before[order.key] for order in way.problem.orders)


def test_a_split_order_lands_half_its_plates_six_minutes_later(late_night) -> None:
    problem, schedule = late_night
    for way in of_kind(late_night, "split"):
        keys = {order.key for order in problem.orders}
        first, second = (order for order in way.problem.orders if order.key not in keys)
        assert second.wanted_s - first.wanted_s == APART_S
        assert abs(len(first.items) - len(second.items)) <= 1
        assert way.price(schedule)[0] == pytest.approx(second.weight * APART_S)


def test_a_person_at_the_pass_does_nothing_else_and_costs_what_their_hands_take(late_night) -> None:
    problem, _ = late_night
    found = of_kind(late_night, "pass")
    assert [way.problem.cooks[-1].acts for way in found] == [{"cut"}, {"dress"}, {"cut", "dress"}]
    for way in found:
        planned = Again.of(*late_night, seed=1).plan(way.problem)
        assert planned is not None
        theirs = [
            h for b in planned.booked for p in b.placed for h in p.handlings if h.cook == len(problem.cooks)
        ]
        assert {h.act for h in theirs} <= way.problem.cooks[-1].acts
        assert way.price(planned)[0] == 3 * sum(h.hands_s for h in theirs)


def test_vessels_that_preheat_on_the_stone_may_come_hot_from_elsewhere() -> None:
    """Each then stands on it for its two minutes of preheating less."""
    house = small_house(cooks=3, platters=None)
    problem = with_items(
        problem_of(house, small_night(*((f"A{n}", "18:00", "18:12", ("steak",)) for n in range(3)))),
        lambda item: preheated(replace(item, from_bank=False)),
    )
    schedule = search(problem, rounds=50)
    (way,) = (way for way in ways(problem, schedule, None, HOUSE) if way.kind == "preheat")
    before, after = (p.orders[0].items[0] for p in (problem, way.problem))
    assert before.shortest_s - after.shortest_s == 120
    assert way.price(schedule)[0] == 3 * 50
    found = Again.of(problem, schedule, seed=1).plan(way.problem)
    assert found is not None and prove(way.problem, found) == ()
    assert late_guest_s(found) < late_guest_s(schedule)


def test_no_way_touches_what_has_begun(late_night) -> None:
    problem, schedule = late_night
    items = {i.key: i for o in problem.orders for i in o.items}
    begun = frozenset(i.key for b in late_orders(problem, schedule)[:2] for i in b.order.items)
    assert begun
    for way in ways(problem, schedule, None, HOUSE, begun):
        changed = {i.key: i for o in way.problem.orders for i in o.items}
        assert all(changed[key] == items[key] for key in begun), way.words
        assert all(len({i.key for i in o.items} & begun) in (0, len(o.items)) for o in way.problem.orders)


def test_later_minutes_cost_the_waiting_that_is_told(late_night) -> None:
    problem, schedule = late_night
    (way,) = of_kind(late_night, "later")
    told = {order.key: order.wanted_s for order in way.problem.orders}
    waited = 0.0
    for booked in late_orders(problem, schedule):
        assert told[booked.order.key] % 60 == 0
        assert 0 <= told[booked.order.key] - booked.landing_s < 60
        waited += booked.order.weight * (told[booked.order.key] - booked.order.wanted_s)
    assert way.price(schedule)[0] == pytest.approx(waited)


def test_what_is_shown_helps_is_worth_its_price_and_comes_out_again(late_night) -> None:
    problem, schedule = late_night
    limit = binding_limit(problem, schedule, seed=1)
    assert limit is not None and 1 <= len(limit.ways_out) <= 2
    assert limit == binding_limit(problem, schedule, seed=1)
    assert limit.tried == len(list(ways(problem, schedule, None, HOUSE)))
    per_second = [way.price_s / way.taken_guest_s for way in limit.ways_out]
    assert per_second == sorted(per_second)
    assert len({way.kind for way in limit.ways_out}) == len(limit.ways_out)
    for way in limit.ways_out:
        assert way.net_s > 0
        assert way.taken_guest_s >= 0.05 * (way.taken_guest_s + way.late_guest_s)
        assert way.taken_guest_s + way.late_guest_s <= limit.late_guest_s


def test_a_way_is_worth_money_where_the_house_says_what_a_guests_minute_costs(late_night) -> None:
    problem, schedule = late_night
    weights = WeightsFile(guest_minute_costs=0.5, currency="crowns")
    limit = binding_limit(problem, schedule, seed=1, weights=weights)
    assert limit is not None
    for way in limit.ways_out:
        assert way.saved_money == pytest.approx(way.net_s / 60 * 0.5)
        assert "crowns" in way_words(way)
    without = binding_limit(problem, schedule, seed=1)
    assert without is not None and {way.saved_money for way in without.ways_out} == {None}


class Warmer:
    """A stove whose warmer stone, or higher flame for two kWh, stands in for a second pair of hands."""

    def at_top(self, problem: Problem) -> Problem:
        return replace(problem, cooks=problem.cooks * 2)

    def flame_up(self, problem: Problem, from_s: int, until_s: int) -> FlameUp | None:
        assert clock("18:00") == from_s < until_s
        return FlameUp(self.at_top(problem), "flame up one level", 2.0)


class Indifferent(Warmer):
    """A stove that warmer stone does nothing for."""

    def at_top(self, problem: Problem) -> Problem:
        return problem

    def flame_up(self, problem: Problem, from_s: int, until_s: int) -> FlameUp | None:
        raise AssertionError("asked for a higher flame where the floor does not bind")


@pytest.mark.parametrize(("fuel", "price_s"), [(None, 0.0), (0.25, 60.0)])
def test_a_higher_flame_costs_its_fuel_where_the_house_says_what_that_is(late_night, fuel, price_s) -> None:
    """Two kWh at 0.25 are as dear as one guest waiting a minute at 0.50."""
    weights = WeightsFile(guest_minute_costs=0.5, fuel_costs=fuel)
    limit = binding_limit(*late_night, seed=1, stove=Warmer(), weights=weights)
    assert limit is not None
    way = next(way for way in limit.ways_out if way.kind == "flame")
    assert way.price_s == pytest.approx(price_s) and "2.0 kWh" in way.price
    assert (way.saved_money is None) is (fuel is None)


def test_no_higher_flame_is_tried_where_warmer_stone_would_not_help(late_night) -> None:
    limit = binding_limit(*late_night, seed=1, stove=Indifferent())
    assert limit is not None and limit.tried == len(list(ways(*late_night, None, HOUSE)))


def test_a_dish_whose_minutes_do_not_fit_can_only_be_told_later() -> None:
    night = small_night(("A1", "18:00", "18:05", ("steak",)))
    limit = binding_limit(*solved(small_house(cooks=3), night, rounds=5), seed=1)
    assert limit is not None
    assert [way.kind for way in limit.ways_out] == ["later"]
    assert limit.ways_out[0].late_guest_s == 0


def test_the_cost_is_the_searchs_own(late_night) -> None:
    problem, schedule = late_night
    assert cost_s(problem, schedule) == pytest.approx(schedule.cost)
    assert late_guest_s(schedule) == sum(
        booked.order.weight * max(0, booked.landing_s - booked.order.wanted_s) for booked in schedule.booked
    )


def test_the_words_name_figures_and_who_slips() -> None:
    limit = printed_limit()
    later, helped = map(way_words, limit.ways_out)
    assert later == (
        "Tell 1 table a later minute. Takes 17 guest-minutes of lateness away, 0 guest-minutes stay. Price: "
        "told. Worth 8 guest-minutes, 4.50 money by the house's weights. Late then: nobody."
    )
    assert "Late then: C7 by 4:20 (wanted 19:20)" in helped
    assert ways_note(limit).startswith("9 ways were planned, on the minutes of this plan")
    none = replace(limit, ways_out=())
    assert ways_note(none).startswith("None of 9 ways")


def test_no_more_than_four_of_those_who_slip_are_named() -> None:
    late = tuple(Late(f"T{n}", f"T{n}", clock("19:00"), 600 - n) for n in range(6))
    assert late_words(late).endswith(" and 2 more")
    assert late_words(()) == "nobody"


def test_a_need_says_its_share() -> None:
    hands = Need("hands", clock("19:10"), 45.0, 30.0, "min")
    assert need_words(hands) == (
        "To land all as wanted takes 45 of 30 min of hands (150 %) in the half hour from 19:10."
    )
    out = Need("platters", clock("19:10"), 6.0, 4.0, "platters out at once")
    assert "6 of 4 platters out at once (150 %) at 19:10" in need_words(out)


def test_limits_are_equal_by_their_facts() -> None:
    assert isinstance(printed_limit(), Limit) and printed_limit() == printed_limit()
