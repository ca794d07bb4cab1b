"""Whatever small night comes, with whatever rules, what the search plans passes the proof."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from by_hand import faults
from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Problem
from hearthtide.planning.proof.prove import prove
from rich_night import rich_nights

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
    assert "orders" in faults(Problem(**{**vars(problem), "orders": problem.orders[1:]}), plan)
