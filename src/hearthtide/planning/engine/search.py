"""The search as everybody calls it: anytime, seeded, repeatable by rounds, to be stopped at any moment."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.board import Laid, lay
from hearthtide.planning.engine.schedule import read
from hearthtide.planning.problem import Order, Problem, Reality, Schedule, split

CHUNK = 20  # rounds between two looks at the clock and at `stop`; a few milliseconds
HOT, COOL = 150.0, 1.0  # guest-seconds a change for the worse may cost at first and at last; own choice
TRIES = (
    4  # an order that fits nowhere is tried this often, in another order of items, before it is cut in two
)


class Unplaceable(Exception):
    """No free way exists for one item within the longest wait the search considers."""

    def __init__(self, order: Order) -> None:
        self.order = order
        super().__init__(order.key)


def search(
    problem: Problem,
    reality: Reality | None = None,
    running: Schedule | None = None,
    *,
    seed: int = 1,
    rounds: int = 2000,
    budget_s: float | None = None,
    on_progress: Callable[[float], None] = lambda _: None,
    stop: Callable[[], bool] = lambda: False,
) -> Schedule:
    """A schedule for every order of the problem, as good as the rounds allow.

    What has begun comes first, then orders by wanted minute, each at the minute that costs it least; then
    ruin and recreate, annealed. An order that fits nowhere in four hours is cut into two drops, and again
    if need be. The same seed and rounds give the same schedule; `budget_s` ends earlier by the clock, and
    `stop` is asked every few milliseconds.

    Raises
    ------
    Unplaceable
        A single item fits nowhere.
    """
    problem, laid = _constructed(problem, reality, running, seed)
    b = laid.board
    best = K.total_cost(b)
    K.save_best(b, 1)
    began, done = time.perf_counter(), 0
    while done < rounds and best > 1e-6 and not stop():
        spent = time.perf_counter() - began
        share = done / rounds if budget_s is None else max(done / rounds, spent / budget_s)
        if share >= 1:
            break
        on_progress(share)
        n = min(CHUNK, rounds - done)
        heat = HOT * (COOL / HOT) ** share
        best = K.improve(b, n, heat, heat, best)
        done += n
    K.restore_best(b)
    return read(laid, done)


def _constructed(
    problem: Problem, reality: Reality | None, running: Schedule | None, seed: int
) -> tuple[Problem, Laid]:
    """A first full schedule on a board; orders that fit nowhere are cut in two until they do."""
    while True:
        laid = lay(problem, reality, running, seed)
        by_wanted = sorted(range(len(problem.orders)), key=lambda n: _urgency(problem.orders[n], n))
        table = laid.board.t
        first, end = int(table[0, K.ORDER0]), int(table[0, K.ORDER1])
        table[first:end, K.LISTED] = np.array(by_wanted) + first
        stuck = K.construct(laid.board, TRIES) - first
        if stuck < 0:
            return problem, laid
        order = problem.orders[stuck]
        if len(order.items) == 1:
            raise Unplaceable(order)
        parts = split(order, 2)
        orders = (*problem.orders[:stuck], *parts, *problem.orders[stuck + 1 :])
        problem = replace(problem, orders=orders)


def _urgency(order: Order, number: int) -> tuple[int, int, int]:
    return order.wanted_s, order.called_s, number
