"""The earliest minute that a table at the door can honestly be promised: a plan with it in."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hearthtide.planning.events import NewTicket, after_event
from hearthtide.planning.live import Slip, slips
from hearthtide.planning.problem import Order
from hearthtide.planning.promise import SAMPLES, SHARE, WITHIN_S, Spreads, landings_s, minute_to_tell
from hearthtide.planning.replan import Search, open_problem, reality_at, replanned, soonest_s
from hearthtide.planning.told import Running
from hearthtide.planning.waits import Floats

POLITE = 1e-3  # of its guests' weight: so little moves nobody else's table


@dataclass(frozen=True)
class Quote:
    """What a table can be told: the whole minute its last plates land by, and how sure that is.

    `planned_s` is when the plan lands its last drop, of `drops`; `share` of the runs with durations that
    differ land within 3 min of `minute_s`. `slips` are the tables that would wait longer than told;
    `running` is the plan with the table in it.
    """

    minute_s: int
    planned_s: int
    drops: int
    share: float
    slips: tuple[Slip, ...]
    running: Running

    @property
    def holds(self) -> bool:
        """Whether the minute may be promised: it holds 8 times in 10."""
        return self.share >= SHARE


def quotes(
    running: Running, orders: tuple[Order, ...], search: Search, seed: int = 1, samples: int = SAMPLES
) -> tuple[Quote, Quote]:
    """Two honest answers for one table: as early as can be, and without making others wait.

    The table's orders are planned with all else that is open, wanted as soon as empty stone and free hands
    could have them; the second time at next to no weight, so that it takes only what others leave.

    Raises
    ------
    ValueError
        The table has no orders, or one of their keys is open already.
    """
    if not orders:
        raise ValueError("orders: expected at least one to quote for")
    return _quote(running, orders, 1.0, search, seed, samples), _quote(
        running, orders, POLITE, search, seed, samples
    )


def _quote(
    running: Running, orders: tuple[Order, ...], weight: float, search: Search, seed: int, samples: int
) -> Quote:
    problem, reality = open_problem(running), reality_at(running)
    soon = (replace(o, wanted_s=soonest_s(problem, reality, o), weight=weight * o.weight) for o in orders)
    after = replanned(after_event(running, NewTicket(tuple(soon))), search)
    own = [n for n, b in enumerate(after.schedule.booked) if b.order.ticket == orders[0].ticket]
    planned_s = max(after.schedule.booked[n].landing_s for n in own)
    rng = np.random.default_rng(seed)
    runs = landings_s(after.problem, after.schedule, rng, Spreads(), samples, after.now_s)
    minute_s, share = honest_minute(runs[own].max(0), planned_s)
    return Quote(minute_s, planned_s, len(own), share, slips(running, after), after)


def honest_minute(landed_s: Floats, planned_s: int) -> tuple[int, float]:
    """The first whole minute from the planned landing on that holds 8 times in 10, and its share.

    It holds when the table lands within 3 min of it. The one that holds most often where none does so often.

    >>> honest_minute(np.array([69_600.0, 69_660.0, 69_700.0, 69_720.0, 71_000.0]), 69_610)
    (69660, 0.8)
    """
    best, most = minute_to_tell(landed_s)
    if most < SHARE:
        return best, most
    first = -(-planned_s // 60) * 60
    for minute in range(first, max(first, best) + 1, 60):
        share = float(np.mean(np.abs(landed_s - minute) <= WITHIN_S))
        if share >= SHARE:
            return minute, share
    return best, most
