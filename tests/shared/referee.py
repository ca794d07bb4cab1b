"""What the planner is measured against: CP-SAT on the same problem, with a proof or a bound.

Never in a kitchen. `judge` gives every item a place and proves small windows; on few places (`thinned`), the
search gets the same few. `at_least` leaves the places out and only counts what fits at once: a bound from
below on all places, for windows too large to prove. Both count cost as `planning.cost` does, and a plan that
is found is counted again by it.

Modelled: stages with bands and any number of wishes, turns near their moments, hands of one or several cooks
at their own speed, dressing and cutting, rests and holds, platters of a bank, recovery of bare stone, stages
that stay where the one before stood, reach over others. Anything else is refused (`not_modelled`). Nothing
has begun yet in the nights it judges.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ortools.sat.python import cp_model

from hearthtide.planning.cost import order_cost, order_parts, reached_over
from hearthtide.planning.problem import Booked, Placed, Problem, Schedule, Stay, rest_slack_s
from referee_acts import SCALE, ItemVars, NightVars, least_landing_cost
from referee_places import Standing, add_capacities, add_places, repeatable

AFTER_S = 3600  # how long after the last order is wanted plans may go on; a verdict says when that decided


@dataclass(frozen=True)
class Verdict:
    """No plan costs less than `bound` [guest-seconds]; `schedule` costs `cost` (infinite: none was found).

    `proven`: `schedule` is an optimum. `effort` is what it took, in CP-SAT's deterministic seconds.
    """

    schedule: Schedule | None
    cost: float
    bound: float
    proven: bool
    effort: float


def judge(
    problem: Problem,
    effort: float = 20.0,
    seed: int = 1,
    after_s: int = AFTER_S,
    start: Schedule | None = None,
) -> Verdict:
    """The cheapest plan of all, or the best found within `effort` and a bound for the others.

    `start`, a plan of the same problem, is where it begins to look: then it most often ends no dearer.
    Raises `NotModelled` for a problem with features the referee does not know, and `ValueError` when there is
    no plan at all.
    """
    night = NightVars(problem, last_s(problem, after_s))
    standing = add_places(night)
    if start is not None:
        _hint(night, standing, start)
    solver, status = _solve(night, effort, seed)
    bound = solver.best_objective_bound / SCALE
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Verdict(None, math.inf, max(0.0, bound), False, effort)
    schedule = _schedule(night, standing, solver)
    counted = solver.objective_value / SCALE  # before it is proven least, CP-SAT may count a second too many
    if schedule.cost > counted + 1e-6 or (status == cp_model.OPTIMAL and schedule.cost < counted - 1e-6):
        raise AssertionError(f"cost.py counts {schedule.cost}, the model {counted}")
    beyond = least_landing_cost(problem, list(schedule.booked), night.until_s)
    proven = status == cp_model.OPTIMAL and schedule.cost <= beyond
    spent = solver.response_proto.deterministic_time
    return Verdict(schedule, schedule.cost, min(bound, beyond), proven, spent)


def at_least(problem: Problem, effort: float = 20.0, seed: int = 1, after_s: int = AFTER_S) -> float:
    """A cost no plan can undercut, from hands, bands and what fits at once [guest-seconds]."""
    night = NightVars(problem, last_s(problem, after_s))
    add_capacities(night)
    solver, _ = _solve(night, effort, seed)
    beyond = least_landing_cost(problem, [Booked(o.order, (), 0) for o in night.orders], night.until_s)
    return max(0.0, min(solver.best_objective_bound / SCALE, beyond))


def last_s(problem: Problem, after_s: int) -> int:
    return max(order.wanted_s for order in problem.orders) + after_s


def _solve(night: NightVars, effort: float, seed: int) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    night.model.minimize(sum(night.price))
    solver = repeatable(effort, seed)
    status = solver.solve(night.model)
    if status == cp_model.INFEASIBLE:
        raise ValueError(f"no plan lands everything by {night.until_s} s of the day")
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(night.model.validate())
    return solver, status


def _hint(night: NightVars, standing: list[Standing], start: Schedule) -> None:
    """A plan as hints: its acts in their order, its places."""
    placed = {p.item.key: p for b in start.booked for p in b.placed}
    for item in night.items:
        for act, done in zip(item.acts, placed[item.item.key].handlings, strict=True):
            night.model.add_hint(act.start, done.start_s)
            for cook, does in act.by.items():
                night.model.add_hint(does, cook == done.cook)
    for one in standing:
        own = next(s for s in placed[one.owner.item.key].stays if s.stage == one.first)
        for p, there in one.at.items():
            night.model.add_hint(there, p == own.place)


def _schedule(night: NightVars, standing: list[Standing], solver: cp_model.CpSolver) -> Schedule:
    problem, booked = night.problem, []
    for order in night.orders:
        last = max(solver.value(item.ready) for item in order.items)
        placed = tuple(_placed(problem, item, standing, solver, last) for item in order.items)
        booked.append(Booked(order.order, placed, solver.value(order.landing)))
    parts: dict[str, float] = {}
    for b in booked:
        for kind, cost in order_parts(problem, b).items():
            parts[kind] = parts.get(kind, 0.0) + cost
    crossed = reached_over(problem, booked) if problem.weights.reach else 0
    parts["reach"] = problem.weights.reach * crossed
    whole = sum(order_cost(problem, b) for b in booked) + parts["reach"]
    return Schedule(tuple(booked), whole, 0, 0, parts)


def _placed(
    problem: Problem, item: ItemVars, standing: list[Standing], solver: cp_model.CpSolver, last: int
) -> Placed:
    handlings = tuple(act.handling(problem, solver) for act in item.acts)
    stays = []
    for one in (s for s in standing if s.owner is item):
        place = next(p for p, there in one.at.items() if solver.boolean_value(there))
        for k, stage in enumerate(one.stages, one.first):
            begin, end = solver.value(stage.begin.start), solver.value(stage.end.start)
            held = solver.value(stage.end.end) if stage is one.stages[-1] else end
            asked = next(
                c.seconds
                for c, chosen in zip(stage.choices, stage.which, strict=True)
                if solver.boolean_value(chosen)
            )
            stays.append(Stay(item.item.key, k, place, begin, end, held, asked, item.item.on_stone))
    leave = stays[-1].end_s
    ready = min(last, leave + item.item.rest_s + rest_slack_s(item.item))
    return Placed(item.item, tuple(stays), handlings, leave, ready)
