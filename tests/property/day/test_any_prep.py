"""Any day of prep: a plan that stands before the checker, or a limit that is named, with ways out."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.day.prep import Problem
from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_limits import binding
from hearthtide.day.prep_search import Effort, planned
from prep_instances import invented_day, mixed

plain_days = st.builds(
    invented_day,
    seed=st.integers(0, 10_000),
    tasks=st.integers(0, 14),
    people=st.integers(1, 4),
    apart=st.booleans(),
)
days = plain_days | st.builds(mixed, plain_days, st.integers(0, 10_000))


def hurried(problem: Problem, share: float) -> Problem:
    """The same day with every due so much sooner."""
    tasks = tuple(
        task if task.due_s is None else replace(task, due_s=int(task.due_s * share) // 60 * 60)
        for task in problem.tasks
    )
    return replace(problem, tasks=tasks)


@settings(max_examples=60)
@given(days, st.sampled_from((1.0, 0.5, 0.2)), st.integers(0, 3))
def test_any_day_has_a_checked_plan_or_a_limit_with_a_name(problem, share, seed):
    problem = hurried(problem, share)
    plan = planned(problem, seed=seed, effort=Effort(rounds=20))
    assert faults(problem, plan) == ()
    assert plan == planned(problem, seed=seed, effort=Effort(rounds=20))
    if plan.kept:
        return
    bound = binding(problem, plan, rounds=10)
    assert bound.limit and bound.words and bound.late
    assert set(bound.late) <= set(problem.task)
    for way in bound.ways_out:
        assert (way.unplaced, way.late_s) < (len(plan.unplaced), plan.late_s)


@settings(max_examples=25)
@given(days)
def test_looking_longer_is_never_worse(problem):
    short, long = (planned(problem, effort=Effort(rounds=n)).cost for n in (5, 40))
    assert long <= short


@settings(max_examples=40)
@given(plain_days, st.sampled_from((0.5, 0.2)))
def test_what_is_said_to_be_sure_is_so(problem, share):
    """A limit that is proved binds every plan: CP-SAT finds none that is in time either."""
    from prep_by_cpsat import best_cost

    problem = hurried(problem, share)
    plan = planned(problem, effort=Effort(rounds=10))
    if plan.kept or not binding(problem, plan, rounds=0).sure:
        return
    best = best_cost(problem)
    assert best is None or best[0] > 0
