"""A day's prep of 20, 40 and 60 tasks, 6 people: time to a first plan, and CP-SAT beside us after a budget.

`python benchmarks/prepping.py [SEEDS]` prints a table: milliseconds to the first plan (median, worst of
the days); our finish over CP-SAT's after equal time on one thread (1.00: as good; below: ours is sooner),
and over the bound it proves.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "shared"))

from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_search import Effort, planned
from prep_by_cpsat import finish_within
from prep_instances import invented_day

BUDGETS_S = (2.0, 10.0)
ENDLESS = 10**9  # rounds: the clock ends it


def first_ms(problem):  # type: ignore[no-untyped-def]
    began = time.perf_counter()
    planned(problem, effort=Effort(0))
    return 1000 * (time.perf_counter() - began)


def measured(tasks: int, seeds: int) -> list[str]:
    days = [invented_day(seed, tasks, 6, apart=seed % 2 == 0) for seed in range(1, seeds + 1)]
    first = [first_ms(day) for day in days]
    lines = [f"| {tasks} | first plan | {statistics.median(first):.0f} ms ({max(first):.0f}) | | |"]
    for budget_s in BUDGETS_S:
        ours, theirs, bounds = [], [], []
        for day in days:
            plan = planned(day, effort=Effort(ENDLESS, budget_s=budget_s))
            assert not faults(day, plan)
            value, bound = finish_within(day, budget_s)
            ours.append(1000 * plan.late_s + plan.finish_s)
            theirs.append(value)
            bounds.append(max(bound, 1.0))
        ratio = [a / b for a, b in zip(ours, theirs, strict=True)]
        above = [a / b for a, b in zip(ours, bounds, strict=True)]
        lines.append(
            f"| {tasks} | {budget_s:g} s | | {statistics.median(ratio):.3f} ({max(ratio):.3f}) "
            f"| {statistics.median(above):.3f} ({max(above):.3f}) |"
        )
    return lines


def main(args: list[str]) -> None:
    seeds = int(args[0]) if args else 8
    sys.stdout.write("| tasks | after | first plan, median (worst) | over CP-SAT's | over its bound |\n")
    sys.stdout.write("|---|---|---|---|---|\n")
    for tasks in (20, 40, 60):
        sys.stdout.write("\n".join(measured(tasks, seeds)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
