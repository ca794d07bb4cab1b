"""A day's prep as CP-SAT takes it, written a second time from the words of the problem: the best there is.

A wash-down is a time alone here: a test that compares has a porter for each place kept apart, who does
nothing else.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from hearthtide.day.prep import Problem

HORIZON_S = 200_000


def best_cost(problem: Problem, scale: int = 60, effort: float = 60.0) -> tuple[int, int, int] | None:
    """Least lateness, then the soonest finish, then the least sum of ends [s]; None where nothing fits.

    Raises AssertionError where CP-SAT does not prove it within `effort` (its deterministic time).
    """
    model, ends, lates = _model(problem, scale)
    finish = model.new_int_var(0, HORIZON_S, "finish")
    model.add_max_equality(finish, ends)
    found = []
    for aim in (sum(lates), finish, sum(ends)):
        model.minimize(aim)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = effort
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE and not found:
            return None
        assert status == cp_model.OPTIMAL, solver.status_name(status)
        found.append(round(solver.objective_value))
        model.add(aim == found[-1])
    late, end, whole = (one * scale for one in found)
    return late, end, whole


def found_within(problem: Problem, seconds: float, scale: int = 60) -> tuple[int, int] | None:
    """Lateness and finish [s] of the best CP-SAT finds in so many seconds of one thread, lateness first."""
    model, ends, lates = _model(problem, scale)
    finish = model.new_int_var(0, HORIZON_S, "finish")
    model.add_max_equality(finish, ends)
    late = sum(lates)
    model.minimize(HORIZON_S * late + finish)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return round(solver.value(late)) * scale, solver.value(finish) * scale


def _model(
    problem: Problem, scale: int
) -> tuple[cp_model.CpModel, list[cp_model.LinearExprT], list[cp_model.LinearExprT]]:
    model = cp_model.CpModel()
    latest = HORIZON_S // scale
    start = {task.key: model.new_int_var(task.release_s // scale, latest, task.key) for task in problem.tasks}
    length = {task.key: sum(step.seconds for step in task.steps) // scale for task in problem.tasks}
    hands: dict[str, list[cp_model.IntervalVar]] = {person.name: [] for person in problem.people}
    use: dict[str, list[tuple[cp_model.IntervalVar, int]]] = {machine.key: [] for machine in problem.machines}
    for task in problem.tasks:
        for before in task.after:
            model.add(start[task.key] >= start[before] + length[before])
        now = 0
        for n, step in enumerate(task.steps):
            seconds = step.seconds // scale
            begin, end = start[task.key] + now, start[task.key] + now + seconds
            if step.hands:
                _hands(model, problem, task.who, f"{task.key} {n}", begin, seconds, end, hands)
            for key, count in step.at.items():
                machine = problem.machine[key]
                use[key].append((model.new_interval_var(begin, seconds, end, f"{task.key} {n} {key}"), count))
                model.add(begin >= machine.from_s // scale)
                model.add(end <= min(machine.until_s // scale, latest))
            now += seconds
    for block in problem.blocks:
        fixed = model.new_fixed_size_interval_var(
            block.from_s // scale, (block.until_s - block.from_s) // scale, block.what
        )
        if block.person:
            hands[block.person].append(fixed)
        if block.machine:
            use[block.machine].append((fixed, block.count))
    for intervals in hands.values():
        model.add_no_overlap(intervals)
    for machine in problem.machines:
        model.add_cumulative(
            [i for i, _ in use[machine.key]], [n for _, n in use[machine.key]], machine.count
        )
        if machine.apart:
            _apart(model, problem, machine.key, machine.wash_s // scale, start)
    ends = [start[task.key] + length[task.key] for task in problem.tasks]
    lates: list[cp_model.LinearExprT] = []
    for task, end in zip(problem.tasks, ends, strict=True):
        if task.due_s is not None:
            late = model.new_int_var(0, latest, f"late {task.key}")
            model.add(late >= end - task.due_s // scale)
            lates.append(late)
    return model, ends, lates


def _hands(model, problem, who, name, begin, seconds, end, hands):
    able = [person for person in problem.people if person.does & who]
    chosen = []
    for person in able:
        is_theirs = model.new_bool_var(f"{name} by {person.name}")
        interval = model.new_optional_interval_var(begin, seconds, end, is_theirs, f"{name} {person.name}")
        hands[person.name].append(interval)
        scale_from = -(-person.from_s // 60)
        model.add(begin >= scale_from).only_enforce_if(is_theirs)
        model.add(end <= person.until_s // 60).only_enforce_if(is_theirs)
        chosen.append(is_theirs)
    model.add(sum(chosen) == 1)


def _apart(model, problem, key, wash, start):
    """Pair by pair: what keeps from what another leaves is over before it begins, or waits for the wash."""
    spans = {}
    for task in problem.tasks:
        now, found = 0, []
        for step in task.steps:
            if key in step.at:
                found.append((now // 60, (now + step.seconds) // 60))
            now += step.seconds
        if found:
            spans[task.key] = (min(a for a, _ in found), max(b for _, b in found), task)
    for one, (begin, end, task) in spans.items():
        for other, (other_begin, other_end, theirs) in spans.items():
            if other != one and theirs.leaves & task.keeps_from:
                first = model.new_bool_var(f"{one} before {other} at {key}")
                model.add(start[one] + end <= start[other] + other_begin).only_enforce_if(first)
                model.add(start[one] + begin >= start[other] + other_end + wash).only_enforce_if(
                    first.negated()
                )
