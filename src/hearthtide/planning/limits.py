"""What binds on a night that runs late: plan it again with one limit lifted at a time and see what helps."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from hearthtide.house.models import Act
from hearthtide.planning.engine.search import Effort, Unplaceable, repair
from hearthtide.planning.plan import Limit
from hearthtide.planning.problem import Booked, Hands, Problem, Schedule

ROUNDS = 200  # of search after a limit is lifted; own choice
WORTH = 0.95  # a limit binds when lifting it takes more than a twentieth of the lateness away; own choice
ALL_ACTS: frozenset[Act] = frozenset(get_args(Act))

WAYS_OUT = {
    "hands": (
        "let somebody at the pass pull to the cut board and cut",
        "quote later minutes for the tickets named late, once each",
        "take dressed dishes off the board for the rush",
    ),
    "stone": (
        "take the dishes that hold the stone longest off the board for the rush",
        "preheat platters on the ledge instead of on the stone",
        "quote later minutes for the tickets named late, once each",
    ),
    "platters": ("more hot platters in the bank, or a quicker turnaround",),
    "minutes": ("quote later: the dishes' own minutes do not fit between the call and the wanted minute",),
}


def total_late_s(schedule: Schedule) -> int:
    """Seconds all orders together land after they are wanted."""
    return sum(max(0, booked.late_s) for booked in schedule.booked)


def binding_limit(problem: Problem, schedule: Schedule, seed: int) -> Limit | None:
    """Which limit, lifted alone, takes most lateness away; None when nothing is later than the house allows.

    With a limit lifted, what lands in time stays as planned, the late orders are placed anew and the
    search goes on a little from there; where that finds nothing better, the plan as it is still holds.
    """
    late = {b.order.ticket for b in schedule.booked if b.late_s > problem.late_after_s}
    if not late:
        return None
    keep = tuple(b for b in schedule.booked if b.order.ticket not in late)
    as_is = total_late_s(schedule)
    without = {
        name: min(as_is, _late_again_s(lifted, seed, keep, as_is))
        for name, lifted in _lifted(problem).items()
    }
    binds = min(without, key=lambda name: (without[name], name))
    if without[binds] >= WORTH * as_is:
        binds = "minutes"
    return Limit(binds, as_is, without, WAYS_OUT[binds])


def _late_again_s(lifted: Problem, seed: int, keep: tuple[Booked, ...], as_is_s: int) -> int:
    """Lateness with the late orders placed anew; as it is where one of them then finds no room at all."""
    try:
        return total_late_s(repair(lifted, keep, seed=seed, effort=Effort(ROUNDS)))
    except Unplaceable:
        return as_is_s


def _lifted(problem: Problem) -> dict[str, Problem]:
    helper = Hands("one more pair of hands", ALL_ACTS)
    lifted = {
        "hands": replace(problem, cooks=(*problem.cooks, helper, replace(helper, name="and another"))),
        "stone": replace(problem, stone_binds=False),
    }
    if problem.bank is not None:
        lifted["platters"] = replace(problem, bank=None)
    return lifted
