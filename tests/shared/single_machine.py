"""One machine, jobs with due dates, a price for each second early or late: by brute force, and as a night.

Every order of the jobs is tried; within one, idle time is put in so that the sum of prices is least.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import Act
from hearthtide.planning.problem import Choice, Hands, Item, Order, Problem, Schedule, Stage, Weights
from job_shop import ONLY_LATE, apart

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Job:
    """Seconds on the machine, the second it is due, and the weight of being early or late by one."""

    seconds: int
    due_s: int
    weight: float


def drawn_jobs(seed: int, count: int, tightness: float) -> tuple[Job, ...]:
    """Jobs whose due dates lie within `tightness` of all their seconds (below 1: they cannot all be kept)."""
    rng = np.random.default_rng([seed, count])
    seconds = rng.integers(60, 400, count)
    due = rng.integers(seconds.max(), max(seconds.max() + 1, round(tightness * seconds.sum())), count)
    weights = rng.integers(1, 5, count)
    return tuple(Job(int(p), int(d), float(w)) for p, d, w in zip(seconds, due, weights, strict=True))


def least_cost(jobs: tuple[Job, ...], late: float, early: float) -> float:
    """The least sum of weighted earliness and lateness, by all orders of the jobs (7 at most: 5,040)."""
    horizon = max(j.due_s for j in jobs) + sum(j.seconds for j in jobs)
    ends = np.arange(horizon + 1)
    price = {
        j: j.weight * (late * np.maximum(0, ends - j.due_s) + early * np.maximum(0, j.due_s - ends))
        for j in jobs
    }
    return min(_in_order(order, price, horizon) for order in permutations(jobs))


def _in_order(order: tuple[Job, ...], price: dict[Job, Floats], horizon: int) -> float:
    """Least cost of one order: `best[t]` is that of the jobs so far, the last of them ended by second t."""
    best = np.zeros(horizon + 1)
    for job in order:
        cost = np.full(horizon + 1, np.inf)
        cost[job.seconds :] = best[: horizon + 1 - job.seconds] + price[job][job.seconds :]
        best = np.minimum.accumulate(cost)
    return float(best[-1])


def as_night(jobs: tuple[Job, ...], late: float, early: float) -> Problem:
    """Each job an order of one item on the only spot, called at second 0; hands and plating take no time."""
    acts = get_args(Act)
    whole = max(j.due_s for j in jobs) + sum(j.seconds for j in jobs)
    return Problem(
        orders=tuple(_order(n, job, whole) for n, job in enumerate(jobs)),
        places=apart(1),
        cooks=(Hands("nobody", frozenset(acts)),),
        act_s=dict.fromkeys(acts, 0),
        bank=None,
        plating_s=0,
        together_s=whole,
        late_after_s=whole,
        recovery_s=0,
        from_s=0,
        weights=Weights(**(vars(ONLY_LATE) | {"late": late, "early": early})),
    )


def _order(number: int, job: Job, whole_s: int) -> Order:
    key = f"job-{number}"
    item = Item(
        key=key,
        ticket=key,
        dish=key,
        stages=(Stage("work", ((Choice(job.seconds, 1, 0, 0, 0),),), ()),),
        pace=(1.0,),
        prefer=(0,),
        rest_s=0,
        hold_s=whole_s,
        dressed=False,
        cut=False,
        on_stone=False,
        from_bank=False,
    )
    return Order(key, key, 1, 0, job.due_s, (item,), job.weight)


def cost_of(jobs: tuple[Job, ...], schedule: Schedule, late: float, early: float) -> float:
    """What a schedule costs, from its stays alone.

    Raises ValueError where two jobs share the machine or one has not its seconds.
    """
    spans = sorted(
        (s.start_s, s.end_s, int(p.item.key.removeprefix("job-")))
        for b in schedule.booked
        for p in b.placed
        for s in p.stays
    )
    cost, free = 0.0, 0
    for start, end, number in spans:
        job = jobs[number]
        if start < free or end - start != job.seconds:
            raise ValueError(
                f"job {number} is at work from {start} to {end} s, the machine is free at {free} s"
            )
        cost += job.weight * (late * max(0, end - job.due_s) + early * max(0, job.due_s - end))
        free = end
    return cost
