"""A day's prep of 20, 40 and 60 tasks, 6 people: time to a first plan; CP-SAT beside us after equal time.

`python benchmarks/prepping.py [SEEDS]` prints a table. First plan: milliseconds, median (worst). Late:
minutes past their dues of all days together, ours and CP-SAT's on one thread (days it finds no plan for are
counted and left out of both). Finish: ours over CP-SAT's where both are as late, median (worst).
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "shared"))

from hearthtide.day.prep import Problem
from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_search import Effort, planned
from prep_by_cpsat import found_within
from prep_instances import invented_day

BUDGETS_S = (2.0, 10.0)
ENDLESS = 10**9  # rounds: the clock ends it


def first_ms(problem: Problem) -> float:
    began = time.perf_counter()
    planned(problem, effort=Effort(0))
    return 1000 * (time.perf_counter() - began)


def measured(tasks: int, seeds: int) -> list[str]:
    """Lines of the table for days of so many tasks."""
    days = [invented_day(seed, tasks, 6, apart=seed % 2 == 0, wide=2) for seed in range(1, seeds + 1)]
    first = [first_ms(day) for day in days]
    lines = [f"| {tasks} | first plan | {statistics.median(first):.0f} ms ({max(first):.0f}) | | | |"]
    for budget_s in BUDGETS_S:
        ours, theirs, none = 0, 0, 0
        finish = []
        for day in days:
            plan = planned(day, effort=Effort(ENDLESS, budget_s=budget_s))
            assert not faults(day, plan)
            found = found_within(day, budget_s)
            if found is None:
                none += 1
                continue
            ours, theirs = ours + plan.late_s // 60, theirs + found[0] // 60
            if found[0] == plan.late_s:
                finish.append(plan.finish_s / found[1])
        both = f"{statistics.median(finish):.3f} ({max(finish):.3f}), {len(finish)} days" if finish else ""
        lines.append(f"| {tasks} | {budget_s:g} s | | {ours} | {theirs} (none for {none}) | {both} |")
    return lines


def main(args: list[str]) -> None:
    seeds = int(args[0]) if args else 8
    sys.stdout.write("| tasks | after | first plan | late, ours | late, CP-SAT | finish over CP-SAT's |\n")
    sys.stdout.write("|---|---|---|---|---|---|\n")
    for tasks in (20, 40, 60):
        sys.stdout.write("\n".join(measured(tasks, seeds)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
