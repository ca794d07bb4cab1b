"""The search: constructed by need, improved by taking out and putting back, bounded by counted work."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from hearthtide.planning.improve import Unplaceable, solve
from hearthtide.planning.insert import order_cost
from hearthtide.planning.problem import Choice, Stage
from small_night import MIXED, problem_of, small_house, small_night, solved

BUSY = small_night(
    *(
        (f"A{n}", f"18:{2 * n:02d}", f"18:{12 + 2 * n}", ("pizza", "pizza", "dip")[: 1 + n % 3])
        for n in range(7)
    )
)


def test_every_order_is_booked_once_in_the_order_of_the_night() -> None:
    problem, schedule = solved(small_house(), MIXED, rounds=5)
    assert [b.order.key for b in schedule.booked] == [o.key for o in problem.orders]
    assert set(schedule.by_order()) == {o.key for o in problem.orders}
    for booked in schedule.booked:
        assert [p.item.key for p in booked.placed] == [i.key for i in booked.order.items]


def test_cost_is_the_sum_over_the_orders() -> None:
    problem, schedule = solved(small_house(), BUSY, rounds=3)
    assert schedule.cost == pytest.approx(sum(order_cost(problem, b) for b in schedule.booked))
    assert schedule.cost > 0


def test_improving_pays_on_a_busy_night() -> None:
    built, searched = (solved(small_house(), BUSY, rounds=n)[1] for n in (0, 30))
    assert searched.cost < built.cost
    assert searched.tries > built.tries


def test_another_seed_may_differ_and_the_same_does_not() -> None:
    first, same = (solved(small_house(), BUSY, rounds=6, seed=5)[1] for _ in range(2))
    assert first == same


def test_a_night_without_cost_is_left_alone() -> None:
    quiet = small_night(("A1", "18:00", "18:30", ("dip",)), ("A2", "19:00", "19:30", ("pizza",)))
    _, schedule = solved(small_house(), quiet, rounds=50)
    assert schedule.cost == 0
    assert schedule.rounds == 0


def test_progress_is_told_within_bounds() -> None:
    told: list[float] = []
    solve(problem_of(small_house(), BUSY), 8, random.Random(1), on_progress=told.append)
    assert told == sorted(told)
    assert told[0] == 0
    assert told[-1] < 1


def test_an_order_with_no_place_anywhere_is_named() -> None:
    problem = problem_of(small_house(), small_night(("A1", "18:00", "18:30", ("dip",))))
    (order,) = problem.orders
    nowhere = replace(order.items[0], stages=(Stage("heat", ((Choice(360, 0, 0),),), ()),))
    stuck = replace(problem, orders=(replace(order, items=(nowhere,)),))
    with pytest.raises(Unplaceable) as caught:
        solve(stuck, 0, random.Random(1))
    assert caught.value.order.key == "A1"


def test_stage_times_follow_the_half_hour() -> None:
    """The second bin is slower: what ends in it takes the longer time."""
    problem = problem_of(small_house(), small_night(("A1", "18:00", "18:50", ("dip",))))
    (order,) = problem.orders
    item = order.items[0]
    mask = item.stages[0].choices[0][0].places
    slower = Stage("heat", ((Choice(360, mask, 0),), (Choice(500, mask, 0),)), ())
    changed = replace(problem, orders=(replace(order, items=(replace(item, stages=(slower,)),)),))
    late, early = (
        solve(replace(changed, orders=(replace(changed.orders[0], wanted_s=at),)), 0, random.Random(1))
        for at in (problem.from_s + 3000, problem.from_s + 1500)
    )
    for schedule, seconds in ((late, 500), (early, 360)):
        (placed,) = schedule.booked[0].placed
        assert placed.leave_s - placed.stays[0].start_s == seconds


def test_the_first_wish_is_taken_while_it_is_free() -> None:
    """Shrimp would rather stand near the flame than in the middle."""
    problem, schedule = solved(small_house(), small_night(("A1", "18:00", "18:30", ("shrimp",))))
    (placed,) = schedule.booked[0].placed
    assert problem.places.spots[placed.stays[0].place].zone == "near"


def test_the_second_wish_serves_when_the_first_is_full() -> None:
    night = small_night(*((f"A{n}", "18:00", "18:30", ("shrimp",)) for n in range(9)))
    problem, schedule = solved(small_house(cooks=4), night)
    zones = {problem.places.spots[p.stays[0].place].zone for b in schedule.booked for p in b.placed}
    assert zones == {"near", "mid"}
