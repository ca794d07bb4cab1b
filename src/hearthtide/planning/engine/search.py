"""The search as everybody calls it: anytime, seeded, repeatable by rounds, to be stopped at any moment."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.board import Laid, lay, set_down
from hearthtide.planning.engine.schedule import read
from hearthtide.planning.problem import Booked, Order, Placed, Problem, Reality, Schedule, split

CHUNK = 20  # rounds between two looks at the clock and at `stop`; a few milliseconds
HOT, COOL = 150.0, 1.0  # guest-seconds a change for the worse may cost at first and at last; own choice
ALONE_ROUNDS, TOGETHER_COST = 60, 20.0  # for one order on an empty hearth; own choice
TRIES = 4  # so often an order that fits nowhere is tried, items in other orders, before it is cut in two


class Unplaceable(Exception):
    """No free way exists for one item within the longest wait the search considers."""

    def __init__(self, order: Order) -> None:
        self.order = order
        super().__init__(order.key)


@dataclass(frozen=True)
class Effort:
    """How long to search: rounds of ruin and recreate, ended earlier by the clock or by `stop`.

    It also ends at `content_cost`: a repair should leave alone what stands well.
    """

    rounds: int = 2000
    budget_s: float | None = None
    stop: Callable[[], bool] = lambda: False
    on_progress: Callable[[float], None] = lambda _: None
    content_cost: float = 1e-6


def search(
    problem: Problem,
    reality: Reality | None = None,
    running: Schedule | None = None,
    *,
    seed: int = 1,
    rounds: int = 2000,
    budget_s: float | None = None,
    stop: Callable[[], bool] = lambda: False,
    on_progress: Callable[[float], None] = lambda _: None,
) -> Schedule:
    """A schedule for every order of the problem, as good as the rounds allow.

    What has begun comes first, then orders by wanted minute, each at the minute that costs it least; then
    ruin and recreate, annealed. With a `running` plan half the rounds start from it, cool, half from
    nothing; the better one is returned, what it changes of what was told being part of its cost. An order
    that fits nowhere in four hours is cut into two drops, and again if need be. The same seed and rounds
    give the same schedule; `budget_s` ends earlier by the clock, `stop` is asked every few milliseconds.

    Raises
    ------
    Unplaceable
        A single item fits nowhere.
    """
    if running is None:
        effort = Effort(rounds, budget_s, stop, on_progress)
        return _searched(problem, reality, None, (), seed, effort, HOT)
    half_s = None if budget_s is None else budget_s / 2
    warm_effort = Effort(rounds - rounds // 2, half_s, stop, lambda share: on_progress(share / 2))
    cold_effort = Effort(rounds // 2, half_s, stop, lambda share: on_progress((1 + share) / 2))
    stands = tuple(placed for booked in running.booked for placed in booked.placed)
    warm = _searched(problem, reality, running, stands, seed, warm_effort, HOT / 10)
    if rounds < 2 or stop() or warm.cost <= 1e-6:
        return warm
    cold = _searched(problem, reality, running, (), seed, cold_effort, HOT)
    return min(warm, cold, key=lambda found: found.cost)


def repair(problem: Problem, keep: Iterable[Booked], *, seed: int, effort: Effort = Effort()) -> Schedule:
    """A schedule that starts from bookings which still hold; the rest is placed around them, then improved.

    Raises `Unplaceable` as `search` does.
    """
    stands = tuple(placed for booked in keep for placed in booked.placed)
    return _searched(problem, None, None, stands, seed, effort, HOT / 10)


def fits_alone(problem: Problem, order: Order) -> bool:
    """Could this order land together on an empty hearth with idle hands, an hour after it is called?"""
    later = replace(order, wanted_s=order.called_s + max(i.shortest_s for i in order.items) + 3600)
    alone = replace(problem, orders=(later,), chores=(), closed=())
    try:
        found = _searched(alone, None, None, (), 1, Effort(ALONE_ROUNDS, content_cost=TOGETHER_COST), HOT)
    except Unplaceable:
        return False
    booked = found.booked[0]
    return len(found.booked) == 1 and booked.spread_s <= problem.together_s and _held(problem, booked)


def _held(problem: Problem, booked: Booked) -> bool:
    last = booked.landing_s - problem.plating_s
    return all(last - p.ready_s <= p.item.hold_s for p in booked.placed)


def _searched(
    problem: Problem,
    reality: Reality | None,
    running: Schedule | None,
    stands: tuple[Placed, ...],
    seed: int,
    effort: Effort,
    hot: float,
) -> Schedule:
    laid = _constructed(problem, reality, running, stands, seed)
    b = laid.board
    best = K.total_cost(b)
    K.save_best(b, 1)
    began, done = time.perf_counter(), 0
    while done < effort.rounds and best > effort.content_cost and not effort.stop():
        spent = time.perf_counter() - began
        share = done / effort.rounds
        if effort.budget_s is not None:
            share = max(share, spent / effort.budget_s)
        if share >= 1:
            break
        effort.on_progress(share)
        n = min(CHUNK, effort.rounds - done)
        heat = hot * (COOL / hot) ** share
        best = K.improve(b, n, heat, heat, best)
        done += n
    K.restore_best(b)
    return read(laid, done)


def _constructed(
    problem: Problem,
    reality: Reality | None,
    running: Schedule | None,
    stands: tuple[Placed, ...],
    seed: int,
) -> Laid:
    """A first full schedule on a board; orders that fit nowhere are cut in two until they do."""
    while True:
        laid = lay(problem, reality, running, seed)
        set_down(laid, stands)
        table = laid.board.t
        first, end = int(table[0, K.ORDER0]), int(table[0, K.ORDER1])
        by_wanted = sorted(range(len(problem.orders)), key=lambda n: _urgency(problem.orders[n], n))
        table[first:end, K.LISTED] = np.array(by_wanted) + first
        stuck = K.construct(laid.board, TRIES) - first
        if stuck < 0:
            return laid
        order = problem.orders[stuck]
        if len(order.items) == 1:
            raise Unplaceable(order)
        orders = (*problem.orders[:stuck], *split(order, 2), *problem.orders[stuck + 1 :])
        problem = replace(problem, orders=orders)


def _urgency(order: Order, number: int) -> tuple[int, int, int]:
    return order.wanted_s, order.called_s, number
