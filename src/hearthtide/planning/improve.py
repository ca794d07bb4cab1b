"""The search: tickets in order of need, then ruin and recreate. Bounded by counted work, never by a clock."""

from __future__ import annotations

import random
from collections.abc import Callable

from hearthtide.planning.insert import Tries, order_cost, place_order
from hearthtide.planning.problem import Booked, Order, Problem, Schedule, split
from hearthtide.planning.timeline import Timeline

FAR = 1e9  # a cost no booking reaches
PATIENCE = 40  # rounds without any gain after which the search stops; own choice
MOST_TRIES = 60_000  # drafts after which no further round begins: a bound for overloaded nights


class Unplaceable(Exception):
    """No free way exists for one item within the longest wait the search considers."""

    def __init__(self, order: Order) -> None:
        self.order = order
        super().__init__(order.key)


def solve(
    problem: Problem,
    rounds: int,
    rng: random.Random,
    keep: tuple[Booked, ...] = (),
    on_progress: Callable[[float], None] = lambda _: None,
    content_cost: float = 1e-9,
) -> Schedule:
    """A schedule for every order: constructed by wanted minute, then improved for at most `rounds` rounds.

    `keep` are bookings of whole tickets of an earlier schedule that still hold, in the drops they were
    placed in: they are taken over as they stand, and only the rest is placed before improving. An order
    that fits nowhere in four hours is cut into two drops, and again if need be. Improving stops at
    `content_cost`: a repair should leave alone what stands well. The same seed gives the same schedule.
    Raises `Unplaceable` when a single item fits nowhere.
    """
    line, tries = Timeline(problem), Tries()
    plan: dict[str, Booked] = {}
    for booked in keep:
        line.add_order(booked)
        plan[booked.order.key] = booked
    kept = {booked.order.ticket for booked in keep}
    todo = [o for o in problem.orders if o.ticket not in kept]
    for order in sorted(todo, key=lambda o: (o.wanted_s, o.called_s, o.key)):
        plan |= {b.order.key: b for b in _must_place(line, order, tries)}
    costs = {key: order_cost(problem, b) for key, b in plan.items()}
    idle = done = 0
    while (
        done < rounds and idle < PATIENCE and tries.count < MOST_TRIES and sum(costs.values()) > content_cost
    ):
        on_progress(done / rounds)
        gained = _round(line, plan, costs, tries, rng)
        idle = 0 if gained else idle + 1
        done += 1
    tickets = [order.ticket for order in problem.orders]
    booked_all = tuple(
        sorted(plan.values(), key=lambda b: (tickets.index(b.order.ticket), b.landing_s, b.order.key))
    )
    return Schedule(booked_all, sum(costs.values()), tries.count, done)


def _must_place(line: Timeline, order: Order, tries: Tries) -> list[Booked]:
    wish = order.wanted_s - line.problem.plating_s
    booked = place_order(line, order, wish, FAR, tries)
    if booked is not None:
        return [booked]
    if len(order.items) == 1:
        raise Unplaceable(order)
    return [b for part in split(order, 2) for b in _must_place(line, part, tries)]


def _round(
    line: Timeline, plan: dict[str, Booked], costs: dict[str, float], tries: Tries, rng: random.Random
) -> bool:
    """Take a few orders off and put them back another way; kept, and True, only if that costs less."""
    chosen = _ruin(plan, costs, rng)
    before = sum(costs[key] for key in chosen)
    if before < 0.5:
        return False
    old = {key: plan[key] for key in chosen}
    for booked in old.values():
        line.drop_order(booked)
    new: dict[str, Booked] = {}
    spent = 0.0
    for key in chosen:
        order = old[key].order
        wish = order.wanted_s - line.problem.plating_s
        booked_new = place_order(line, order, wish, before - spent, tries, rng.randrange(4))
        if booked_new is None:
            break
        new[key] = booked_new
        spent += order_cost(line.problem, booked_new)
    if len(new) == len(chosen) and spent < before - 1e-9:
        for key, booked in new.items():
            plan[key] = booked
            costs[key] = order_cost(line.problem, booked)
        return True
    for booked in new.values():
        line.drop_order(booked)
    for booked in old.values():
        line.add_order(booked)
    return False


def _ruin(plan: dict[str, Booked], costs: dict[str, float], rng: random.Random) -> list[str]:
    """A costly order and a few that stand where it wants to be, in random order of return."""
    keys = list(plan)
    weights = [costs[key] + 0.01 for key in keys]
    worst = rng.choices(keys, weights)[0]
    middle = plan[worst].order.wanted_s if rng.random() < 0.7 else plan[worst].landing_s
    near = sorted(keys, key=lambda key: (abs(plan[key].landing_s - middle), key))
    others = [key for key in near[:9] if key != worst]
    chosen = [worst, *rng.sample(others, min(len(others), rng.randint(1, 4)))]
    if rng.random() < 0.5:
        rng.shuffle(chosen)
    return chosen
