"""What a whole schedule costs by kind, in guest-seconds: what every figure of a plan's cost adds up from."""

from __future__ import annotations

from hearthtide.planning.cost import order_parts, reached_over, recourse_parts
from hearthtide.planning.problem import Problem, Schedule


def schedule_parts(problem: Problem, schedule: Schedule) -> dict[str, float]:
    """What a schedule costs by kind over all its orders: each order's own, and what they share."""
    parts: dict[str, float] = {}
    for booked in schedule.booked:
        for kind, seconds in order_parts(problem, booked).items():
            parts[kind] = parts.get(kind, 0.0) + seconds
    if problem.weights.reach > 0:
        parts["reach"] = problem.weights.reach * reached_over(problem, schedule.booked)
    begun = recourse_parts(problem, schedule)
    return parts | {"early pull" if kind == "early" else kind: s for kind, s in begun.items()}
