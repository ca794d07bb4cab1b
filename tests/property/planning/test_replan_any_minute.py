"""At any second of a night: begun work is unmoved, the told minute is kept, nothing new changes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hearthtide.planning.engine.search import search
from hearthtide.planning.events import NewTicket, StageSeen, after_event
from hearthtide.planning.problem import Order, Placed, Problem, Reality, Schedule
from hearthtide.planning.replan import over_at_s, reality_at, replanned, told_changes
from hearthtide.planning.told import Running, told_acts
from small_night import MIXED, clock, problem_of, small_house, small_night

FIRST, LAST = clock("18:00"), clock("18:33")
minute = st.integers(FIRST, LAST)


@cache
def night(cooks: int) -> Running:
    problem = problem_of(small_house(cooks=cooks), MIXED)
    schedule = search(problem, rounds=300)
    return Running(replace(problem, orders=schedule.orders), schedule, FIRST)


@cache
def another(called: int) -> tuple[Order, ...]:
    at = f"18:{called:02d}"
    return problem_of(
        small_house(cooks=2), small_night(("E5", at, f"18:{called + 22}", ("pizza", "dip")))
    ).orders


def searching(rounds: int):
    def found(problem: Problem, reality: Reality, told: Schedule) -> Schedule:
        return search(problem, reality, told, rounds=rounds)

    return found


def placed(schedule: Schedule) -> Iterator[Placed]:
    return (p for b in schedule.booked for p in b.placed)


def unmoved(before: Running, after: Running) -> None:
    """All that stands is in the new plan to the second, on its place."""
    stands = told_acts(before)
    new = {p.item.key: p for p in placed(after.schedule)}
    begun = {b.item: b for b in reality_at(before).begun}
    for b in before.schedule.booked:
        if over_at_s(before.problem, b) <= before.now_s:
            continue
        for p in b.placed:
            kept = [h for h in p.handlings if id(h) in stands]
            assert set(kept) <= set(new[p.item.key].handlings), p.item.key
    for key, one in begun.items():
        found = new[key].stays[: len(one.stays)]
        assert [(s.place, s.start_s) for s in found] == [(s.place, s.start_s) for s in one.stays]


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 2), minute)
def test_a_replan_with_nothing_new_changes_nothing(cooks: int, now_s: int):
    """Without a search for better, the plan made anew is the plan; with one, it is that or a cheaper one."""
    run = replace(night(cooks), now_s=now_s)
    again = replanned(run, searching(0))
    was = {p.item.key: (p.handlings, p.stays) for p in placed(run.schedule)}
    assert all(was[p.item.key] == (p.handlings, p.stays) for p in placed(again.schedule))
    better = replanned(run, searching(60))
    assert better.schedule.cost <= again.schedule.cost + 1e-6
    unmoved(run, better)


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 2), st.integers(0, 30))
def test_a_new_ticket_moves_nothing_begun_nor_told(cooks: int, called: int):
    run = replace(night(cooks), now_s=FIRST + 60 * called)
    run = after_event(run, NewTicket(another(called)))
    after = replanned(run, searching(60))
    unmoved(run, after)
    assert told_changes(run, after)[1] == 0
    assert {"E5-1", "E5-2"} <= {p.item.key for p in placed(after.schedule)}


@settings(max_examples=25, deadline=None)
@given(minute, st.integers(8, 40), st.integers(0, 20))
def test_a_stage_that_takes_longer_moves_nothing_begun(now_s: int, longer_s: int, which: int):
    run = replace(night(1), now_s=now_s)
    on = [s for p in placed(run.schedule) for s in p.stays if s.start_s < now_s < s.end_s]
    assume(on)
    stay = on[which % len(on)]
    seen = after_event(run, StageSeen(stay.item, stay.stage, stay.start_s + stay.asked_s + longer_s))
    after = replanned(seen, searching(60))
    unmoved(seen, after)
    (anew,) = (
        s for p in placed(after.schedule) for s in p.stays if s.item == stay.item and s.stage == stay.stage
    )
    early = {r.item: r.seconds for r in after.schedule.recourse}.get(stay.item, 0)
    assert anew.end_s >= stay.start_s + stay.asked_s + longer_s - 15 - early
    assert anew.asked_s == stay.asked_s + longer_s
