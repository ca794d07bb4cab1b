"""Whatever small night comes, the search gives a schedule that breaks no promise but that of time."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hearthtide.house.models import NightFile
from hearthtide.planning.checker import check_moves
from hearthtide.planning.engine.search import Effort, repair, search
from hearthtide.quantities import clock_text
from small_night import DISHES, HEARTHS, plan_of, problem_of, small_house, small_night

# Busy nights may land late, and then apart or waiting at the pass; nothing else may give.
MAY_BREAK = {"on time", "together"}
START_S = 18 * 3600
NOISE = 10.0  # guest-seconds by which two searches of one small night may differ; own choice


@st.composite
def nights(draw: st.DrawFn, most: int = 8) -> NightFile:
    tickets = []
    for n in range(draw(st.integers(1, most))):
        called = START_S + 20 * draw(st.integers(0, 90))
        wanted = called + 20 * draw(st.integers(1, 60))
        dishes = draw(st.lists(st.sampled_from(sorted(DISHES)), min_size=1, max_size=3))
        tickets.append((f"T{n}", clock_text(called), clock_text(wanted), tuple(dishes)))
    return small_night(*tickets)


@settings(max_examples=20, deadline=None)
@given(nights(), st.integers(1, 3), st.sampled_from([None, 2, 12]), st.sampled_from(sorted(HEARTHS)))
def test_the_checker_accepts_every_schedule(
    night: NightFile, cooks: int, platters: int | None, hearth: str
) -> None:
    # Half an hour late is let pass, so that the night is not planned anew to say what binds.
    house = small_house(cooks=cooks, platters=platters, oven=HEARTHS[hearth], late_after="30 min")
    problem = problem_of(house, night)
    schedule = search(problem, rounds=100)
    plan = plan_of(house, night, problem, schedule)
    checks = check_moves(house, night, plan.moves, plan.landings, plan.items)
    assert {
        check.name: check.detail for check in checks if not check.ok and check.name not in MAY_BREAK
    } == {}


@settings(max_examples=20, deadline=None)
@given(nights(5), st.integers(0, 1000))
def test_the_same_seed_gives_the_same_schedule(night: NightFile, seed: int) -> None:
    problem = problem_of(small_house(), night)
    first, again = (search(problem, rounds=40, seed=seed) for _ in range(2))
    assert first == again


@settings(max_examples=40, deadline=None)
@given(nights(1))
def test_a_second_pair_of_hands_never_makes_one_order_later(night: NightFile) -> None:
    costs = []
    for problem in (problem_of(small_house(cooks=cooks), night) for cooks in (1, 2)):
        assume(len(problem.orders) == 1)  # a ticket cut into drops for one pair of hands is another order
        costs.append(search(problem, rounds=200).cost)
    assert costs[1] <= 1.02 * costs[0] + NOISE


@settings(max_examples=25, deadline=None)
@given(nights(5))
def test_searching_on_never_costs_more(night: NightFile) -> None:
    problem = problem_of(small_house(), night)
    built = search(problem, rounds=0)
    searched = search(problem, rounds=60)
    assert searched.cost <= built.cost + 1e-9


@settings(max_examples=25, deadline=None)
@given(nights(5))
def test_what_is_kept_stays_as_it_was(night: NightFile) -> None:
    problem = problem_of(small_house(), night)
    schedule = search(problem, rounds=0)
    again = repair(problem, schedule.booked[::2], seed=4, effort=Effort(0))
    kept = {b.order.key: b for b in schedule.booked[::2]}
    assert {b.order.key: b for b in again.booked if b.order.key in kept} == kept
    assert [b.order.key for b in again.booked] == [o.key for o in problem.orders]


@settings(max_examples=25, deadline=None)
@given(nights(5))
def test_plates_kept_of_a_table_stay_and_the_others_come_around_them(night: NightFile) -> None:
    problem = problem_of(small_house(), night)
    schedule = search(problem, rounds=0)
    kept = [replace(b, placed=b.placed[:1]) for b in schedule.booked]
    again = {b.order.key: b for b in repair(problem, kept, seed=4, effort=Effort(0)).booked}
    for booked in kept:
        (one,) = booked.placed
        same = next(p for p in again[booked.order.key].placed if p.item.key == one.item.key)
        assert (same.stays, same.handlings) == (one.stays, one.handlings)
