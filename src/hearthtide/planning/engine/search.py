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
# Guest-seconds a change for the worse may cost: at first what an order of the first schedule costs, within
# these, a tenth of it where a plan is repaired; at last `COOL`. Own choice.
HOT, COOL = (100.0, 3000.0), 1.0
STARTS, START_SHARE = 4, 0.4  # a search from nothing is begun so often, in so much of its effort; own choice
ALONE_ROUNDS, TOGETHER_COST = 60, 20.0  # for one order on an empty hearth; own choice
TRIES = 8  # ways an order is booked in a first schedule, before it is cut in two where none is found


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
        return _searched(problem, reality, None, (), seed, Effort(rounds, budget_s, stop, on_progress))
    half_s = None if budget_s is None else budget_s / 2
    warm_effort = Effort(rounds - rounds // 2, half_s, stop, lambda share: on_progress(share / 2))
    cold_effort = Effort(rounds // 2, half_s, stop, lambda share: on_progress((1 + share) / 2))
    stands = tuple(placed for booked in running.booked for placed in booked.placed)
    warm = _searched(problem, reality, running, stands, seed, warm_effort)
    if rounds < 2 or stop() or warm.cost <= 1e-6:
        return warm
    cold = _searched(problem, reality, running, (), seed, cold_effort)
    return min(warm, cold, key=lambda found: found.cost)


def repair(
    problem: Problem,
    keep: Iterable[Booked],
    *,
    seed: int,
    effort: Effort = Effort(),
    reality: Reality | None = None,
) -> Schedule:
    """A schedule that starts from bookings which still hold; the rest is placed around them, then improved.

    What has begun goes on as it was begun. Raises `Unplaceable` as `search` does.
    """
    stands = tuple(placed for booked in keep for placed in booked.placed)
    return _searched(problem, reality, None, stands, seed, effort)


def fits_alone(problem: Problem, order: Order) -> bool:
    """Could this order land together on an empty hearth with idle hands, an hour after it is called?"""
    later = replace(order, wanted_s=order.called_s + max(i.shortest_s for i in order.items) + 3600)
    alone = replace(problem, orders=(later,), chores=(), closed=())
    try:
        found = _searched(alone, None, None, (), 1, Effort(ALONE_ROUNDS, content_cost=TOGETHER_COST))
    except Unplaceable:
        return False
    booked = found.booked[0]
    return len(found.booked) == 1 and booked.spread_s <= problem.together_s and _held(problem, booked)


def _held(problem: Problem, booked: Booked) -> bool:
    last = booked.landing_s - problem.plating_s
    return all(last - p.ready_s <= p.item.hold_s for p in booked.placed)


class _Annealing:
    """Rounds of one search, shared out over its starts."""

    def __init__(self, effort: Effort) -> None:
        self.effort, self.done, self.began = effort, 0, time.perf_counter()

    def share(self) -> float:
        """How much of the effort is spent, 0..1 and a little over."""
        by_rounds = self.done / self.effort.rounds if self.effort.rounds else 1.0
        if self.effort.budget_s is None:
            return by_rounds
        return max(by_rounds, (time.perf_counter() - self.began) / self.effort.budget_s)

    def run(self, laid: Laid, best: float, hot: float, until: float) -> float:
        """Anneal from `hot` down until that share of the effort is spent; the best cost found."""
        effort, first = self.effort, self.share()
        while best > effort.content_cost and not effort.stop():
            share = self.share()
            if share >= until:
                break
            effort.on_progress(share)
            heat = hot * (COOL / hot) ** ((share - first) / (until - first))
            n = min(CHUNK, effort.rounds - self.done)
            best = K.improve(laid.board, n, heat, heat, best)
            self.done += n
        return best


def _searched(
    problem: Problem,
    reality: Reality | None,
    running: Schedule | None,
    stands: tuple[Placed, ...],
    seed: int,
    effort: Effort,
) -> Schedule:
    """The best of a few short searches taken further; what stands already is searched on from once."""
    annealing, found = _Annealing(effort), []
    starts = 1 if stands or effort.rounds < STARTS * CHUNK else STARTS
    for n in range(starts):
        laid = _constructed(problem, reality, running, stands, seed + n)
        best = float(K.total_cost(laid.board))
        K.save_best(laid.board, 1)
        if starts > 1:
            best = annealing.run(laid, best, _hot(laid, best), START_SHARE * (n + 1) / starts)
        found.append((best, n, laid))
        if best <= effort.content_cost or effort.stop() or annealing.share() >= 1:
            break
    best, _, laid = min(found)
    K.restore_best(laid.board)
    annealing.run(laid, best, _hot(laid, best) * (0.1 if stands else 1.0), 1.0)
    K.restore_best(laid.board)
    return read(laid, annealing.done)


def _hot(laid: Laid, cost: float) -> float:
    return min(max(HOT[0], cost / max(1, len(laid.orders))), HOT[1])


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
        stuck = K.construct(laid.board, TRIES, not stands) - first
        if stuck < 0:
            return laid
        order = problem.orders[stuck]
        if len(order.items) == 1:
            raise Unplaceable(order)
        orders = (*problem.orders[:stuck], *split(order, 2), *problem.orders[stuck + 1 :])
        problem = replace(problem, orders=orders)


def _urgency(order: Order, number: int) -> tuple[int, int, int]:
    return order.wanted_s, order.called_s, number
