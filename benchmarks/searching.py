"""How good a plan is after so long: the windows on disk, against the least cost known of each.

`python benchmarks/searching.py` prints, file by file, the time to a first plan and the cost after each
budget: over the least known (median and worst of the windows), and in guest-seconds a dish.
`python benchmarks/searching.py known 8 3` searches 8 s with each of 3 seeds first and writes what is lower
than was known into the windows' files.
"""

from __future__ import annotations

import statistics
import sys
import time
from typing import Any

from windows import Window, all_windows, read_windows, write_windows

from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Problem

BUDGETS_S = {5: (0.1, 1.0), 10: (0.1, 1.0), 20: (0.15, 1.0), 40: (0.5, 2.0)}
ENDLESS = 10**9  # rounds: the clock ends it


def first_ms(problem: Problem) -> float:
    """Milliseconds from the problem to a first whole plan."""
    began = time.perf_counter()
    search(problem, rounds=0)
    return 1000 * (time.perf_counter() - began)


def look_longer(file: str, budget_s: float, seeds: int) -> None:
    """Search each window of a file for long, and note what is cheaper than was known."""
    found: list[tuple[Window, dict[str, Any]]] = []
    for window, known in read_windows(file):
        problem, best = window.problem(), dict(known)
        for seed in range(1, seeds + 1):
            cost = search(problem, seed=seed, rounds=ENDLESS, budget_s=budget_s).cost
            if not best or cost < best["cost"]:
                best = {"cost": round(cost, 2), "by": f"search of {budget_s:g} s, seed {seed}"}
        found.append((window, best))
    write_windows(file, found)


def measured(file: str, seed: int) -> list[str]:
    """Lines of a table: one for the first plan, one for each budget."""
    windows = [(w, k, w.problem()) for w, k in read_windows(file)]
    dishes = windows[0][0].dishes
    first = [first_ms(problem) for _, _, problem in windows]
    lines = [f"| {file} | first plan | {statistics.median(first):.1f} ms ({max(first):.1f}) | | |"]
    for budget_s in BUDGETS_S[dishes]:
        costs = [search(p, seed=seed, rounds=ENDLESS, budget_s=budget_s).cost for _, _, p in windows]
        over = [cost - known.get("cost", cost) for cost, (_, known, _) in zip(costs, windows, strict=True)]
        ratios = [
            (cost + 1) / (known.get("cost", cost) + 1)
            for cost, (_, known, _) in zip(costs, windows, strict=True)
        ]
        lines.append(
            f"| {file} | {budget_s:g} s | {statistics.median(costs):.0f} "
            f"| {statistics.median(ratios):.2f} ({max(ratios):.2f}) "
            f"| {statistics.median(over) / dishes:.1f} ({max(over) / dishes:.1f}) |"
        )
    return lines


def main(args: list[str]) -> None:
    files = [file for file in all_windows() if file not in ("tuesday", "friday")]
    search(read_windows(files[0])[0][0].problem(), rounds=20)  # compiles, or reads what was compiled
    if args and args[0] == "known":
        for file in args[3:] or files:
            look_longer(file, float(args[1]), int(args[2]))
        return
    sys.stdout.write(
        "| windows | after | cost, median | over the least known, median (worst) | a dish (worst) |\n"
    )
    sys.stdout.write("|---|---|---|---|---|\n")
    for file in args or files:
        sys.stdout.write("\n".join(measured(file, 1)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
