"""More spread never makes a plan's landings sooner, closer to the plan, or easier to promise."""

from __future__ import annotations

from functools import cache

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.planning.problem import Problem, Schedule
from hearthtide.planning.promise import Spreads, landings_s
from small_night import MIXED, small_house, solved

SHARES = (0.1, 0.25, 0.5, 0.75, 0.9)


@cache
def night(cooks: int) -> tuple[Problem, Schedule]:
    return solved(small_house(cooks=cooks), MIXED, rounds=20)


def landed(cooks: int, spreads: Spreads, seed: int):
    return landings_s(*night(cooks), np.random.default_rng(seed), spreads, 64)


spread = st.tuples(st.floats(0, 0.3), st.floats(0, 15))


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 2), st.integers(0, 2**32 - 1), spread, st.floats(1, 4))
def test_more_spread_never_narrows(cooks: int, seed: int, at: tuple[float, float], more: float):
    """The same luck, felt `more` strongly: each run lands at least that many times as late over the plan.

    A landing is the plan or the latest of sums linear in the spread, so convex in it and the plan at none.
    """
    less = landed(cooks, Spreads(*at), seed)
    wide = landed(cooks, Spreads(at[0] * more, at[1] * more), seed)
    plan = np.array([[b.landing_s] for b in night(cooks)[1].booked])
    assert np.all(less >= plan)
    assert np.all(wide - plan >= more * (less - plan) - 1e-6 * (1 + wide - plan))
    late, later = (np.quantile(x - plan, SHARES, axis=1) for x in (less, wide))
    assert np.all(later >= late - 1e-6)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32 - 1), spread)
def test_what_has_been_done_takes_no_further_luck(seed: int, at: tuple[float, float]):
    """The further on the night, the less can still differ: each run lands no later than seen from before."""
    problem, schedule = night(1)
    half = sorted(b.landing_s for b in schedule.booked)[1]
    free = landings_s(problem, schedule, np.random.default_rng(seed), Spreads(*at), 32)
    rest = landings_s(problem, schedule, np.random.default_rng(seed), Spreads(*at), 32, now_s=half)
    plan = np.array([[b.landing_s] for b in schedule.booked])
    assert np.all(rest >= plan)
    done = [
        n
        for n, b in enumerate(schedule.booked)
        if all(h.start_s < half for p in b.placed for h in p.handlings)
    ]
    assert done and np.all(rest[done] == plan[done])
    assert np.all(free[done] >= rest[done])
