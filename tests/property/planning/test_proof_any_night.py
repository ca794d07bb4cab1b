"""Whatever small night comes, with whatever rules, what the search plans passes the proof."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from by_hand import faults
from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Problem, Schedule
from hearthtide.planning.proof.prove import prove
from rich_night import CHANGES, START_S, cut_at, rich_nights
from small_night import problem_of, small_house, small_night

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(), st.integers(1, 1000))
def test_the_proof_accepts_every_schedule(problem: Problem, seed: int) -> None:
    assert prove(problem, search(problem, rounds=60, seed=seed)) == ()


@settings(max_examples=15, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(3), st.integers(1, 1000))
def test_the_proof_rejects_the_schedule_of_another_night(problem: Problem, seed: int) -> None:
    """The same night with one guest more, or the other way round."""
    plan = search(problem, rounds=10, seed=seed)
    assert "orders" in faults(replace(problem, orders=problem.orders[1:]), plan)


@pytest.mark.xfail(
    reason="the search miscounts reaches where food has begun, and lets begun food overrun onto told places",
)
# The same nights every time, and none made smaller: a miss that is known needs no smaller example.
@settings(
    max_examples=60, deadline=None, suppress_health_check=SLOW, derandomize=True, phases=[Phase.generate]
)
@given(rich_nights(), st.integers(1, 30), st.sampled_from([0, 25, 90]), st.sampled_from([0, 0, 120, 400]))
def test_the_proof_accepts_every_night_planned_again(
    problem: Problem, minute: int, longer_s: int, busy_s: int
) -> None:
    """At some minute, food slower than thought, perhaps all cooks called away for a while."""
    first = search(problem, rounds=60)
    reality = cut_at(first, START_S + 60 * minute, longer_s, busy_s, len(problem.cooks))
    open_ = still_open(problem, first, reality.now_s)
    again = search(open_, reality, first, rounds=40)
    assert prove(open_, again, reality, first) == ()


def still_open(problem: Problem, plan: Schedule, now_s: int) -> Problem:
    """The orders as they were placed, and the chores whose span is still to come."""
    chores = tuple(c for c in problem.chores if c.wanted_s - c.give_s > now_s)
    return replace(problem, orders=plan.orders, chores=chores)


@pytest.mark.xfail(
    strict=True, reason="the search takes an asap item's minutes from the half hour it goes in, not comes out"
)
def test_what_is_worked_off_at_once_takes_the_minutes_of_the_half_hour_it_comes_out_in() -> None:
    """Called 18:25 in a night that begins 18:00, chicken ten minutes then, eleven from 18:30."""
    night = small_night(("A1", "18:00", "18:20", ("dip",)), ("B2", "18:25", "18:50", ("chicken",)))
    problem = CHANGES["buffer"](CHANGES["bins"](problem_of(small_house(), night)))
    assert prove(problem, search(problem, rounds=20)) == ()
