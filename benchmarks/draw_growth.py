"""Draws what a plan costs and takes against its dishes: `python benchmarks/draw_growth.py PICTURE.svg`.

Evenings of Brindlecote's menu on end, 45 dishes an hour for one pair of hands, told 18 to 26 minutes. Each
number of dishes is planned once, with two rounds a dish, verified by nobody.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace

import matplotlib
import numpy as np
from windows import Ticket, drawn_party, problem_of, tables

from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Order, Problem

COUNTS = (20, 50, 100, 200, 500, 1000, 2000)
PER_HOUR, EVENING, FIRST_S, NEXT_S = 45, 250, 17 * 3600, 8 * 3600
TOLD_S = (18 * 60, 26 * 60)
ROUNDS_A_DISH = 2
INK, WARM = "#17191c", "#D55E00"  # as in the reports


def evening(number: int, dishes: int) -> tuple[Ticket, ...]:
    """So many dishes wanted one after the other at an even pace, each told the house's usual while before."""
    rng = np.random.default_rng([number, PER_HOUR])
    found, at_s, left = [], float(FIRST_S), dishes
    for table in tables():
        if not left:
            break
        party = drawn_party(rng, left)
        found.append(Ticket(table, round(at_s - rng.uniform(*TOLD_S)), round(at_s), party))
        at_s += 3600 * len(party) / PER_HOUR * float(rng.uniform(0.5, 1.5))
        left -= len(party)
    return tuple(found)


def evenings(dishes: int) -> Problem:
    """Evenings one after the other, as many as it takes."""
    problems = [
        problem_of("brindlecote", evening(n, min(EVENING, dishes - n * EVENING)))
        for n in range(-(-dishes // EVENING))
    ]
    orders = tuple(_on(order, n) for n, one in enumerate(problems) for order in one.orders)
    return replace(problems[0], orders=orders)


def _on(order: Order, number: int) -> Order:
    """The order so many evenings later, under names of its own."""
    later, named = number * NEXT_S, f"{number}-"
    items = tuple(replace(i, key=named + i.key, ticket=named + i.ticket) for i in order.items)
    times = {"called_s": order.called_s + later, "wanted_s": order.wanted_s + later}
    return replace(order, key=named + order.key, ticket=named + order.ticket, items=items, **times)


def measured() -> np.ndarray:
    """Rows of dishes, guest-seconds a dish, and processor seconds of a first plan and of its rounds."""
    search(evenings(5), rounds=20)  # compiles, or reads what was compiled
    rows = []
    for count in COUNTS:
        problem = evenings(count)
        began = time.process_time()
        search(problem, rounds=0)
        first = time.process_time()
        cost = search(problem, rounds=ROUNDS_A_DISH * count).cost
        rows.append((count, cost / count, first - began, time.process_time() - first))
    return np.array(rows)


def draw(rows: np.ndarray, path: str) -> None:
    """Milliseconds a dish above, guest-seconds a dish below, against dishes."""
    matplotlib.use("Agg")
    matplotlib.rcParams.update({"svg.hashsalt": "plan", "font.size": 11})
    from matplotlib import pyplot, ticker

    figure, (above, below) = pyplot.subplots(2, 1, figsize=(7.2, 5.6), sharex=True, layout="constrained")
    dishes, cost, first_s, all_s = rows.T
    above.loglog(dishes, 1e3 * all_s / dishes, "o-", color=WARM, label=f"with {ROUNDS_A_DISH} rounds a dish")
    above.loglog(dishes, 1e3 * first_s / dishes, "s--", color=INK, label="first plan")
    below.semilogx(dishes, cost, "o-", color=WARM)
    above.set_ylabel("processor time a dish (ms)")
    below.set_ylabel("cost a dish (guest-seconds)")
    below.set_xlabel("dishes")
    below.set_xticks(COUNTS)
    below.set_ylim(0, None)
    for axes in (above, below):
        axes.grid(alpha=0.25)
        axes.xaxis.set_major_formatter(ticker.FuncFormatter(lambda value, _: f"{value:g}"))
        axes.minorticks_off()
    above.yaxis.set_major_formatter(ticker.FuncFormatter(lambda value, _: f"{value:g}"))
    above.legend(frameon=False)
    figure.savefig(path, metadata={"Date": None} if path.endswith(".svg") else None)


if __name__ == "__main__":
    found = measured()
    for row in found:
        print(
            f"{row[0]:5.0f} dishes: {row[1]:7.1f} a dish, first plan {row[2]:6.2f} s, search {row[3]:6.2f} s"
        )
    for name in sys.argv[1:]:
        draw(found, name)
