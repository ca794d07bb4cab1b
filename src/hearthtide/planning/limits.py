"""What binds on a night that runs late: plan it again with one limit lifted at a time and see what helps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning.again import Again, late_courses, late_guest_s, total_late_s
from hearthtide.planning.lifted import Change, all_lifted, lifts
from hearthtide.planning.needs import needs_of
from hearthtide.planning.plan import SEARCH, Limit
from hearthtide.planning.problem import Order, Problem, Reality, Schedule
from hearthtide.planning.replan import open_problem, reality_at
from hearthtide.planning.told import Running
from hearthtide.planning.ways_out import Stove, cheapest_ways

SEARCHED_ON = 3  # times, with other seeds, before anything is called a gain; own choice
WORTH = 0.05  # a limit binds when lifting it takes at least a twentieth of the lateness away; own choice
# Stone without end lifts a rule and the stone's rest with it. Where the narrower limit alone does nearly as
# much, that one binds. Own choice.
NEARLY = 0.9
NARROWER = ("rule", "closed stone", "platters", "floor", "hands", "stone")


def binding_limit(
    problem: Problem,
    schedule: Schedule,
    seed: int,
    stove: Stove | None = None,
    weights: WeightsFile | None = None,
    reality: Reality | None = None,
) -> Limit | None:
    """Which limit, lifted alone, takes most lateness away; None when nothing is later than the house allows.

    Lateness is every guest's. What more search alone takes away is counted for no limit and no way out; where
    it lands all in time, nothing but the search binds. Where no limit alone helps but several together do,
    the two that help most are named (`hands and stone`); where none does, or the dishes' own minutes weigh
    more than any limit, `minutes`. `stove` reads the minutes on warmer stone and, where that takes a
    twentieth away, under a higher flame. What has begun in `reality` goes on as it was begun.
    """
    late = late_courses(problem, schedule)
    if not late:
        return None
    said = Limit(SEARCH, total_late_s(schedule), late_guest_s(schedule), {}, late, (), (), 0)
    found = _searched_on(problem, schedule, seed, reality)
    if not all(late_courses(problem, one) for one in found):
        return said
    start, base = min(found, key=lambda one: one.cost), min(map(late_guest_s, found))
    problem = replace(problem, orders=start.orders)
    again = Again.of(problem, start, seed, reality)
    changes = lifts(problem, None if stove is None else stove.at_top)
    without = {name: _late_with(again, change(problem), base) for name, change in changes.items()}
    free = again.plan(all_lifted(problem, changes))
    minutes = own_minutes_s(problem)
    binds = _binds(without, minutes, base)
    if binds is None:
        helped = free is not None and base - late_guest_s(free) >= WORTH * base
        binds = _two(again, problem, changes, base) if helped else "minutes"
    hotter = stove if base - without.get("floor", base) >= WORTH * base else None
    ways, tried = cheapest_ways(problem, start, base, again, hotter, weights or WeightsFile())
    return replace(
        said,
        binds=binds,
        without=without | {"minutes": minutes},
        needs=() if free is None else needs_of(problem, free),
        ways_out=ways,
        tried=tried,
    )


def binding_now(running: Running, seed: int, weights: WeightsFile) -> Limit | None:
    """What binds from now on in a night that is under way: `binding_limit` of what is still open."""
    open_ = open_problem(running)
    keys = {order.key for order in open_.orders}
    booked = tuple(b for b in running.schedule.booked if b.order.key in keys)
    return binding_limit(
        open_, replace(running.schedule, booked=booked), seed, None, weights, reality_at(running)
    )


def own_minutes_s(problem: Problem) -> float:
    """What the dishes' own minutes make late with nobody in the way, from call to pass [guest-seconds]."""
    return sum(order.weight * max(0, _soonest_s(problem, order) - order.wanted_s) for order in problem.orders)


def _soonest_s(problem: Problem, order: Order) -> int:
    dress = problem.act_s["dress"]
    longest = max(item.shortest_s + dress * item.dressed for item in order.items)
    return max(order.called_s + longest + problem.plating_s, order.not_before_s)


def _searched_on(problem: Problem, schedule: Schedule, seed: int, reality: Reality | None) -> list[Schedule]:
    """The plan, and what more search alone makes of it."""
    problem = replace(problem, orders=schedule.orders)
    tries = (Again.of(problem, schedule, seed + n, reality).plan(problem) for n in range(SEARCHED_ON))
    return [schedule, *(one for one in tries if one is not None)]


def _late_with(again: Again, lifted: Problem, base_s: float) -> float:
    """Guests' lateness under a lifted limit; what it was where the search then finds nothing better."""
    found = again.plan(lifted)
    return base_s if found is None else min(base_s, late_guest_s(found))


def _binds(without: Mapping[str, float], minutes_s: float, base_s: float) -> str | None:
    """The limit that takes most away, a narrower one that does nearly as much before it; None without one."""
    gains = {name: base_s - late_s for name, late_s in without.items()}
    most = max(gains.values())
    if max(most, minutes_s) < WORTH * base_s:
        return None
    if minutes_s >= most:
        return "minutes"
    return next(name for name in NARROWER if gains.get(name, 0.0) >= NEARLY * most)


def _two(again: Again, problem: Problem, changes: Mapping[str, Change], base_s: float) -> str:
    """The two limits that take most away when lifted together."""
    pairs = {
        pair: _late_with(again, all_lifted(problem, {name: changes[name] for name in pair}), base_s)
        for pair in combinations(changes, 2)
    }
    best = min(pairs, key=lambda pair: pairs[pair])
    return " and ".join(best) if base_s - pairs[best] >= WORTH * base_s else "several limits together"
